"""Jacks: pins by T568A and T568B, what a map of pins tells, lines on registered jacks, the alarm jack."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from callnotes.calc.colors import Lead, pair_colors
from callnotes.calc.figures import whole

Wiring = Literal["T568A", "T568B"]

# Pins of pairs 1 to 4 as (tip, ring). ANSI/TIA-568: the pins of the pairs were read, which color where is from
# memory (high).
PAIR_PINS: dict[Wiring, tuple[tuple[int, int], ...]] = {
    "T568A": ((5, 4), (3, 6), (1, 2), (7, 8)),
    "T568B": ((5, 4), (1, 2), (3, 6), (7, 8)),
}
# Pins of lines as (tip, ring). RJ11C, RJ14C, RJ25C: academickids.com, sqlsnippets.com (read); RJ61X: academickids.com
# (read). One source has orange for blue on positions 1 and 6 of the old quad: read the label.
LINE_PINS: dict[str, tuple[tuple[int, int], ...]] = {
    "RJ11C": ((4, 3),),
    "RJ14C": ((4, 3), (2, 5)),
    "RJ25C": ((4, 3), (2, 5), (1, 6)),
    "RJ61X": ((5, 4), (3, 6), (2, 7), (1, 8)),
}
OLD_COLORS = (("green", "red"), ("black", "yellow"), ("white", "blue"))


@dataclass(frozen=True, slots=True)
class Pin:
    """What belongs on one pin: the pair, which of its wires, its color (``white-orange``, ``orange``)."""

    pair: int
    lead: Lead
    color: str


@dataclass(frozen=True, slots=True)
class WireMap:
    """Far pin for near pins 1 to 8 (None: open), and the faults that a dc map can show, in words."""

    far_pins: tuple[int | None, ...]
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JackLine:
    """Pins of a line on a jack; colors as (tip, ring), old quad colors None where the jack has none."""

    tip_pin: int
    ring_pin: int
    old_colors: tuple[str, str] | None
    new_colors: tuple[str, str]


@dataclass(frozen=True, slots=True)
class AlarmJack:
    """An RJ31X: the line comes in on 5 (tip) and 4 (ring) and goes on to the house on 8 (tip) and 1 (ring).

    ``bars_closed``: bars join 1-4 and 5-8. ``house_phones_work`` is None with the plug in, where the panel decides.
    """

    line_tip: int
    line_ring: int
    house_tip: int
    house_ring: int
    bars_closed: bool
    house_phones_work: bool | None


def t568_pin(pin: int, wiring: Wiring) -> Pin:
    """What belongs on pin 1 to 8, e.g. 3 -> T568A pair 2 white-orange, T568B pair 3 white-green."""
    whole(pin, "pin of an 8-position jack", 1, 8)
    for pair, (tip, ring) in enumerate(_pair_pins(wiring), 1):
        if pin in (tip, ring):
            lead: Lead = "tip" if pin == tip else "ring"
            both = pair_colors(pair).tip
            return Pin(pair, lead, both if lead == "tip" else both.split("-")[1])
    raise AssertionError("the tables cover pins 1 to 8")


def mixed_ends(near: Wiring, far: Wiring) -> WireMap:
    """The map of a cable with these ends, e.g. T568A and T568B -> 1-2 and 3-6 exchanged, a crossover.

    Source: a public tester guide (read).
    """
    far_of = {
        near_pin: far_pin
        for near_pair, far_pair in zip(_pair_pins(near), _pair_pins(far), strict=True)
        for near_pin, far_pin in zip(near_pair, far_pair, strict=True)
    }
    return wire_map({pin: far_of[pin] for pin in range(1, 9)})


def wire_map(far_of: Mapping[int, int | None]) -> WireMap:
    """Reads a dc map of pins: opens, shorts, reversed pairs, crossed pairs. A pin that is left out counts as open.

    A split pair passes every dc map; it needs NEXT or impedance. Source of the definitions: igirard.com (read).
    ``ValueError`` for a pin outside 1 to 8.
    """
    for pin in (*far_of, *(far for far in far_of.values() if far is not None)):
        whole(pin, "pin of an 8-position jack", 1, 8)
    far = tuple(far_of.get(pin) for pin in range(1, 9))
    pairs = sorted(tuple(sorted(pins)) for pins in PAIR_PINS["T568A"])
    return WireMap(far, tuple(_opens(far) + _shorts(far) + _exchanges(far, pairs)))


def jack_line(jack: str, line: int) -> JackLine:
    """Pins and colors of a line on a registered jack, e.g. line 2 of RJ14C -> tip 2, ring 5, black and yellow.

    ``ValueError`` for an unknown jack or a line that it does not have.
    """
    pins = LINE_PINS.get(jack.strip().upper())
    if pins is None:
        raise ValueError(f"no jack {jack!r} here; there are {', '.join(LINE_PINS)}")
    tip_pin, ring_pin = pins[whole(line, f"line of an {jack}", 1, len(pins)) - 1]
    colors = pair_colors(line)
    old = OLD_COLORS[line - 1] if jack.strip().upper() != "RJ61X" else None
    return JackLine(tip_pin, ring_pin, old, (colors.tip, colors.ring))


def alarm_jack(*, plug_in: bool) -> AlarmJack:
    """The RJ31X with its plug in or out. Out, the bars give the house its dial tone back.

    Source: bars and colors read at pe2bz.philpem.me.uk and in an alarm-panel manual; pin numbers from memory of
    47 CFR 68.502 (high). Tell the monitoring station before the plug comes out.
    """
    return AlarmJack(5, 4, 8, 1, bars_closed=not plug_in, house_phones_work=None if plug_in else True)


def _pair_pins(wiring: Wiring) -> tuple[tuple[int, int], ...]:
    if wiring not in PAIR_PINS:
        raise ValueError(f"no wiring {wiring!r}; there are T568A and T568B")
    return PAIR_PINS[wiring]


def _opens(far: tuple[int | None, ...]) -> list[str]:
    return [f"open on {pin}" for pin, end in enumerate(far, 1) if end is None]


def _shorts(far: tuple[int | None, ...]) -> list[str]:
    ends: dict[int, list[int]] = {}
    for pin, end in enumerate(far, 1):
        if end is not None:
            ends.setdefault(end, []).append(pin)
    return [f"short between {' and '.join(map(str, pins))}" for pins in ends.values() if len(pins) > 1]


def _exchanges(far: tuple[int | None, ...], pairs: list[tuple[int, ...]]) -> list[str]:
    found, crossed = [], set()
    for pair in pairs:
        ends = tuple(far[pin - 1] for pin in pair)
        if None in ends or len(set(ends)) == 1:
            continue
        landed = tuple(sorted(end for end in ends if end is not None))
        if landed == pair:
            found += [f"reversed pair {_name(pair)}"] if ends != pair else []
        elif landed in pairs:
            crossed.add(frozenset({pair, landed}))
        else:
            found.append(f"wires of pair {_name(pair)} land on two pairs: {landed[0]} and {landed[1]}")
    names = (sorted(map(_name, both)) for both in crossed)
    found += [f"crossed pairs {a} and {b}" + (" (crossover)" if (a, b) == ("1-2", "3-6") else "") for a, b in names]
    return sorted(found)


def _name(pair: tuple[int, ...]) -> str:
    return "-".join(map(str, pair))
