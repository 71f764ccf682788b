"""Where a pair is: colors, binder, rows of a 66 block, clips of a 110 block, pins of jacks; what a wire map tells."""

from __future__ import annotations

import re

from callnotes.calc import blocks, colors, jacks
from callnotes.calc.jacks import Wiring
from callnotes.calc.rounding import listed
from callnotes.cli.calc.answer import Answer, Figure
from callnotes.cli.calc.given import Given, whole

_OPEN = ("open", "o", "x", "-")


def pair(given: Given) -> Answer:
    """``pair``: everything about a pair, from its number or its colors."""
    said = given.word("pair")
    heard = None if re.fullmatch(r"[+-]?[\d.]+", said) else colors.conductor(said)
    binder = given.word("binder") if given.has("binder") else None
    if heard is None:
        number = whole(float(said), "pair")
    else:
        unit = given.word("super-unit") if given.has("super-unit") else None
        number = colors.pair_number(said, binder=_binder_colors(binder), super_unit=unit)
    found = colors.cable_pair(number)
    if given.has("cable") and number > given.count("cable"):
        raise ValueError(f"a {given.count('cable')}-pair cable has no pair {number}")
    in_binder = found.pair_in_binder
    rows, pins = blocks.rows_of_pair(in_binder), blocks.rj21_pins(in_binder)
    clip = blocks.clip_110(number, clip_size=given.count("clip"))
    wire = f"the {heard.lead} of " if heard else ""
    line = f"{wire}pair {number}: {found.tip} (tip) and {found.ring} (ring), binder {found.binder_no} {found.binder}"
    told = {
        **{name: Figure(getattr(found, name)) for name in ("pair", "tip", "ring", "binder_no", "binder")},
        **{name: Figure(getattr(found, name)) for name in ("pair_in_binder", "super_unit")},
        **{"tip_row": Figure(rows.tip_row), "ring_row": Figure(rows.ring_row)},
        **{"tip_pin": Figure(pins.tip_pin), "ring_pin": Figure(pins.ring_pin)},
        **{"row_110": Figure(clip.row), "clip_110": Figure(clip.clip), "position_110": Figure(clip.position)},
        "conductor": Figure(heard.lead if heard else None),
    }
    used = (
        f"pair {in_binder} of its binder; super-unit {found.super_unit} (pairs 1 to 600 are white)",
        f"66 block of that binder: tip on row {rows.tip_row}, ring on row {rows.ring_row}, from the top",
        f"50-pin connector: ring on pin {pins.ring_pin}, tip on pin {pins.tip_pin}",
        f"110 block: row {clip.row}, clip {clip.clip}, position {clip.position} ({given.count('clip')}-pair clips)",
    )
    return Answer(line, told, used)


def binder(given: Given) -> Answer:
    """``binder``: the pairs of a binder, from its number or its colors."""
    said = given.word("binder")
    number = colors.binder_number(_binder_colors(said) or said)
    name = colors.pair_colors(number).tip
    last = colors.PAIRS_PER_BINDER * number
    first = last - colors.PAIRS_PER_BINDER + 1
    told = {"binder_no": Figure(number), "binder": Figure(name), "first": Figure(first), "last": Figure(last)}
    notes = ("In a cable of more than 600 pairs add 600 for every super-unit before it.",)
    return Answer(f"binder {number}, {name}: pairs {first} to {last}", told, (), notes)


def row(given: Given) -> Answer:
    """``row``: what lands on a row of a 66 block."""
    number = given.count("row")
    found = blocks.pair_of_row(number)
    told = {"pair": Figure(found.pair), "conductor": Figure(found.lead), "color": Figure(found.color)}
    rows = blocks.rows_of_pair(found.pair)
    used = (f"pair {found.pair} stands on rows {rows.tip_row} (tip) and {rows.ring_row} (ring)",)
    return Answer(f"row {number} is the {found.lead} of pair {found.pair}, {found.color}", told, used)


def clips(given: Given) -> Answer:
    """``clips``: whether two clips of one row of a split 66 block are one point."""
    if len(given.measures("clips")) != 2:
        raise ValueError("it takes two clips of one row, 1 to 4 from the left, e.g. 1 3")
    a, b = (whole(one.value, "clip") for one in given.measures("clips"))
    bridged = given.has("bridged")
    one = blocks.joined(a, b, bridging_clip=bridged)
    with_clip = "with a bridging clip" if bridged else "without a bridging clip"
    line = f"clips {a} and {b} {'are one point' if one else 'are NOT joined'} {with_clip}"
    return Answer(line, {"joined": Figure(one)}, ("1-2 common, 3-4 common; a bridging clip joins 2 and 3",))


def jack(given: Given) -> Answer:
    """``jack``: what belongs on the pins of a jack."""
    name = given.word("jack").upper()
    if name == "RJ31X":
        raise ValueError("the RJ31X is a sum of its own: callnotes calc alarm-jack")
    if name == "RJ21X":
        return _ribbon(_asked(given, "pin"))
    if name in jacks.PAIR_PINS:
        return _data_jack("T568A" if name == "T568A" else "T568B", given.count("pin") if given.has("pin") else None)
    if name not in jacks.LINE_PINS:
        raise ValueError(f"no jack {name!r} here; there are {', '.join([*jacks.LINE_PINS, 'RJ21X, T568A, T568B'])}")
    line = given.count("line")
    found = jacks.jack_line(name, line)
    old = found.old_colors
    text = f"line {line} of an {name} is on pins {found.tip_pin} (tip) and {found.ring_pin} (ring)"
    colored = [f"twisted pair: {listed(found.new_colors)}"] + ([f"old quad: {listed(old)}"] if old else [])
    told = {"tip_pin": Figure(found.tip_pin), "ring_pin": Figure(found.ring_pin)}
    told |= {"new_colors": Figure(found.new_colors), "old_colors": Figure(old)}
    notes = ("One source has orange for blue on pins 1 and 6 of the old wire: read the label.",) if line == 3 else ()
    return Answer(text, told, tuple(colored), notes)


def alarm_jack(given: Given) -> Answer:
    """``alarm-jack``: pins of an RJ31X, and what its bars do with the plug in or out."""
    plug_in = given.word("plug") == "in"
    found = jacks.alarm_jack(plug_in=plug_in)
    line = "RJ31X: line in on 5 (tip) and 4 (ring), house on 8 (tip) and 1 (ring)"
    told = {
        **{"line_tip": Figure(found.line_tip), "line_ring": Figure(found.line_ring)},
        **{"house_tip": Figure(found.house_tip), "house_ring": Figure(found.house_ring)},
        **{"bars_closed": Figure(found.bars_closed), "house_phones_work": Figure(found.house_phones_work)},
    }
    out = "plug out: bars join 1-4 and 5-8 and the house phones work"
    plugged = "plug in: the bars are open and the panel decides whether the house has the line"
    return Answer(line, told, (plugged if plug_in else out,))


def wiremap(given: Given) -> Answer:
    """``wiremap``: the faults that a map of eight pins shows, or that two ends wired differently make."""
    said = given.words("ends")
    if len(said) == 2:
        ends = ["T568A" if end.upper().endswith("A") else "T568B" for end in said if end.upper() in _WIRINGS]
        if len(ends) != 2:
            raise ValueError(f"an end is T568A or T568B, not {' and '.join(said)}")
        found = jacks.mixed_ends("T568A" if ends[0] == "T568A" else "T568B", "T568A" if ends[1] == "T568A" else "T568B")
    elif len(said) == 8:
        far = [None if end.lower() in _OPEN else whole(_digits(end), "far pin") for end in said]
        found = jacks.wire_map(dict(enumerate(far, 1)))
    else:
        raise ValueError("it takes two ends (T568A T568B) or the far pin of each of the pins 1 to 8 (x is open)")
    shown = " ".join("-" if pin is None else str(pin) for pin in found.far_pins)
    told = {"far_pins": Figure(found.far_pins), "faults": Figure(found.faults)}
    line = "; ".join(found.faults) or "straight through: no fault that a dc map shows"
    notes = ("A split pair passes every dc map: it takes NEXT or impedance to find one.",)
    return Answer(line, told, (f"pins 1 to 8 come out on {shown}",), notes)


_WIRINGS = ("T568A", "T568B", "A", "B", "568A", "568B")


def _binder_colors(said: str | None) -> str | None:
    if said is None or not re.fullmatch(r"[\d.]+", said):
        return said
    number = whole(float(said), "binder")
    if not 1 <= number <= colors.BINDERS_PER_UNIT:
        raise ValueError(f"a unit has binders 1 to {colors.BINDERS_PER_UNIT}, not {number}")
    return colors.pair_colors(number).tip


def _asked(given: Given, name: str) -> int:
    if not given.has(name):
        raise ValueError(f"which {name}? add --{name} 1")
    return given.count(name)


def _digits(said: str) -> float:
    if not said.isdigit():
        raise ValueError(f"{said!r} is no pin")
    return float(said)


def _ribbon(pin: int) -> Answer:
    found = blocks.pair_of_rj21_pin(pin)
    told = {"pair": Figure(found.pair), "conductor": Figure(found.lead), "color": Figure(found.color)}
    return Answer(f"pin {pin} of an RJ21X is the {found.lead} of pair {found.pair}, {found.color}", told)


def _data_jack(wiring: Wiring, pin: int | None) -> Answer:
    pins = range(1, 9) if pin is None else (pin,)
    found = {one: jacks.t568_pin(one, wiring) for one in pins}
    told = {
        f"pin_{one}_{name}": Figure(getattr(at, name))
        for one, at in found.items()
        for name in ("pair", "lead", "color")
    }
    rows = [f"pin {one}: {at.color} ({at.lead} of pair {at.pair})" for one, at in found.items()]
    if pin is not None:
        return Answer(f"{wiring} {rows[0]}", told)
    return Answer(f"{wiring}: {', '.join(at.color for at in found.values())}", told, tuple(rows))


SUMS = {
    "pair": pair,
    "binder": binder,
    "row": row,
    "clips": clips,
    "jack": jack,
    "alarm-jack": alarm_jack,
    "wiremap": wiremap,
}
