"""Structured cabling: limits by equation, headroom, delay, skew, dc resistance, lengths.

Each result names a limit of ANSI/TIA-568; ISO/IEC 11801 differs by some tenths of a dB, so name the standard. The
equations are from memory (high), each checked against printed figures that were read where noted; allow 0.1 dB.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from callnotes.calc.figures import LIGHT_M_PER_S, finite, not_negative, positive

Category = Literal["5e", "6"]
Model = Literal["channel", "permanent link"]
Parameter = Literal["insertion loss", "NEXT", "return loss"]

CONNECTIONS: dict[Model, int] = {"channel": 4, "permanent link": 3}
TOP_MHZ: dict[Category, float] = {"5e": 100.0, "6": 250.0}
NEXT_CEILING_DB: dict[Category, float] = {"5e": 60.0, "6": 65.0}
# NEXT at 100 MHz of cable and of connecting hardware (read: distributor table, vendor explainer).
NEXT_PARTS_DB: dict[Category, tuple[float, float]] = {"5e": (35.3, 43.0), "6": (44.3, 54.0)}
DC_LOOP_OHM: dict[Model, float] = {"channel": 25.0, "permanent link": 21.0}  # from memory (high)
SKEW_NS: dict[Model, float] = {"channel": 50.0, "permanent link": 44.0}  # from memory (channel high, link medium)
LENGTH_M: dict[Model, float] = {"channel": 100.0, "permanent link": 90.0}  # headings of the TSB67 table (read)
UNBALANCE_PERCENT, UNBALANCE_OHM = 3.0, 0.20  # whichever is greater, from memory (high)
# Return loss is not judged where the loss is under 3 dB, NEXT not under 4 dB: from memory (medium).
EXEMPT_BELOW_DB: dict[Parameter, float] = {"return loss": 3.0, "NEXT": 4.0}
# Cat5 by TSB67 (yolicable.net, read): attenuation, NEXT in dB.
TSB67_DB: dict[tuple[Model, int], tuple[float, float]] = {
    ("channel", 10): (7.0, 44.0),
    ("permanent link", 10): (6.3, 45.5),
    ("channel", 100): (24.0, 27.1),
    ("permanent link", 100): (21.6, 29.3),
}


@dataclass(frozen=True, slots=True)
class Headroom:
    """The limit (as printed, to 0.1 dB), the room left to it (negative: failed), and whether it holds."""

    limit: float
    headroom: float
    passes: bool


@dataclass(frozen=True, slots=True)
class Attenuation:
    """Attenuation and NEXT limits of the old Cat5 table, dB."""

    attenuation: float
    next: float


@dataclass(frozen=True, slots=True)
class PairUnbalance:
    """Difference of a pair's two conductors in ohm, in percent of their sum, and whether the limit holds."""

    ohm: float
    percent: float
    passes: bool


@dataclass(frozen=True, slots=True)
class Lengths:
    """Whether the permanent link and the channel are within 90 m and 100 m, and the channel's whole length."""

    permanent_link_passes: bool
    channel_m: float
    channel_passes: bool


def limit(category: Category, model: Model, parameter: Parameter, mhz: float) -> float:
    """dB by the equation, e.g. Cat6 channel NEXT at 100 MHz -> 39.9. Loss is a most, NEXT and return loss a least.

    Source: ANSI/TIA-568-B.2 / B.2-1 / C.2, from memory (high); at 100 MHz the channel rows agree with read figures.
    ``ValueError`` for an unknown name or a frequency outside 1 MHz to the category's top.
    """
    if category not in TOP_MHZ:
        raise ValueError(f"no equations for category {category!r}; there are 5e and 6")
    _known_model(model)
    if not 1 <= finite(mhz, "frequency") <= TOP_MHZ[category]:
        raise ValueError(f"category {category} is defined from 1 to {TOP_MHZ[category]:g} MHz, not at {mhz:g} MHz")
    if parameter == "insertion loss":
        return _insertion_loss(category, model, mhz)
    if parameter == "NEXT":
        return _near_end_crosstalk(category, model, mhz)
    if parameter == "return loss":
        return _return_loss(category, model, mhz)
    raise ValueError(f"no parameter {parameter!r}; there are insertion loss, NEXT and return loss")


def headroom(category: Category, model: Model, parameter: Parameter, mhz: float, measured_db: float) -> Headroom:
    """Room left to the limit, e.g. Cat6 channel NEXT at 100 MHz, 37.2 dB measured -> limit 39.9, -2.7, fails.

    Lower is better for loss, higher for NEXT and return loss. See ``exempt`` before judging a short link.
    """
    printed = round(limit(category, model, parameter, mhz), 1)
    room = printed - finite(measured_db, "reading") if parameter == "insertion loss" else measured_db - printed
    return Headroom(printed, round(room, 6), round(room, 6) >= 0)


def exempt(parameter: Parameter, insertion_loss_db: float) -> bool:
    """Whether a parameter is not judged because the pair's loss there is so small. From memory (medium)."""
    return finite(insertion_loss_db, "insertion loss") < EXEMPT_BELOW_DB.get(parameter, -math.inf)


def tsb67(model: Model, mhz: int) -> Attenuation:
    """Attenuation and NEXT limits of Cat5 at 10 or 100 MHz, e.g. channel at 100 -> 24.0 and 27.1. Source: read."""
    if (model, mhz) not in TSB67_DB:
        raise ValueError(
            f"the Cat5 table here has 10 and 100 MHz, channel and permanent link, not {model} at {mhz} MHz"
        )
    return Attenuation(*TSB67_DB[model, mhz])


def acr(next_db: float, insertion_loss_db: float) -> float:
    """dB of attenuation-to-crosstalk ratio at the near end: NEXT less loss, e.g. 39.9 and 21.3 -> 18.6."""
    return finite(next_db, "NEXT") - finite(insertion_loss_db, "insertion loss")


def delay_limit(model: Model, mhz: float = 10.0) -> float:
    """Most ns of propagation delay, e.g. channel at 10 MHz -> 555. Source: TIA-568, from memory (high)."""
    cable = 534 + 36 / math.sqrt(positive(mhz, "frequency"))
    _known_model(model)
    return (cable if model == "channel" else 0.9 * cable) + 2.5 * CONNECTIONS[model]


def length_from_delay(delay_ns: float, nvp: float, *, round_trip: bool = False) -> float:
    """Meters from the delay and the cable's nominal velocity, e.g. 400 ns at 0.69 -> 82.7.

    Testers accept up to 10 percent over the limit of length for the error of the velocity (from memory, medium).
    """
    if not 0 < finite(nvp, "velocity") <= 1:
        raise ValueError(f"the nominal velocity is a part of light's, above 0 and up to 1, not {nvp:g}")
    meters = nvp * LIGHT_M_PER_S * not_negative(delay_ns, "delay") * 1e-9
    return meters / 2 if round_trip else meters


def skew(delays_ns: Sequence[float], model: Model = "channel") -> Headroom:
    """Skew of the pairs' delays as headroom in ns, e.g. 498, 505, 512, 551 in a channel -> -3 of 50, fails.

    The skew itself is ``limit - headroom``. Needs two delays or more.
    """
    if len(delays_ns) < 2:
        raise ValueError("skew needs the delays of at least two pairs")
    _known_model(model)
    delays = [not_negative(delay, "delay") for delay in delays_ns]
    return _below(max(delays) - min(delays), SKEW_NS[model])


def dc_loop(ohm: float, model: Model = "channel") -> Headroom:
    """Headroom of a pair's loop resistance in ohm, e.g. 26.4 in a channel -> -1.4 of 25, fails. From memory (high)."""
    _known_model(model)
    return _below(not_negative(ohm, "loop resistance"), DC_LOOP_OHM[model])


def pair_unbalance(first_ohm: float, second_ohm: float) -> PairUnbalance:
    """Difference within a pair, e.g. 6.2 and 6.62 ohm -> 0.42 ohm, 3.28 percent, fails.

    Limit: 3 percent (difference over sum) or 0.20 ohm, whichever is greater; TIA-568, IEEE 802.3, from memory (high).
    """
    gap = abs(positive(first_ohm, "resistance") - positive(second_ohm, "resistance"))
    percent = 100 * gap / (first_ohm + second_ohm)
    holds = round(percent, 9) <= UNBALANCE_PERCENT or round(gap, 9) <= UNBALANCE_OHM
    return PairUnbalance(gap, percent, holds)


def lengths(horizontal_m: float, cords_m: float) -> Lengths:
    """Lengths against 90 m and 100 m, e.g. 93 m of cable and 6 m of cords -> link fails, channel of 99 m passes."""
    link = not_negative(horizontal_m, "horizontal cable")
    channel = round(link + not_negative(cords_m, "cords"), 9)
    return Lengths(link <= LENGTH_M["permanent link"], channel, channel <= LENGTH_M["channel"])


def _insertion_loss(category: Category, model: Model, mhz: float) -> float:
    root, link = math.sqrt(mhz), model == "permanent link"
    if category == "5e":
        cable, connection, deviation = 1.967 * root + 0.023 * mhz + 0.05 / root, 0.04, 0.0
    else:
        # The last term is the allowance for insertion-loss deviation of 568-B.2-1.
        cable, connection, deviation = 1.808 * root + 0.017 * mhz + 0.2 / root, 0.02, 0.00015 if link else 0.0003
    return (0.9 if link else 1.02) * cable + CONNECTIONS[model] * connection * root + deviation * mhz * root


def _near_end_crosstalk(category: Category, model: Model, mhz: float) -> float:
    cable, connection = NEXT_PARTS_DB[category]
    decades = math.log10(mhz / 100)
    near = 1 if model == "permanent link" else 2
    sum_of = 10.0 ** (-(cable - 15 * decades) / 20) + near * 10.0 ** (-(connection - 20 * decades) / 20)
    return min(-20 * math.log10(sum_of), NEXT_CEILING_DB[category])


def _return_loss(category: Category, model: Model, mhz: float) -> float:
    link = model == "permanent link"
    if category == "5e":
        flat = 19.0 if link else 17.0
        return flat if mhz < 20 else flat - 10 * math.log10(mhz / 20)
    if link and mhz < 3:
        return 21 + 4 * math.log10(mhz / 3)
    if mhz < 10:
        return 21.0 if link else 19.0
    slope, start = (5, 24) if mhz < 40 else (10, 32)
    return start + (2 if link else 0) - slope * math.log10(mhz)


def _below(value: float, most: float) -> Headroom:
    room = round(most - value, 9)
    return Headroom(most, room, room >= 0)


def _known_model(model: Model) -> None:
    if model not in CONNECTIONS:
        raise ValueError(f"no model {model!r}; there are channel and permanent link")
