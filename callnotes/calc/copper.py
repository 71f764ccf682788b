"""Copper conductors and pairs: diameter, resistance, distance to a short, unbalance, loss at 1 kHz.

Two tables give the loop resistance of a pair: ``bare`` copper by gauge, and the ``telephone`` table that allows for the
twist of a pair in a cable. They differ by 1 to 2 percent, so a distance names its table and carries a spread.

A distance to a short holds only with the pair dead, cut off from battery, devices lifted, and a short ranked first:
the resistance of a device or of a bad joint gives nonsense.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from callnotes.calc.figures import (
    METERS_PER_FOOT,
    cable_temperature,
    celsius,
    fahrenheit,
    not_negative,
    positive,
    whole,
)

Table = Literal["bare", "telephone"]

# Annealed copper at 20 degC: ASTM B3 / IACS. Resistivity read to four digits; the coefficient is from memory (high).
RESISTIVITY_OHM_M = 1.7241e-8
COEFFICIENT_PER_C = 0.00393
# 7 CFR 1755.403(d), from memory (medium): the telephone table is corrected by this, per degF from 68 degF.
TELEPHONE_COEFFICIENT_PER_F = 0.0022
# 7 CFR 1755.403(d), ohm per kft of loop at 68 degF, from memory (medium). A PBX line-engineering practice
# (553-3001-367, table 41, read) prints 16, 33, 52, 83.
TELEPHONE_LOOP_OHM_PER_KFT = {19: 16.1, 22: 32.4, 24: 51.9, 26: 83.3}
# Nonloaded pair near 1 kHz, dB per kft: textbook table 5.2 (read). Another page's 3.5 dB per mile of 26 AWG
# (0.66 dB/kft) does not agree; the textbook is used.
VOICE_LOSS_DB_PER_KFT = {16: 0.14, 19: 0.21, 22: 0.32, 24: 0.41, 26: 0.51, 28: 0.615}
# Own allowances: twist of a pair where the telephone table has no row, and cable temperature where none was given.
TWIST_ALLOWANCE = 0.02
UNKNOWN_TEMPERATURE_SPREAD_C = 10.0
STANDARD_C = 20.0
# Own bound: the longest designs known here stop at 1,900 ohm with the set (from memory, low); no pair has twice that.
MOST_PAIR_OHM = 4000.0


@dataclass(frozen=True, slots=True)
class Diameter:
    """Diameter of a bare round conductor, in inches and millimeters."""

    inches: float
    mm: float


@dataclass(frozen=True, slots=True)
class Section:
    """A stretch of cable of one gauge."""

    awg: int
    length_ft: float


@dataclass(frozen=True, slots=True)
class Distance:
    """A distance in feet, its spread, and what it rests on.

    ``low_ft`` and ``high_ft`` span both resistance tables and the temperature spread; they say nothing of errors of
    the meter. ``temperature_given`` is False where 20 degC was taken for want of better.
    """

    feet: float
    low_ft: float
    high_ft: float
    table: Table
    temp_c: float
    temperature_given: bool


@dataclass(frozen=True, slots=True)
class Deviation:
    """Percent by which a reading is over (+) or under (-) the calculated value, and whether within the limit."""

    percent: float
    within: bool


@dataclass(frozen=True, slots=True)
class Unbalance:
    """Difference of the two conductors of a pair.

    ``percent`` is the difference over the sum (IEEE 802.3 and TIA usage); ``percent_of_smaller`` is the difference
    over the smaller conductor, as some telephone texts have it. Name the one that is shown.
    """

    ohm: float
    percent: float
    percent_of_smaller: float


def diameter(awg: int) -> Diameter:
    """Diameter of a gauge, e.g. 24 AWG -> 0.0201 in, 0.5106 mm. Source: ASTM B258 rule (read)."""
    inches = 0.005 * 92.0 ** ((36 - whole(awg, "gauge (AWG)", 0, 40)) / 39)
    return Diameter(inches, inches * 25.4)


def at_temperature(ohm_20c: float, temp_c: float) -> float:
    """Ohm at ``temp_c`` for ohm at 20 degC. Source: IACS coefficient, from memory (high); agrees with a read pair."""
    return not_negative(ohm_20c, "resistance") * (1 + COEFFICIENT_PER_C * (cable_temperature(temp_c) - STANDARD_C))


def telephone_at_temperature(ohm_68f: float, temp_f: float) -> float:
    """Ohm at ``temp_f`` for ohm at 68 degF. Source: 7 CFR 1755.403(d), from memory (medium)."""
    return not_negative(ohm_68f, "resistance") * (
        1 + TELEPHONE_COEFFICIENT_PER_F * (fahrenheit(celsius(temp_f)) - 68.0)
    )


def conductor_ohm_per_kft(awg: int, *, temp_c: float = STANDARD_C) -> float:
    """Ohm per 1,000 ft of one bare conductor, e.g. 24 AWG -> 25.67. Source: ASTM B258, B3 / IACS (read)."""
    area_m2 = math.pi / 4 * (diameter(awg).mm / 1000) ** 2
    return at_temperature(RESISTIVITY_OHM_M / area_m2 * METERS_PER_FOOT * 1000, temp_c)


def loop_ohm_per_kft(awg: int, *, temp_c: float = STANDARD_C, table: Table = "bare") -> float:
    """Ohm per 1,000 ft of loop (out and back), e.g. 24 AWG -> 51.34 bare, 51.9 telephone.

    ``ValueError`` where the telephone table has no such gauge (it has 19, 22, 24, 26).
    """
    if table == "bare":
        return 2 * conductor_ohm_per_kft(awg, temp_c=temp_c)
    if table != "telephone":
        raise ValueError(f"no resistance table {table!r}; there are 'bare' and 'telephone'")
    if awg not in TELEPHONE_LOOP_OHM_PER_KFT:
        raise ValueError(f"the telephone table has no {awg} AWG; it has 19, 22, 24 and 26")
    return telephone_at_temperature(TELEPHONE_LOOP_OHM_PER_KFT[awg], fahrenheit(temp_c))


def loop_resistance(sections: Iterable[Section], *, temp_c: float = STANDARD_C, table: Table = "bare") -> float:
    """Ohm of the whole loop, gauge by gauge, e.g. 12,000 ft of 24 AWG -> 616.

    Source: the sum over sections was read in practice 553-3001-367.
    """
    return sum(
        loop_ohm_per_kft(part.awg, temp_c=temp_c, table=table) * not_negative(part.length_ft, "length") / 1000
        for part in sections
    )


def textbook_loop_ohm_per_mile(diameter_in: float) -> float:
    """Ohm per mile of loop from the wire diameter: 0.1095 / d^2. Source: telecommunications textbook eq. 5.1 (read)."""
    return 0.1095 / positive(diameter_in, "diameter") ** 2


def distance_to_short(
    loop_ohm: float, awg: int, *, temp_c: float | None = None, table: Table = "bare", leads_ohm: float = 0.0
) -> Distance:
    """Feet to a short from the resistance tip to ring, e.g. 312 ohm on 24 AWG at 20 degC -> 6078 ft (bare).

    ``leads_ohm`` is the test leads' own share, taken off first. Without ``temp_c``, 20 degC is taken and the spread
    allows 10 degC either way (own allowance). May be used only on a dead pair, see the module. ``ValueError`` above
    4,000 ohm: that is a leak, a device or a bad joint, and gives no distance.
    """
    given = temp_c is not None
    temp = STANDARD_C if temp_c is None else temp_c
    if loop_ohm > MOST_PAIR_OHM:
        raise ValueError(f"{loop_ohm:g} ohm is no short on copper: a leak, a device or a bad joint gives no distance")
    pair_ohm = not_negative(loop_ohm - not_negative(leads_ohm, "resistance of the leads"), "resistance less the leads")
    feet = 1000 * pair_ohm / loop_ohm_per_kft(awg, temp_c=temp, table=table)
    per_kft = _spread_ohm_per_kft(awg, temp, given)
    return Distance(feet, 1000 * pair_ohm / per_kft[-1], 1000 * pair_ohm / per_kft[0], table, temp, given)


def distance_to_short_mixed(
    loop_ohm: float, sections: Sequence[Section], *, temp_c: float | None = None, table: Table = "bare"
) -> Distance:
    """Feet to a short on a cable of several gauges, sections in order from the meter.

    ``ValueError`` where the reading is more than the whole cable has: then there is no short inside it, or a bad
    joint stands before it. The high end of the spread stops at the end of the cable.
    """
    given = temp_c is not None
    temp = STANDARD_C if temp_c is None else temp_c
    not_negative(loop_ohm, "resistance")
    per_kft = [loop_ohm_per_kft(part.awg, temp_c=temp, table=table) for part in sections]
    feet = _walk(loop_ohm, sections, per_kft)
    if feet is None:
        whole_ohm = loop_resistance(sections, temp_c=temp, table=table)
        raise ValueError(f"{loop_ohm:g} ohm is more than the whole cable has ({whole_ohm:.0f} ohm): no short inside it")
    spreads = [_spread_ohm_per_kft(part.awg, temp, given) for part in sections]
    low = _walk(loop_ohm, sections, [spread[-1] for spread in spreads])
    high = _walk(loop_ohm, sections, [spread[0] for spread in spreads])
    end = sum(part.length_ft for part in sections)
    return Distance(feet, feet if low is None else low, end if high is None else high, table, temp, given)


def _spread_ohm_per_kft(awg: int, temp_c: float, given: bool) -> tuple[float, float]:
    """Least and most ohm per kft of loop over both tables and the temperature spread."""
    spread_c = 0.0 if given else UNKNOWN_TEMPERATURE_SPREAD_C
    found = []
    for temp in (temp_c - spread_c, temp_c + spread_c):
        bare = loop_ohm_per_kft(awg, temp_c=temp)
        if awg in TELEPHONE_LOOP_OHM_PER_KFT:
            found += [bare, loop_ohm_per_kft(awg, temp_c=temp, table="telephone")]
        else:
            found += [bare, bare * (1 + TWIST_ALLOWANCE)]
    return min(found), max(found)


def _walk(ohm: float, sections: Sequence[Section], per_kft: Sequence[float]) -> float | None:
    """Feet walked along the sections until ``ohm`` is used up; None where they end first."""
    feet = 0.0
    for part, rate in zip(sections, per_kft, strict=True):
        part_ohm = rate * positive(part.length_ft, "length") / 1000
        # A reading equal to the whole cable's sum must land on its end in spite of rounding.
        if ohm <= part_ohm * (1 + 1e-9):
            return feet + 1000 * ohm / rate
        ohm -= part_ohm
        feet += part.length_ft
    return None


def deviation(measured_ohm: float, calculated_ohm: float, *, limit_percent: float = 10.0) -> Deviation:
    """Reading against sum, e.g. 690 against 616 ohm -> +12.0 percent, outside.

    Source: 7 CFR 1755.403(d), within 10 percent after temperature correction, from memory (medium): label it so.
    """
    calculated = positive(calculated_ohm, "calculated resistance")
    percent = 100 * (not_negative(measured_ohm, "measured resistance") - calculated) / calculated
    # Rounded, so that a reading exactly on the limit is within it.
    return Deviation(percent, round(abs(percent), 9) <= limit_percent)


def length_for_resistance(limit_ohm: float, ohm_per_kft: float) -> float:
    """Feet of loop that use up ``limit_ohm``, e.g. 1300 ohm at 83.3 ohm/kft -> 15,606 ft.

    The 1,300 ohm of classical resistance design is from memory (high) and no limit to judge by. Beyond 18 kft a voice
    loop needs loading, so resistance is not the only bound.
    """
    return 1000 * positive(limit_ohm, "resistance limit") / positive(ohm_per_kft, "resistance per length")


def voice_loss_db_per_kft(awg: int) -> float:
    """dB per kft of a nonloaded pair near 1 kHz, e.g. 24 AWG -> 0.41. Source: textbook table 5.2 (read)."""
    if awg not in VOICE_LOSS_DB_PER_KFT:
        raise ValueError(f"the loss table has no {awg} AWG; it has {', '.join(map(str, VOICE_LOSS_DB_PER_KFT))}")
    return VOICE_LOSS_DB_PER_KFT[awg]


def voice_loss(length_kft: float, awg: int) -> float:
    """dB of a nonloaded pair near 1 kHz, e.g. 12 kft of 24 AWG -> 4.92 dB."""
    return voice_loss_db_per_kft(awg) * not_negative(length_kft, "length")


def length_for_loss(limit_db: float, awg: int) -> float:
    """kft of a nonloaded pair that lose ``limit_db`` near 1 kHz, e.g. 8 dB on 26 AWG -> 15.69 kft."""
    return positive(limit_db, "loss limit") / voice_loss_db_per_kft(awg)


def dc_unbalance(tip_ohm: float, ring_ohm: float) -> Unbalance:
    """Unbalance of a pair, e.g. 305 and 311 ohm -> 6 ohm, 0.974 percent of the sum. Source: from memory (high)."""
    smaller, larger = sorted((positive(tip_ohm, "tip resistance"), positive(ring_ohm, "ring resistance")))
    gap = larger - smaller
    return Unbalance(gap, 100 * gap / (smaller + larger), 100 * gap / smaller)
