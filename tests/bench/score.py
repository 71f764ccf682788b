#!/usr/bin/env python3
"""Check annotated transcripts, and score timelines against them (the guide on the format, annotated transcripts).

    score.py check FOLDER                      every NAME.vtt + NAME.gold.json of the folder is well formed
    score.py score FOLDER TIMELINES            TIMELINES holds NAME.timeline.json made from NAME.vtt
    score.py score FOLDER TIMELINES --misses   ... and list what was missed or invented

Standard library only. The last line of `score` is one JSON object with every figure.
"""
from __future__ import annotations

import argparse
import json
import re
import sys
from itertools import combinations
from pathlib import Path

POINTS = set("demarc protector terminal block cable jack line_seizure_jack alarm_panel filter pbx set patch_panel switch device ont other".split())
SIDES = set("provider customer in out left right top bottom".split())
STATES = {
    "dial_tone": {"present", "absent", "intermittent"}, "line_sound": {"clean", "noisy"},
    "outgoing_call": {"works", "fails"}, "incoming_call": {"works", "fails"}, "tracing_tone": {"present", "absent"},
    "continuity": {"good", "open"}, "short": {"present", "absent"}, "ground_fault": {"present", "absent"},
    "foreign_voltage": {"present", "absent"}, "polarity": {"correct", "reversed"},
    "wire_map": {"pass", "open", "short", "crossed", "reversed", "split"}, "cable_test": {"pass", "fail", "marginal"},
    "link": {"up", "down"}, "sync": {"up", "down"}, "inspection": {"ok", "defect"},
    "power": {"present", "absent"}, "operation": {"works", "fails"}, "line_number": {"correct", "wrong"},
}
UNITS = {  # unit -> (dimension, factor to the dimension's base, offset)
    "V": ("V", 1), "mV": ("V", 1e-3), "A": ("A", 1), "mA": ("A", 1e-3), "uA": ("A", 1e-6),
    "ohm": ("ohm", 1), "kohm": ("ohm", 1e3), "Mohm": ("ohm", 1e6), "Gohm": ("ohm", 1e9),
    "nF": ("F", 1e-9), "uF": ("F", 1e-6), "pF": ("F", 1e-12), "dB": ("dB", 1), "dBm": ("dBm", 1), "dBmV": ("dBmV", 1), "dBrnC": ("dBrnC", 1),
    "ft": ("m", 0.3048), "m": ("m", 1), "in": ("m", 0.0254), "km": ("m", 1000), "kft": ("m", 304.8), "mi": ("m", 1609.344), "yd": ("m", 0.9144),
    "kb/s": ("b/s", 1e3), "Mb/s": ("b/s", 1e6), "Gb/s": ("b/s", 1e9), "W": ("W", 1), "mW": ("W", 1e-3),
    "Hz": ("Hz", 1), "kHz": ("Hz", 1e3), "MHz": ("Hz", 1e6), "ns": ("s", 1e-9), "us": ("s", 1e-6), "ms": ("s", 1e-3), "s": ("s", 1),
    "degC": ("degC", 1), "degF": ("degF", 1), "%": ("%", 1),
}
NUMERIC = {
    "dc_voltage": "V", "ac_voltage": "V", "loop_current": "A", "resistance": "ohm", "loop_resistance": "ohm", "insulation_resistance": "ohm",
    "capacitance": "F", "loss": "dB", "balance": "dB", "margin": "dB", "snr_margin": "dB", "attenuation": "dB", "return_loss": "dB", "crosstalk": "dB", "optical_loss": "dB",
    "noise": "dBrnC", "power_influence": "dBrnC", "optical_power": "dBm", "signal_level": None, "length": "m", "distance_to_fault": "m",
    "link_speed": "b/s", "sync_rate": "b/s", "poe_power": "W", "frequency": "Hz", "delay": "s", "skew": "s", "temperature": None,
}
ACTIONS = set("disconnect reconnect remove_clips install_clips terminate replace repair move apply_tone reset configure label notify refer restore install remove clean".split())
FAULTS = set("open short ground cross foreign_voltage noise line_held bad_device bad_jack bad_termination damaged_cable too_long high_resistance low_power misrouted reversed_polarity split_pair no_service config none".split())
REASONS = set("hypothetical instruction question planned conversation retracted recap quoted comment".split())
POINT_KEYS = {"kind", "label", "line", "block_type", "row", "pair", "column", "side", "port", "pins", "color", "either"}
STAMP = r"(?:(\d+):)?(\d{1,2}):(\d{2})[.,](\d{3})"


def seconds(h, m, s, ms) -> float:
    return int(h or 0) * 3600 + int(m) * 60 + int(s) + int(ms) / 1000


def read_vtt(path: Path) -> list[tuple[float, float, str]]:
    cues = []
    for block in re.split(r"\n\s*\n", path.read_text(encoding="utf-8").replace("\r\n", "\n")):
        lines = block.strip().split("\n")
        for n, line in enumerate(lines):
            m = re.match(rf"{STAMP}\s*-->\s*{STAMP}", line)
            if m:
                g = m.groups()
                cues.append((seconds(*g[:4]), seconds(*g[4:]), " ".join(lines[n + 1:]).strip()))
                break
    return cues


def gold_problems(name: str, cues, gold) -> list[str]:
    bad = []

    def say(text):
        bad.append(f"{name}: {text}")

    if [c for c in cues if c[1] <= c[0]] or any(b[0] < a[0] for a, b in zip(cues, cues[1:])):
        say("cue times do not run forward")
    for item in gold.get("events", []):
        where = f"event at cue {item.get('cue')}"
        if not 1 <= item.get("cue", 0) <= len(cues):
            say(f"{where}: no such cue")
        point = item.get("point")
        if point is not None:
            if point.get("kind") not in POINTS:
                say(f"{where}: point kind {point.get('kind')!r}")
            if set(point) - POINT_KEYS:
                say(f"{where}: point keys {set(point) - POINT_KEYS}")
            if point.get("side") not in SIDES | {None}:
                say(f"{where}: side {point.get('side')!r}")
        kind = item.get("kind")
        if kind == "reading":
            q = item.get("quantity")
            if q in STATES:
                if item.get("state") not in STATES[q]:
                    say(f"{where}: state {item.get('state')!r} of {q}")
            elif q in NUMERIC:
                if not isinstance(item.get("value"), (int, float)) or item.get("unit") not in UNITS:
                    say(f"{where}: {q} wants value and a known unit, not {item.get('value')!r} {item.get('unit')!r}")
                elif NUMERIC[q] and UNITS[item["unit"]][0] != NUMERIC[q]:
                    say(f"{where}: {q} in {item['unit']}")
            else:
                say(f"{where}: quantity {q!r}")
            if item.get("verdict") not in {"pass", "fail", "marginal", None}:
                say(f"{where}: verdict {item.get('verdict')!r}")
        elif kind == "action":
            if item.get("action") not in ACTIONS:
                say(f"{where}: action {item.get('action')!r}")
        elif kind != "note":
            say(f"{where}: kind {kind!r}")
    for item in gold.get("set_aside", []):
        if item.get("reason") not in REASONS or not 1 <= item.get("cue", 0) <= len(cues):
            say(f"set_aside {item}")
    d = gold.get("diagnosis")
    if not d:
        say("no diagnosis")
    else:
        if d.get("fault") not in FAULTS:
            say(f"fault {d.get('fault')!r}")
        if d.get("side") not in {"provider", "customer", "unknown"} or d.get("status") not in {"found", "mended", "repaired", "referred", "not_found"}:
            say(f"diagnosis side/status {d.get('side')!r} {d.get('status')!r}")
        if (d.get("element") or {"kind": "other"}).get("kind") not in POINTS:
            say(f"diagnosis element {d.get('element')!r}")
    return bad


def allowed(item, key):
    """The values that gold accepts for a key: its own, and those under 'either'."""
    own = [item.get(key)]
    for alt in item.get("either", []):
        if isinstance(alt, dict) and key in alt:
            own.append(alt[key])
    return own


def base(value, unit):
    dim, factor = UNITS.get(unit, (unit, 1))[:2]
    return dim, value * factor


def spread(gold):
    """The ends of a range that gold names in its conditions, else (None, None)."""
    for c in gold.get("conditions") or []:
        m = re.fullmatch(r"(-?[\d.]+)\.\.(-?[\d.]+)", str(c.get("is", ""))) if c.get("what") == "range" else None
        if m:
            return sorted((float(m.group(1)), float(m.group(2))))
    return None, None


def same_reading(got, gold) -> bool:
    if got.get("kind") != "reading" or got.get("quantity") not in allowed(gold, "quantity"):
        return False
    if gold.get("state") is not None:
        return got.get("state") in allowed(gold, "state")
    if not isinstance(got.get("value"), (int, float)) or isinstance(got.get("value"), bool):
        return False
    d1, v1 = base(got["value"], got.get("unit"))
    for value in allowed(gold, "value"):
        d2, v2 = base(value, gold["unit"])
        if d1 == d2 and abs(v1 - v2) <= 1e-6 * max(1.0, abs(v2)) + 1e-3 * abs(v2):
            return True
    low, high = spread(gold)
    return low is not None and d1 == base(0, gold["unit"])[0] and low <= got["value"] <= high and got.get("unit") == gold["unit"]


def same_action(got, gold) -> bool:
    return got.get("kind") == "action" and got.get("action") in allowed(gold, "action")


def squash(label) -> str:
    return re.sub(r"[^a-z0-9]", "", str(label or "").lower())


def same_point(got, gold, action=False) -> bool:
    """Kind and every detail that gold names; for an action a side left open is accepted."""
    if gold is None:
        return True
    if not got or got.get("kind") not in allowed(gold, "kind"):
        return False
    for key in POINT_KEYS - {"kind", "either", "label"}:
        want = gold.get(key)
        if want is None:
            continue
        have = got.get(key)
        if action and key == "side" and have is None:
            continue
        if isinstance(want, list):
            if sorted(map(str, have or [])) != sorted(map(str, want)):
                return False
        elif have not in allowed(gold, key) and str(have).lower() != str(want).lower():
            return False
    if gold.get("label"):
        have = squash(got.get("label"))
        wanted = [squash(x) for x in allowed(gold, "label")]
        if not any(want in have or (have and have in want) for want in wanted):
            return False
    return True


def pair_up(left: list, wanted: list[list]) -> bool:
    """Each kind that is left finds a want of its own, and none is over."""
    if len(left) != len(wanted):
        return False
    if not left:
        return True
    return any(left[0] in want and pair_up(left[1:], wanted[:i] + wanted[i + 1:]) for i, want in enumerate(wanted))


CORE = {"hook", "plug", "clips", "cord", "leads", "conductor", "strap", "digit", "panel", "test", "wavelength", "direction", "bound", "far_end"}
FACTS = ("work_order", "site", "contact", "line_numbers", "arrived", "departed", "return_visit")


def conditions_kept(got, gold) -> tuple[int, int]:
    """How many of the core conditions that gold names the event has, of how many."""
    have = {(c.get("what"), squash(c.get("is"))) for c in got.get("conditions") or []}
    want = [(c.get("what"), squash(c.get("is"))) for c in gold.get("conditions") or [] if c.get("what") in CORE]
    return sum(w in have for w in want), len(want)


def facts_kept(got: dict, gold: dict) -> tuple[int, int]:
    """Call facts that agree, of those gold has; texts agree when one holds the other, materials by quantity and unit."""
    right = total = 0
    for key in FACTS:
        if gold.get(key) in (None, [], ""):
            continue
        total += 1
        want, have = gold[key], got.get(key)
        if isinstance(want, list):
            right += {squash(x)[-4:] for x in want} == {squash(x)[-4:] for x in have or []}
        elif isinstance(want, bool):
            right += have is want
        else:
            a, b = squash(want), squash(have)
            right += bool(b) and (a in b or b in a)
    for item in gold.get("materials") or []:
        total += 1
        right += any(m.get("quantity") == item.get("quantity") and squash(m.get("unit")) == squash(item.get("unit")) for m in got.get("materials") or [])
    return right, total


def cue_of(t: float, cues) -> int:
    best = 1
    for n, (start, _end, _text) in enumerate(cues, 1):
        if t >= start - 0.05:
            best = n
    return best


def prf(tp, fp, fn):
    p = tp / (tp + fp) if tp + fp else 1.0
    r = tp / (tp + fn) if tp + fn else 1.0
    return {"precision": round(p, 4), "recall": round(r, 4), "f1": round(2 * p * r / (p + r), 4) if p + r else 0.0, "tp": tp, "fp": fp, "fn": fn}


def score_folder(folder: Path, made: Path, misses=False) -> dict:
    tally = {k: [0, 0, 0] for k in ("reading", "action")}
    point = [0, 0]; verdict = [0, 0]; diag = [0, 0]; aside = [0, 0]; ledger = [0, 0]; missing = []
    conditions = [0, 0]; facts = [0, 0]; status = [0, 0]; unjudged = [0, 0]; unplaced = [0, 0]
    for goldfile in sorted(folder.glob("*.gold.json")):
        name = goldfile.name[: -len(".gold.json")]
        gold, cues = json.loads(goldfile.read_text()), read_vtt(folder / f"{name}.vtt")
        path = made / f"{name}.timeline.json"
        if not path.exists():
            missing.append(name)
            got = {"events": [], "points": [], "diagnosis": None}
        else:
            got = json.loads(path.read_text())
        points = {p["id"]: p for p in got.get("points", [])}
        events = [e for e in got.get("events", []) if e.get("kind") in ("reading", "action")]
        taken = set()
        wanted = [g for g in gold["events"] if g["kind"] in ("reading", "action")]
        optional = [g for g in wanted if g.get("optional")]
        for g in sorted(wanted, key=lambda g: bool(g.get("optional"))):
            same = same_reading if g["kind"] == "reading" else same_action
            options = []
            for i, e in enumerate(events):
                if i in taken or not same(e, g):
                    continue
                off = abs(cue_of(e.get("start", 0.0), cues) - g["cue"])
                if off <= 1:
                    options.append((not same_point(points.get(e.get("point")), g.get("point"), g["kind"] == "action"), off, i))
            if not options:
                if not g.get("optional"):
                    tally[g["kind"]][2] += 1
                    if misses:
                        print(f"MISSED  {name} cue {g['cue']}: {json.dumps({k: v for k, v in g.items() if k != 'cue'})}  <<{cues[g['cue'] - 1][2]}>>")
                continue
            wrong, _off, i = min(options)
            taken.add(i)
            if g.get("optional"):
                continue
            tally[g["kind"]][0] += 1
            kept, asked = conditions_kept(events[i], g)
            conditions[0] += kept; conditions[1] += asked
            if misses and kept < asked:
                print(f"COND    {name} cue {g['cue']}: want {json.dumps(g['conditions'])} got {json.dumps(events[i].get('conditions'))}  <<{cues[g['cue'] - 1][2]}>>")
            if g["kind"] == "reading" and g.get("verdict") is None and not any("verdict" in a for a in g.get("either", []) if isinstance(a, dict)):
                unjudged[1] += 1
                unjudged[0] += events[i].get("verdict") is None or events[i].get("verdict_from") == "limit"
            if g.get("point") is None and "point" in g and g["kind"] == "reading":
                unplaced[1] += 1
                unplaced[0] += events[i].get("point") is None
            if g.get("point") is not None:
                point[1] += 1
                point[0] += not wrong
                if wrong and misses:
                    print(f"POINT   {name} cue {g['cue']}: want {json.dumps(g['point'])} got {json.dumps(points.get(events[i].get('point')))}  <<{cues[g['cue'] - 1][2]}>>")
            if g["kind"] == "reading" and g.get("verdict"):
                verdict[1] += 1
                ok = events[i].get("verdict") in allowed(g, "verdict")
                verdict[0] += ok
                if not ok and misses:
                    print(f"VERDICT {name} cue {g['cue']}: want {g['verdict']} got {events[i].get('verdict')}  <<{cues[g['cue'] - 1][2]}>>")
        gold_cues = {g["cue"] for g in wanted}
        for i, e in enumerate(events):
            if i not in taken:
                tally[e["kind"]][1] += 1
                if misses:
                    n = cue_of(e.get("start", 0.0), cues)
                    what = {k: e.get(k) for k in ("quantity", "value", "unit", "state", "action") if e.get(k) is not None}
                    print(f"EXTRA   {name} cue {n}: {json.dumps(what)}  <<{cues[n - 1][2] if cues else ''}>>")
        for s in gold.get("set_aside", []):
            if s["cue"] in gold_cues:
                continue
            aside[1] += 1
            aside[0] += not any(cue_of(e.get("start", 0.0), cues) == s["cue"] for i, e in enumerate(events) if i not in taken)
        d, g = got.get("diagnosis") or {}, gold["diagnosis"]
        element = points.get(d.get("element")) or {}
        want = g.get("element") or {}
        ok = d.get("fault") in allowed(g, "fault") and d.get("side") in allowed(g, "side") and (not want or element.get("kind") in allowed(want, "kind"))
        diag[1] += 1
        diag[0] += ok
        if not ok and misses:
            print(f"FAULT   {name}: want {json.dumps(g)} got fault={d.get('fault')} side={d.get('side')} element={element.get('kind')}")
        status[1] += 1
        status[0] += d.get("status") in allowed(g, "status")
        right, total = facts_kept(got.get("call") or {}, gold.get("call") or {})
        facts[0] += right; facts[1] += total
        if "unrestored" in gold:
            ledger[1] += 1
            left = [(points.get(x.get("point")) or {}).get("kind", "?") for x in got.get("ledger", []) if not x.get("restored_by")]
            must = [allowed(x, "kind") for x in gold["unrestored"] if not x.get("optional")]
            may = [allowed(x, "kind") for x in gold["unrestored"] if x.get("optional")]
            ok = any(pair_up(left, must + list(some)) for n in range(len(may) + 1) for some in combinations(may, n))
            ledger[0] += ok
            if not ok and misses:
                print(f"LEDGER  {name}: want {gold['unrestored']} got {left}")
    share = lambda a: round(a[0] / a[1], 4) if a[1] else None
    return {"transcripts": diag[1], "not_made": missing, "readings": prf(*tally["reading"]), "actions": prf(*tally["action"]),
            "point_accuracy": share(point), "verdict_accuracy": share(verdict), "set_aside_kept_out": share(aside),
            "diagnosis_right": share(diag), "status_right": share(status), "ledger_right": share(ledger),
            "conditions_kept": share(conditions), "call_facts": share(facts), "verdict_left_open": share(unjudged), "point_left_open": share(unplaced)}


def main() -> int:
    ap = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    sub = ap.add_subparsers(dest="do", required=True)
    c = sub.add_parser("check"); c.add_argument("folder", type=Path)
    s = sub.add_parser("score"); s.add_argument("folder", type=Path); s.add_argument("made", type=Path); s.add_argument("--misses", action="store_true")
    a = ap.parse_args()
    if a.do == "check":
        bad, n = [], 0
        for goldfile in sorted(a.folder.glob("*.gold.json")):
            name = goldfile.name[: -len(".gold.json")]
            n += 1
            bad += gold_problems(name, read_vtt(a.folder / f"{name}.vtt"), json.loads(goldfile.read_text()))
        print("\n".join(bad) or "all well formed")
        print(f"{n} transcripts, {len(bad)} problems")
        return bool(bad)
    print(json.dumps(score_folder(a.folder, a.made, a.misses)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
