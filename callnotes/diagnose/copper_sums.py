"""The sums of a copper pair that a call allows: distance to a short or an open, length, share of an open leg."""

from __future__ import annotations

import math
from collections.abc import Callable

from callnotes.calc import capacitance, copper, figures, lengths
from callnotes.calc.rounding import about, spread
from callnotes.diagnose.course import Course
from callnotes.diagnose.sum_readings import SURE, Taking
from callnotes.diagnose.sum_told import told
from callnotes.judge import condition
from callnotes.records import Event, Sum

# Where no gauge was said: cable and station wire are mostly one of these (common practice, no published source).
USUAL_GAUGES = (22, 24, 26)
FEET = "ft"


def by_resistance(taking: Taking) -> Sum | None:
    """Feet by resistance, to a short or to a strap; over the usual gauges only the spread.

    The spread is that of the tables and the temperature, and of what the last digit of the meter hides.
    """
    gauges, temp_c, grounds = _wire(taking)
    ohm, step = taking.values["ohm"], taking.half_a_digit("ohm")
    found = [copper.distance_to_short(ohm, awg, temp_c=temp_c) for awg in gauges]
    low = min(one.low_ft for one in found) * (1 - step / ohm)
    high = max(one.high_ft for one in found) * (1 + step / ohm)
    value = found[0].feet if len(found) == 1 else None
    if _beyond_the_end(taking, low):
        return None
    words = _distance(value, low, high) | _wire_words(gauges, temp_c)
    return told(taking, words, value, FEET, (low, high), grounds)


def by_capacitance(taking: Taking) -> Sum | None:
    """Feet by capacitance tip to ring, to an open or to the open far end."""
    found = capacitance.distance_to_open(taking.values["nf"])
    if _beyond_the_end(taking, found.low_ft):
        return None
    words = _distance(found.feet, found.low_ft, found.high_ft) | {"per_mile": f"{found.nf_per_mile:g}"}
    return told(taking, words, found.feet, FEET, (found.low_ft, found.high_ft))


def leg_share(taking: Taking) -> Sum | None:
    """How far along the shorter leg of a pair is open, in percent of its mate; None where the two are alike."""
    tip, ring = taking.values["tip"], taking.values["ring"]
    both = capacitance.pair_balance(tip, ring)
    if both.balanced:
        return None
    leg, short, long = ("tip", tip, ring) if tip < ring else ("ring", ring, tip)
    share, off = 100 * short / long, capacitance.BALANCE_LIMIT_PERCENT
    low, high = max(share - off, 0.0), min(share + off, 100.0)
    says, whole_ft = taking.row.says, taking.values.get("long")
    feet = ""
    if whole_ft is not None:
        at = whole_ft * share / 100
        least, most = whole_ft * low / 100, whole_ft * high / 100
        feet = says["feet"].format(feet=f"{spread(at, least, most)[0]} ft", long=f"{about(whole_ft)} ft")
    words = {"leg": says[leg], "short_nf": about(short), "long_nf": about(long), "feet": feet}
    words |= {"share": f"{share:.0f}", "low": f"{low:.0f}", "high": f"{high:.0f}"}
    return told(taking, words, share, "%", (low, high))


def two_lengths(taking: Taking) -> Sum | None:
    """One pair's length both ways, and whether they agree; only with the gauge said."""
    gauges, temp_c, grounds = _wire(taking)
    if len(gauges) > 1:
        return None
    found = lengths.two_ways(taking.values["ohm"], taking.values["nf"], gauges[0], temp_c=temp_c)
    ohm, nf = found.by_resistance, found.by_capacitance
    low, high = min(ohm.low_ft, nf.low_ft), max(ohm.high_ft, nf.high_ft)
    words = {
        "by_ohm": spread(ohm.feet, ohm.low_ft, ohm.high_ft)[0],
        "by_nf": spread(nf.feet, nf.low_ft, nf.high_ft)[0],
        "verdict": taking.row.says[found.longer or "agree"],
        "per_mile": f"{nf.nf_per_mile:g}",
    }
    value = None if found.longer else ohm.feet
    return told(taking, words | _wire_words(gauges, temp_c), value, FEET, (low, high), grounds)


def _wire(taking: Taking) -> tuple[tuple[int, ...], float | None, tuple[Event, ...]]:
    """The gauges said at that place, else the usual ones; the cable's temperature in °C; and what says so."""
    near = [event for _, event in taking.near()]
    tell = [event for event in near if condition(event, "gauge")]
    said = tuple(sorted({int(g) for event in tell if (g := condition(event, "gauge")) and g.isdecimal()}))
    warm = [event for event in near if _celsius(event, taking.course) is not None]
    temp_c = _celsius(warm[-1], taking.course) if warm else None
    return said or USUAL_GAUGES, temp_c, (*tell, *warm[-1:])


def _celsius(event: Event, course: Course) -> float | None:
    """A temperature read at a cable, in °C; that of the air or of a room is not the cable's."""
    point = course.at(event)
    if event.quantity != "temperature" or event.value is None or event.confidence < SURE:
        return None
    if point is None or point.kind != "cable":
        return None
    try:
        return figures.celsius(event.value) if event.unit == "degF" else figures.cable_temperature(event.value)
    except ValueError:
        return None


def _beyond_the_end(taking: Taking, least_ft: float) -> bool:
    """Whether the place lies past the length that was read of the pair itself: then it is none of copper."""
    feet = taking.course.trade.unit(FEET)
    for _, event in taking.near():
        have = taking.course.trade.unit(event.unit)
        if event.quantity == "length" and event.value is not None and have is not None and feet is not None:
            long = have.to(feet, event.value)
            if long is not None and least_ft > long:
                return True
    return False


def _distance(value: float | None, low: float, high: float) -> dict[str, str]:
    """The distance and its spread as words; without a value the spread, in two digits, is all there is."""
    if value is None:
        step = 10.0 ** max(math.floor(math.log10(low)) - 1, 0)
        least, most = (f"{end * step:,.0f}" for end in (math.floor(low / step), math.ceil(high / step)))
        return {"distance": f"Between {least} and {most} ft", "spread": ""}
    middle, least, most = spread(value, low, high)
    return {"distance": f"About {middle} ft", "spread": f", between {least} and {most} ft"}


def _wire_words(gauges: tuple[int, ...], temp_c: float | None) -> dict[str, str]:
    wire = f"{gauges[0]} gauge" if len(gauges) == 1 else f"gauge not known, so {gauges[-1]} to {gauges[0]}"
    usual, wide = figures.fahrenheit(copper.STANDARD_C), copper.UNKNOWN_TEMPERATURE_SPREAD_C * 1.8
    warmth = f"an assumed {usual:.0f} ± {wide:.0f} °F" if temp_c is None else f"{figures.fahrenheit(temp_c):.0f} °F"
    return {"wire": wire, "warmth": warmth}


MAKERS: dict[str, Callable[[Taking], Sum | None]] = {
    "short_distance": by_resistance,
    "strap_length": by_resistance,
    "open_distance": by_capacitance,
    "open_length": by_capacitance,
    "leg_share": leg_share,
    "two_lengths": two_lengths,
}
