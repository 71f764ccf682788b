"""The length of one pair measured two ways, and what it tells when they disagree.

By resistance the far end is shorted, by capacitance it is open. Series resistance (a bad joint) makes the first read
long; bridged taps, filters, water and networks make the second read long (isemag.com and ospmag.com, read). A wrong
gauge, temperature or capacitance per mile moves one of them without any fault: common practice, no published source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from callnotes.calc.capacitance import MUTUAL_NF_PER_MILE, OpenDistance, distance_to_open
from callnotes.calc.copper import Distance, Table, distance_to_short

Longer = Literal["resistance", "capacitance"]


@dataclass(frozen=True, slots=True)
class TwoWays:
    """Both lengths with their spreads; ``longer`` names the one that reads long, None where the spreads meet."""

    by_resistance: Distance
    by_capacitance: OpenDistance
    longer: Longer | None

    @property
    def apart_percent(self) -> float:
        """How far the length by resistance lies over (+) or under (-) that by capacitance."""
        return 100 * (self.by_resistance.feet / self.by_capacitance.feet - 1)


def two_ways(
    loop_ohm: float,
    nf: float,
    awg: int,
    *,
    temp_c: float | None = None,
    table: Table = "bare",
    nf_per_mile: float = MUTUAL_NF_PER_MILE,
) -> TwoWays:
    """Length by loop resistance and by capacitance, e.g. 312 ohm and 95 nF on 24 AWG -> 6,078 and 6,043 ft: agree.

    They agree where their spreads meet. ``ValueError`` as for ``distance_to_short``, or without any capacitance.
    """
    if nf <= 0:
        raise ValueError(f"the capacitance must be more than 0, not {nf:g}")
    resistance = distance_to_short(loop_ohm, awg, temp_c=temp_c, table=table)
    capacitance = distance_to_open(nf, nf_per_mile=nf_per_mile)
    longer: Longer | None = None
    if resistance.low_ft > capacitance.high_ft:
        longer = "resistance"
    elif capacitance.low_ft > resistance.high_ft:
        longer = "capacitance"
    return TwoWays(resistance, capacitance, longer)
