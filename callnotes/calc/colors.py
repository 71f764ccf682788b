"""The 25-pair color code: pair to colors and back, binders, super-units, and which wire of a pair was meant.

Source: 7 CFR 1755.870 and 1755.890 (read); the pair table also at pbxbook.com and everything2.com (read). Exceptions
that were read: some 26-pair cables add red-white as pair 26, some cable marks the tip with a solid color only, buried
wire of 1755.860 may have solid white tips, and other countries use 10-pair binders. Screened cable has service pairs
outside the code.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from callnotes.calc.figures import whole

Lead = Literal["tip", "ring"]

TIP_COLORS = ("white", "red", "black", "yellow", "violet")
RING_COLORS = ("blue", "orange", "green", "brown", "slate")
# Spoken names of the same colors.
ALSO_CALLED = {"gray": "slate", "grey": "slate", "purple": "violet"}
PAIRS_PER_BINDER = 25
# Violet-slate names no binder, so a unit is 600 pairs, not 625 (1755.870, 1755.890, read).
BINDERS_PER_UNIT = 24
PAIRS_PER_UNIT = PAIRS_PER_BINDER * BINDERS_PER_UNIT
SUPER_UNITS = TIP_COLORS + RING_COLORS
LAST_PAIR = PAIRS_PER_UNIT * len(SUPER_UNITS)
# Service pairs of screened cable, by number (1755.890, read).
SERVICE_PAIRS = {
    1: "white-red",
    2: "white-black",
    3: "white-yellow",
    4: "white-violet",
    5: "red-black",
    6: "red-yellow",
    7: "red-violet",
    8: "black-yellow",
    9: "black-violet",
}


@dataclass(frozen=True, slots=True)
class PairColors:
    """Colors of a pair: ``tip`` is tip color with ring-color mark (``red-orange``), ``ring`` the reverse."""

    pair: int
    tip: str
    ring: str


@dataclass(frozen=True, slots=True)
class CablePair:
    """Where a pair of a cable lies.

    ``super_unit`` is the color of its 600, ``binder_no`` (1 to 24) and ``binder`` its group of 25, ``pair_in_binder``
    its number there; ``tip`` and ``ring`` are the colors of its wires.
    """

    pair: int
    super_unit: str
    binder_no: int
    binder: str
    pair_in_binder: int
    tip: str
    ring: str


@dataclass(frozen=True, slots=True)
class Conductor:
    """One wire of a pair of the 25-pair code."""

    pair: int
    lead: Lead
    color: str


def pair_colors(pair: int) -> PairColors:
    """Colors of pair 1 to 25, e.g. 18 -> yellow-green and green-yellow; ``ValueError`` outside 1 to 25."""
    group, place = divmod(whole(pair, "pair of the 25-pair code", 1, PAIRS_PER_BINDER) - 1, 5)
    tip, ring = TIP_COLORS[group], RING_COLORS[place]
    return PairColors(pair, f"{tip}-{ring}", f"{ring}-{tip}")


def cable_pair(pair: int) -> CablePair:
    """Where a pair of a cable lies, e.g. 617 -> red super-unit, binder 1 white-blue, pair 17, yellow-orange.

    ``ValueError`` outside 1 to 6000.
    """
    unit, in_unit = divmod(whole(pair, "pair of a cable", 1, LAST_PAIR) - 1, PAIRS_PER_UNIT)
    binder, in_binder = divmod(in_unit, PAIRS_PER_BINDER)
    colors = pair_colors(in_binder + 1)
    return CablePair(
        pair=pair,
        super_unit=SUPER_UNITS[unit],
        binder_no=binder + 1,
        binder=pair_colors(binder + 1).tip,
        pair_in_binder=in_binder + 1,
        tip=colors.tip,
        ring=colors.ring,
    )


def conductor(heard: str) -> Conductor:
    """Which wire was named, dominant color first, e.g. ``orange-red`` -> ring of pair 7; ``red/orange`` -> its tip.

    Takes ``gray`` and ``grey`` for slate, ``purple`` for violet, and any of space, dash, slash, comma, *and*, *with*
    between. ``ValueError`` where the two words are no pair of the code.
    """
    first, second = _two_colors(heard)
    if first in TIP_COLORS and second in RING_COLORS:
        return Conductor(_pair_number(first, second), "tip", f"{first}-{second}")
    if first in RING_COLORS and second in TIP_COLORS:
        return Conductor(_pair_number(second, first), "ring", f"{first}-{second}")
    side = "tip" if first in TIP_COLORS else "ring"
    hint = "; as a service pair of screened cable it exists" if _is_service_pair(first, second) else ""
    raise ValueError(f"{first} and {second} are both {side} colors, so {heard!r} is no pair of the 25-pair code{hint}")


def pair_number(heard: str, *, binder: str | None = None, super_unit: str | None = None) -> int:
    """Number of a pair from its colors in either order, e.g. ``black-brown`` in binder ``red-green`` -> 189.

    Without a binder, the number within the 25. ``ValueError`` for unknown colors, for the binder violet-slate, which
    does not exist, and for a super-unit without a binder.
    """
    pair = conductor(heard).pair
    if binder is None:
        if super_unit is not None:
            raise ValueError("a super-unit needs a binder beside it to give a pair number")
        return pair
    unit = 0 if super_unit is None else _super_unit_index(super_unit)
    return unit * PAIRS_PER_UNIT + PAIRS_PER_BINDER * (binder_number(binder) - 1) + pair


def binder_number(binder: str) -> int:
    """Number of a binder from its colors, e.g. ``red-green`` -> 8; ``ValueError`` for violet-slate."""
    number = conductor(binder).pair
    if number > BINDERS_PER_UNIT:
        raise ValueError("violet-slate is no binder color: a unit has 24 binders, white-blue to violet-brown")
    return number


def _pair_number(tip: str, ring: str) -> int:
    return TIP_COLORS.index(tip) * 5 + RING_COLORS.index(ring) + 1


def _super_unit_index(color: str) -> int:
    return SUPER_UNITS.index(_color(color))


def _two_colors(heard: str) -> tuple[str, str]:
    words = [word for word in re.split(r"[^a-z]+", heard.lower()) if word not in ("", "and", "with")]
    if len(words) != 2:
        raise ValueError(f"{heard!r} does not name two colors")
    return _color(words[0]), _color(words[1])


def _color(word: str) -> str:
    name = ALSO_CALLED.get(word.strip().lower(), word.strip().lower())
    if name not in SUPER_UNITS:
        raise ValueError(f"{word!r} is no color of the code; those are {', '.join(SUPER_UNITS)}")
    return name


def _is_service_pair(first: str, second: str) -> bool:
    return any({first, second} == set(colors.split("-")) for colors in SERVICE_PAIRS.values())
