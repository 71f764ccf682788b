"""Punch-down blocks and the 50-pin connector: rows, clips and pins of a pair, both ways.

A telephone pair is always two conductors; on a 66 block they stand on two rows, one above the other (common practice,
no published source).
"""

from __future__ import annotations

from dataclasses import dataclass

from callnotes.calc.colors import Lead, pair_colors
from callnotes.calc.figures import whole

ROWS_66 = 50
CLIPS_66 = 4
# 110 clips: five 5-pair clips for 25-pair cable, six 4-pair clips for 4-pair cable, from memory (high).
PAIRS_PER_ROW_110 = {5: 25, 4: 24}


@dataclass(frozen=True, slots=True)
class PairRows:
    """Rows of a pair on a 66 block, and the colors that belong on them."""

    pair: int
    tip_row: int
    ring_row: int
    tip: str
    ring: str


@dataclass(frozen=True, slots=True)
class PairPins:
    """Pins of a pair on a 50-pin connector, and the colors that belong on them."""

    pair: int
    tip_pin: int
    ring_pin: int
    tip: str
    ring: str


@dataclass(frozen=True, slots=True)
class Landing:
    """What lands on one row or pin: the pair, which of its wires, and that wire's color."""

    pair: int
    lead: Lead
    color: str


@dataclass(frozen=True, slots=True)
class Clip110:
    """Place of a pair on a 110 block, each counted from 1, left to right, top to bottom."""

    row: int
    clip: int
    position: int


def rows_of_pair(pair: int) -> PairRows:
    """Rows of a pair on a 25-pair 66 block, e.g. 7 -> tip on 13, ring on 14.

    Source: 50 rows read at en.wikipedia.org (66 block), wire numbers read at pbxbook.com; that the row is the wire
    number is the usual order of punching from the top down (inferred). ``ValueError`` outside 1 to 25.
    """
    colors = pair_colors(pair)
    return PairRows(pair, 2 * pair - 1, 2 * pair, colors.tip, colors.ring)


def pair_of_row(row: int) -> Landing:
    """What lands on a row of a 66 block, e.g. 36 -> ring of pair 18. ``ValueError`` outside 1 to 50."""
    pair = (whole(row, "row of a 66 block", 1, ROWS_66) + 1) // 2
    return _landing(pair, _lead(row % 2 == 1))


def joined(clip_a: int, clip_b: int, *, bridging_clip: bool) -> bool:
    """Whether two clips (1 to 4, left to right) of one row of a split 66 block have continuity.

    The left two are common and the right two are common; the halves are apart until a bridging clip joins 2 and 3.
    Source: en.wikipedia.org (66 block) and homephonewiring.com (read). So a reading at either left clip is one point.
    """
    left_a, left_b = (whole(clip, "clip of a row", 1, CLIPS_66) <= 2 for clip in (clip_a, clip_b))
    return left_a == left_b or bridging_clip


def rj21_pins(pair: int) -> PairPins:
    """Pins of a pair on a 50-pin connector (RJ21X), e.g. 18 -> ring on 18, tip on 43.

    Source: liquisearch.com, registered jack RJ21 (read). ``ValueError`` outside 1 to 25.
    """
    colors = pair_colors(pair)
    return PairPins(pair, pair + 25, pair, colors.tip, colors.ring)


def pair_of_rj21_pin(pin: int) -> Landing:
    """What lands on a pin of a 50-pin connector, e.g. 31 -> tip of pair 6, red-blue. ``ValueError`` outside 1 to 50."""
    tip = whole(pin, "pin of a 50-pin connector", 1, 50) > 25
    return _landing(pin - 25 if tip else pin, _lead(tip))


def clip_110(pair: int, *, clip_size: int = 5) -> Clip110:
    """Place of a pair on a 110 block, e.g. 18 with 5-pair clips -> row 1, clip 4, position 3.

    ``clip_size`` is 5 (25 pairs a row) or 4 (24 pairs a row). Source: left-to-right count read in a modem manual, clip
    counts from memory (high). A 100-pair base has 4 rows; pairs beyond go on to the next base's rows.
    """
    if clip_size not in PAIRS_PER_ROW_110:
        raise ValueError(f"a 110 clip takes 4 or 5 pairs, not {clip_size}")
    row, in_row = divmod(whole(pair, "pair", 1, 100_000) - 1, PAIRS_PER_ROW_110[clip_size])
    clip, position = divmod(in_row, clip_size)
    return Clip110(row + 1, clip + 1, position + 1)


def _lead(tip: bool) -> Lead:
    return "tip" if tip else "ring"


def _landing(pair: int, lead: Lead) -> Landing:
    colors = pair_colors(pair)
    return Landing(pair, lead, colors.tip if lead == "tip" else colors.ring)
