"""The analog line: loop current, ringing, ringer load, leakage and insulation.

The current sums with 48 V and 400 ohm hold for classical feeds. Current-limited feeds (fiber terminals, gateways,
adapters) hold 18 to 30 mA over any short loop, so a reading there tells nothing about the loop's length.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from callnotes.calc.figures import FEET_PER_MILE, finite, not_negative, positive

BATTERY_V = 48.0  # nominal: 83 Ill. Adm. Code 730.525 (read)
FEED_OHM = 400.0  # classical battery feed, from memory (high)
SET_OHM = 200.0  # conventional set, from memory (high)
RINGING_V = 88.0  # rms, 20 Hz, from memory (high)
RINGING_HZ = 20.0
REN_OHM, REN_UF = 6930.0, 8.0  # one REN: industry test load, from memory (high)
REN_LIMIT = 5.0  # reprinted FCC notices (read)
INSULATION_FLOOR_MOHM_MILE = 500.0  # new cable, 7 CFR 1755.403(c), from memory (medium)


@dataclass(frozen=True, slots=True)
class RenSum:
    """Sum of the ringer equivalence numbers on a line, and whether it is within the limit."""

    total: float
    within: bool


def loop_current(
    loop_ohm: float, *, battery_v: float = BATTERY_V, feed_ohm: float = FEED_OHM, set_ohm: float = SET_OHM
) -> float:
    """Expected mA off hook, e.g. 616 ohm of loop -> 39.5 mA. Ohm's law; for classical feeds only, see the module."""
    around = not_negative(loop_ohm, "loop resistance") + not_negative(feed_ohm, "feed resistance")
    return (
        1000
        * positive(battery_v, "battery voltage")
        / positive(around + not_negative(set_ohm, "set resistance"), "loop")
    )


def loop_for_current(
    current_ma: float, *, battery_v: float = BATTERY_V, feed_ohm: float = FEED_OHM, set_ohm: float = SET_OHM
) -> float:
    """Ohm of loop at which ``current_ma`` flows, e.g. 20 mA -> 1800: the longest loop for a least current.

    ``ValueError`` where even no loop at all gives less than that. The 20 mA floor was read (South Carolina, Illinois);
    42.5 V with a 430 ohm set are end values of T1.401, from memory (medium).
    """
    rest = not_negative(feed_ohm, "feed resistance") + not_negative(set_ohm, "set resistance")
    loop = 1000 * positive(battery_v, "battery voltage") / positive(current_ma, "loop current") - rest
    if loop < -1e-9:
        raise ValueError(f"{current_ma:g} mA is more than {battery_v:g} V drives through feed and set alone")
    return max(loop, 0.0)


def ringing_peak(*, ringing_v: float = RINGING_V, battery_v: float = BATTERY_V) -> float:
    """Highest volts to ground while ringing: battery plus the crest of the ringing, 172.5 for 88 V rms on 48 V.

    Enough to hurt; up to 150 V rms is allowed at an interface (from memory, medium).
    """
    return not_negative(battery_v, "battery voltage") + math.sqrt(2) * not_negative(ringing_v, "ringing voltage")


def ren_load(*, hz: float = RINGING_HZ, ohm: float = REN_OHM, uf: float = REN_UF) -> float:
    """Ohm (magnitude) of one REN, e.g. 7001 at 20 Hz: a resistor and a capacitor in series."""
    reactance = 1 / (2 * math.pi * positive(hz, "frequency") * positive(uf, "capacitance") * 1e-6)
    return math.hypot(not_negative(ohm, "resistance"), reactance)


def ringing_current(ren: float, *, ringing_v: float = RINGING_V, hz: float = RINGING_HZ) -> float:
    """mA of ringing current that ``ren`` draws, e.g. 5 REN at 88 V, 20 Hz -> 62.8. Wire resistance is left out."""
    return 1000 * not_negative(ringing_v, "ringing voltage") * not_negative(ren, "REN") / ren_load(hz=hz)


def ren_sum(rens: Sequence[float], *, limit: float = REN_LIMIT) -> RenSum:
    """Ringers of a line added up, e.g. 1.0, 0.8, 0.4, 2.1, 1.5 -> 5.8, over the limit of 5.

    Source: reprinted FCC notices (read): normally not over 5.0, in most areas.
    """
    # Sums of tenths go astray in the sixteenth place; 5.0 must not fail for that.
    total = round(math.fsum(not_negative(ren, "REN") for ren in rens), 9)
    return RenSum(total, total <= limit)


def leakage(volts: float, ohm: float) -> float:
    """mA that leak through an insulation resistance, e.g. 48 V over 40,000 ohm -> 1.2 mA; 100 V over 5 Mohm -> 0.02 mA.

    40,000 ohm is Illinois's floor for a working line at the interface (83 Ill. Adm. Code 730.525(b), read); over
    5 Mohm is asked of a terminal on hook (47 CFR 68.312, 1997 edition, read). A dry cable pair reads many megohms:
    three different questions.
    """
    return 1000 * finite(volts, "voltage") / positive(ohm, "resistance")


def megohm_miles(reading_mohm: float, length_ft: float) -> float:
    """Insulation brought to one mile, e.g. 180 Mohm on 15,000 ft -> 511.4 Mohm-mile. Longer cable reads lower.

    Source: 7 CFR 1755.403(c), from memory (medium). For new cable, not for a working line.
    """
    return not_negative(reading_mohm, "reading") * positive(length_ft, "length") / FEET_PER_MILE


def least_reading(length_mi: float, *, floor_mohm_mile: float = INSULATION_FLOOR_MOHM_MILE) -> float:
    """Mohm that the meter must show for a floor in Mohm-mile, e.g. 500 over 3.5 miles -> 142.9.

    Source of the floor: 7 CFR 1755.403(c), new cable at 68 degF, from memory (medium): label it so.
    """
    return positive(floor_mohm_mile, "floor") / positive(length_mi, "length")
