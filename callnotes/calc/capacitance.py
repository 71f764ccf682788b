"""Capacitance of exchange cable and the distance to an open.

A distance to an open holds only without a dc fault, foreign voltage or induced ac on the pair; bridged taps, filters
and networks add footage (read at isemag.com and ospmag.com). The error in the footage equals the error in the cable's
capacitance per mile: ask the cable type.
"""

from __future__ import annotations

from dataclasses import dataclass

from callnotes.calc.figures import FEET_PER_MILE, not_negative, positive

# Tip to ring, 0.083 uF per mile, from memory (high). Read neighbors: 82 (26 AWG), 80.5 (0.5 mm), 79 (a tester).
MUTUAL_NF_PER_MILE = 83.0
# RUS tolerance of the average over more than 12 pairs, from memory (medium); it also spans the read neighbors.
MUTUAL_SPREAD = 4.0 / 83.0
# One conductor to its mate and the shield, from memory (medium); supported by the read one-third rule below.
GROUND_NF_PER_MILE = 125.0
# Tip and ring readings within 3 percent: public copper-tester user guide (read).
BALANCE_LIMIT_PERCENT = 3.0


@dataclass(frozen=True, slots=True)
class OpenDistance:
    """Feet to an open, the spread from the cable's tolerance, and the capacitance per mile it rests on."""

    feet: float
    low_ft: float
    high_ft: float
    nf_per_mile: float


@dataclass(frozen=True, slots=True)
class PairBalance:
    """How far tip and ring differ (percent of the larger), whether within the limit, and the nF to go by."""

    percent: float
    balanced: bool
    use_nf: float


@dataclass(frozen=True, slots=True)
class ThreeTerminal:
    """Direct capacitances of a pair: tip to ring, and one conductor to the shield, in the unit put in."""

    tip_ring: float
    to_shield: float


def per_kft(nf_per_mile: float = MUTUAL_NF_PER_MILE) -> float:
    """nF per 1,000 ft, e.g. 83 nF/mile -> 15.72."""
    return positive(nf_per_mile, "capacitance per mile") * 1000 / FEET_PER_MILE


def of_length(feet: float, *, nf_per_mile: float = MUTUAL_NF_PER_MILE) -> float:
    """nF that a pair of that length holds, e.g. 15,904 ft -> 250. The inverse of ``distance_to_open``."""
    return positive(nf_per_mile, "capacitance per mile") * not_negative(feet, "length") / FEET_PER_MILE


def distance_to_open(nf: float, *, nf_per_mile: float = MUTUAL_NF_PER_MILE) -> OpenDistance:
    """Feet to a full open, e.g. 250 nF tip to ring -> 15,904 ft at 83 nF/mile.

    For one conductor against its mate and shield give ``nf_per_mile=GROUND_NF_PER_MILE``. See the module for when it
    may be used.
    """
    feet = FEET_PER_MILE * not_negative(nf, "capacitance") / positive(nf_per_mile, "capacitance per mile")
    return OpenDistance(feet, feet / (1 + MUTUAL_SPREAD), feet / (1 - MUTUAL_SPREAD), nf_per_mile)


def distance_to_one_side_open(
    tip_nf: float, ring_nf: float, *, nf_per_mile: float = GROUND_NF_PER_MILE
) -> OpenDistance:
    """Feet to an open of one conductor: the shorter of the two footages; the longer is wrong.

    Source: ospmag.com, on using an open meter (read). ``tip_nf`` and ``ring_nf`` are each read to ground.
    """
    return distance_to_open(pair_balance(tip_nf, ring_nf).use_nf, nf_per_mile=nf_per_mile)


def pair_balance(tip_nf: float, ring_nf: float, *, limit_percent: float = BALANCE_LIMIT_PERCENT) -> PairBalance:
    """Tip against ring, e.g. 50 and 48 nF -> 4.0 percent, out of balance, go by 48 nF.

    Source: 3 percent from a public copper-tester user guide (read).
    """
    small, large = sorted((not_negative(tip_nf, "tip capacitance"), not_negative(ring_nf, "ring capacitance")))
    percent = 100 * (large - small) / positive(large, "larger capacitance")
    return PairBalance(percent, round(percent, 9) <= limit_percent, small)


def lifted_ground_drop(with_ground: float = GROUND_NF_PER_MILE, without_ground: float = MUTUAL_NF_PER_MILE) -> float:
    """Percent by which a reading falls when the test set's ground clip is lifted.

    The defaults give what a sound pair shows, 33.6; nF or feet may be put in for what was read. A fall of about one
    third was read at isemag.com (2020-11); the two constants are from memory (medium). No fall means that the ground
    was not there to begin with.
    """
    before = positive(with_ground, "reading with the ground on")
    return 100 * (1 - not_negative(without_ground, "reading with the ground lifted") / before)


def three_terminal(mutual: float, one_to_all: float) -> ThreeTerminal:
    """Direct capacitances from the mutual one and that of one conductor to all else, in the same unit.

    E.g. 0.083 and 0.125 uF/mile -> 0.041 tip to ring, 0.084 to the shield. The network (tip-ring in parallel with the
    two shield capacitances in series) was read at isemag.com, 2020-11. ``ValueError`` where no such network exists.
    """
    tip_ring = 2 * positive(mutual, "mutual capacitance") - positive(one_to_all, "capacitance to all else")
    to_shield = 2 * (one_to_all - mutual)
    if tip_ring < 0 or to_shield < 0:
        raise ValueError(
            f"no pair has {mutual:g} mutual and {one_to_all:g} to all else: the second must be 1 to 2 times the first"
        )
    return ThreeTerminal(tip_ring, to_shield)
