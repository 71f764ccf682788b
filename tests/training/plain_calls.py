"""Annotated calls as plain text, the way a person writes them, read into items of annotated talk.

    == id | who speaks and how
    %call work_order=4471; site=bait shop, Cutter Road; contact=Merle; technician=Ann Boyd; arrived=08:20
    %materials 2 bridging clip; 85 ft station wire
    %diagnosis status=repaired fault=open element=block side=customer
    %left alarm_panel
    A line of talk, one cue a line.
      r dial_tone=absent | block block_type=66 pair=7 side=left | clips=in | fail | no tone here | left side of seven
      r dc_voltage=-49.8 V | demarc line=2 side=provider | plug=out | - | minus forty-nine point eight |
      a disconnect | demarc line=2 side=customer | | | pulled the plug | the plug
      ? hypothetical

Fields of an event: what; point (``-`` where nobody could tell, details as ``key=value``, lists with commas, blanks
within a value as ``_``); conditions; verdict (``-`` none); the exact words; the exact words that name the place, if
any. A ``~`` before ``r`` or ``a`` marks it optional. ``python tests/training/plain_calls.py FILE...`` checks.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

LISTS = ("row", "pins")
WHOLE = ("pair", "port")
VERDICTS = ("pass", "fail", "marginal")
REASONS = {
    "hypothetical", "instruction", "question", "planned", "conversation", "retracted", "recap", "comment", "quoted",
}  # fmt: skip
DETAILS = {"label", "line", "block_type", "row", "pair", "column", "side", "port", "pins", "color"}


class Amiss(ValueError):
    """What is wrong in a file, with its line."""


def calls_of(text: str) -> Iterator[dict[str, Any]]:
    """The items of a file. Raises Amiss at the first line that cannot be read."""
    item: dict[str, Any] | None = None
    for number, line in enumerate(text.splitlines(), 1):
        bare = line.strip()
        if not bare or bare.startswith("#"):
            continue
        try:
            if bare.startswith("=="):
                if item:
                    yield item
                name, _, style = bare[2:].partition("|")
                item = {"id": name.strip(), "style": style.strip(), "cues": [], "events": [], "set_aside": []}
            elif item is None:
                raise Amiss("no '== id | style' line above it")
            elif bare.startswith("%"):
                _head(item, bare)
            elif line[0].isspace():
                _mark(item, bare)
            else:
                item["cues"].append(bare)
        except (Amiss, ValueError, KeyError) as error:
            raise Amiss(f"line {number}: {error}: {bare}") from error
    if item:
        yield item


def _head(item: dict[str, Any], line: str) -> None:
    name, _, rest = line[1:].partition(" ")
    if name == "call":
        fields = dict(part.strip().split("=", 1) for part in rest.split(";") if part.strip())
        item["call"] = {**item.get("call", {}), **fields}
        if "line_numbers" in fields:
            item["call"]["line_numbers"] = re.split(r",\s*", fields["line_numbers"])
        if "tickets" in fields:
            item["call"]["tickets"] = [{"number": number} for number in re.split(r",\s*", fields["tickets"])]
        if "return_visit" in fields:
            item["call"]["return_visit"] = fields["return_visit"] == "true"
    elif name == "materials":
        made = []
        for part in filter(None, map(str.strip, rest.split(";"))):
            found = re.fullmatch(r"(?:([\d.]+)\s+)?(?:(ft|m)\s+)?(.+)", part)
            assert found
            amount, unit, thing = found.groups()
            made.append({"item": thing, "quantity": float(amount) if amount else None, "unit": unit})
        item.setdefault("call", {})["materials"] = made
    elif name == "diagnosis":
        fields = dict(part.split("=", 1) for part in rest.split())
        element = fields.pop("element", None)
        item["diagnosis"] = {**fields, "element": {"kind": element} if element else None}
    elif name == "left":
        item["unrestored"] = [{"kind": kind} for kind in rest.split()]
    else:
        raise Amiss(f"no heading '%{name}' is known")


def _mark(item: dict[str, Any], line: str) -> None:
    cue = len(item["cues"])
    if not cue:
        raise Amiss("a mark before any talk")
    if line.startswith("?"):
        reason = line[1:].strip()
        if reason not in REASONS:
            raise Amiss(f"no reason '{reason}'")
        item["set_aside"].append({"cue": cue, "reason": reason})
        return
    event = _event(line)
    for key in ("words", "place_words"):
        if event.get(key) and event[key].lower() not in item["cues"][-1].lower():
            raise Amiss(f"'{event[key]}' is not in the talk above")
    item["events"].append({"cue": cue, **event})


def _event(line: str) -> dict[str, Any]:
    fields = [part.strip() for part in line.split("|")] + [""] * 6
    what, point, conditions, verdict, words, place = fields[:6]
    optional = what.startswith("~")
    mark, _, name = what.lstrip("~").strip().partition(" ")
    event: dict[str, Any] = {"kind": {"r": "reading", "a": "action"}[mark], "point": _point(point)}
    if optional:
        event["optional"] = True
    if mark == "a":
        event["action"] = name.strip()
    else:
        event |= _reading(name)
        event["verdict"] = None if verdict in ("", "-") else verdict
        if event["verdict"] not in (None, *VERDICTS):
            raise Amiss(f"no verdict '{verdict}'")
    if conditions not in ("", "-"):
        pairs = [part.strip().split("=", 1) for part in conditions.split(",")]
        event["conditions"] = [{"what": a, "is": b.replace("_", " ")} for a, b in pairs]
    if not words:
        raise Amiss("the words are missing")
    return event | {"words": words, "place_words": place or None}


def _reading(name: str) -> dict[str, Any]:
    quantity, _, said = name.partition("=")
    value, _, unit = said.partition(" ")
    if unit or re.fullmatch(r"[-+]?[\d.]+", value):
        return {"quantity": quantity, "value": float(value), "unit": unit or None}
    return {"quantity": quantity, "state": value}


def _point(said: str) -> dict[str, Any] | None:
    if said in ("", "-"):
        return None
    kind, *details = said.split()
    point: dict[str, Any] = {"kind": kind}
    for detail in details:
        key, value = detail.split("=", 1)
        if key not in DETAILS:
            raise Amiss(f"no detail '{key}'")
        if key in LISTS:
            point[key] = [int(one) for one in value.split(",")]
        else:
            point[key] = int(value) if key in WHOLE and value.isdigit() else value.replace("_", " ")
    return point


def main() -> None:
    for name in sys.argv[1:]:
        try:
            items = list(calls_of(Path(name).read_text(encoding="utf-8")))
        except Amiss as error:
            print(f"{name}: {error}")
            continue
        cues = sum(len(item["cues"]) for item in items)
        print(f"{name}: {len(items)} calls, {cues} cues, {sum(len(item['events']) for item in items)} events: sound")


if __name__ == "__main__":
    main()
