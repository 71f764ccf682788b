"""Whether a sum may be made of its readings: what must be known of the pair, and what speaks against it."""

from __future__ import annotations

from collections.abc import Callable

from callnotes.diagnose.course import Course, says, was_moved
from callnotes.diagnose.path import on_one_line
from callnotes.diagnose.patterns import beside
from callnotes.diagnose.sum_pair import (
    DEAD_V,
    cut_off,
    devices_lifted,
    far_open,
    perhaps_strapped,
    place_of,
    strapped,
    volts,
)
from callnotes.diagnose.sum_readings import Taking
from callnotes.judge import condition
from callnotes.records import Event

# A dry pair reads many megohms; what leaks more than this spoils a reading of capacitance: own bound.
DRY_OHM = 1e6
# Readings of one thing that lie further apart, with nothing done between them, do not stand still: own bound.
STEADY = 0.1
# A fault less likely than this is no reason to doubt a sum: own bound.
LIKELY = 0.2
HOLDS_CURRENT = {"ont", "pbx"}


def allowed(taking: Taking) -> bool:
    """Whether every need of the row is met, nothing that it never takes is so, and the ranking speaks for it."""
    row = taking.row
    return (
        all(GROUNDS[name](taking) for name in row.needs)
        and not any(GROUNDS[name](taking) for name in row.never)
        and _ranked_first(taking)
        and not _likely(taking)
    )


def _ranked_first(taking: Taking) -> bool:
    if taking.row.ranked_first is None:
        return True
    diagnosis = taking.course.timeline.diagnosis
    if diagnosis is None or not diagnosis.ranked:
        return False
    best, course = diagnosis.ranked[0], taking.course
    there = any(e.id in best.for_ for e in taking.events) or beside(course, best.element, taking.first.point)
    return best.fault == taking.row.ranked_first and there


def _likely(taking: Taking) -> bool:
    """Whether a fault that spoils the sum is likely; what was mended before the readings spoils them no more."""
    diagnosis, stretches = taking.course.timeline.diagnosis, taking.stretches
    if diagnosis is None:
        return False
    last = max(stretches.mends, default=None)
    if diagnosis.status == "repaired" and last is not None and min(taking.at.values()) > last:
        return False
    return any(one.fault in taking.row.never_ranked and one.p >= LIKELY for one in diagnosis.ranked)


def live(taking: Taking) -> bool:
    """Battery, tone or current on the pair with nothing done to the line between that and one of the readings."""
    near = list(taking.near())
    for n in taking.at.values():
        for m, event in near:
            if taking.stretches.untouched(m, n) and _shows_life(event, taking.course):
                return True
    return any(_foreign(event, taking.course) for _, event in near)


def _shows_life(event: Event, course: Course) -> bool:
    if event.kind != "reading":
        return False
    if event.quantity in ("dial_tone", "outgoing_call", "incoming_call"):
        return event.state in ("present", "intermittent", "works")
    if event.quantity in ("dc_voltage", "ac_voltage"):
        return volts(event, course) > DEAD_V
    return event.quantity == "loop_current" and bool(event.value)


def _foreign(event: Event, course: Course) -> bool:
    if event.quantity == "foreign_voltage":
        return event.state == "present"
    return event.quantity == "ac_voltage" and volts(event, course) > DEAD_V


def leaks(taking: Taking) -> bool:
    """A dc fault on the pair: it shunts the capacitance. Ohms read with a strap on the far end are none."""
    for _, event in taking.near():
        if event.quantity in ("short", "ground_fault") and event.state == "present":
            return True
        of_leads = condition(event, "leads") is not None and condition(event, "far_end") != "shorted"
        if event.quantity in ("resistance", "insulation_resistance") and of_leads and event not in taking.events:
            unit = taking.course.trade.unit(event.unit)
            if event.value is not None and unit is not None and event.value * unit.factor < DRY_OHM:
                return True
    return False


def swings(taking: Taking) -> bool:
    """What comes and goes, was moved, or was read otherwise with nothing done in between."""
    words = taking.course.trade.words.get(("word_set", "swinging"), ())
    for n, event in taking.near():
        if (
            event.state == "intermittent"
            or condition(event, "steady") == "no"
            or was_moved(event)
            or says(event, words)
        ):
            return True
        if any(_unsteady(event, n, own, at, taking) for own, at in zip(taking.events, taking.at.values(), strict=True)):
            return True
    return False


def _unsteady(event: Event, n: int, own: Event, at: int, taking: Taking) -> bool:
    alike = (
        event.quantity == own.quantity and event.conditions == own.conditions and taking.course.one_place(event, own)
    )
    if not alike or not taking.stretches.untouched(n, at):
        return False
    units = taking.course.trade.unit(event.unit), taking.course.trade.unit(own.unit)
    if event.value is None or own.value is None or None in units:
        return False
    a, b = (value * unit.factor for value, unit in zip((event.value, own.value), units, strict=True) if unit)
    return abs(a - b) > STEADY * max(abs(a), abs(b))


def added(taking: Taking) -> bool:
    """A tap, a filter, load coils or water on the pair: each adds footage."""
    words = taking.course.trade.words.get(("word_set", "adding_length"), ())
    filters = (p for p in taking.course.timeline.points if p.kind == "filter")
    return any(says(e, words) for _, e in taking.near()) or any(on_one_line(p, place_of(taking)) for p in filters)


def limited_feed(taking: Taking) -> bool:
    """A terminal or gateway that may hold the current whatever the loop."""
    words = taking.course.trade.words.get(("word_set", "holding_current"), ())
    named = any(p.kind in HOLDS_CURRENT for p in taking.course.timeline.points)
    return named or any(says(event, words) for event in taking.course.events)


def read_itself(taking: Taking) -> bool:
    """What the sum would give was read there by the meter itself."""
    return any(event.quantity == taking.row.gives and event.value is not None for _, event in taking.near())


GROUNDS: dict[str, Callable[[Taking], bool]] = {
    "cut_off": cut_off,
    "devices_lifted": devices_lifted,
    "strapped": strapped,
    "perhaps_strapped": perhaps_strapped,
    "far_open": far_open,
    "live": live,
    "leaks": leaks,
    "swings": swings,
    "added": added,
    "limited_feed": limited_feed,
    "read_itself": read_itself,
}
