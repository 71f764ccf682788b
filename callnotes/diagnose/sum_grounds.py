"""Whether a sum may be made of its readings: what must be known of the pair, and what speaks against it.

What was not said is not known: a pair counts as cut off only where that was said, done or read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from callnotes.diagnose.course import Course, says, was_moved
from callnotes.diagnose.path import in_series, on_one_line, same_place
from callnotes.diagnose.patterns import beside
from callnotes.diagnose.sum_readings import Taking
from callnotes.judge import condition
from callnotes.records import Event, LedgerLine, Point

# Idle foreign voltage of a dead pair stays under 1 V: PBX line-engineering practice 553-3001-367 (read).
DEAD_V = 1.0
# A dry pair reads many megohms; what leaks more than this spoils a reading of capacitance: own bound.
DRY_OHM = 1e6
# Readings of one thing that lie further apart, with nothing done between them, do not stand still: own bound.
STEADY = 0.1
# A fault less likely than this is no reason to doubt a sum: own bound.
LIKELY = 0.1
# Where a pair is parted from the provider: not at a jack, whose plug takes off a device only.
CUT_AT = {"demarc", "protector", "terminal", "block", "cable"}
ENDS = {"set", "device", "pbx", "alarm_panel"}
DEVICES = ENDS | {"jack", "line_seizure_jack"}
DEVICE_WORDS = ("phone", "phones", "telephone", "telephones", "set", "sets", "device", "devices", "everything")
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


def cut_off(taking: Taking) -> bool:
    """Said of the reading, done before it nearer the provider and not put back, or shown by no volts to ground."""
    first, course = taking.first, taking.course
    here = course.at(first)
    if here is None or course.provider_side(first) or here.side in ("provider", "in", "left", "top"):
        return False
    away = here.kind == "cable" or here.side is not None
    if condition(first, "ends") == "lifted":
        return True
    if away and "out" in (condition(first, "plug"), condition(first, "clips")):
        return True
    for line, event, point in _out_then(taking):
        if line.what == "strap on" or point is None or point.kind not in CUT_AT:
            continue
        parted = same_place(point, here, sides=False) if away else False
        if (parted or in_series(point, here)) and not says(event, DEVICE_WORDS, object_only=True):
            return True
    return _read_dead(taking)


def _read_dead(taking: Taking) -> bool:
    """No volts from a wire to ground; across a shorted pair there are next to none with the battery on it, too."""
    here = next(iter(taking.at.values()))
    return any(
        e.quantity in ("dc_voltage", "ac_voltage")
        and condition(e, "leads") in ("tip-ground", "ring-ground")
        and _volts(e, taking.course) <= DEAD_V
        for n, e in taking.near()
        if n < here and taking.stretches.untouched(n, here)
    )


def devices_lifted(taking: Taking) -> bool:
    """Both ends lifted or the far one open, or all devices named further along taken off and not yet put back."""
    first, course = taking.first, taking.course
    if condition(first, "ends") == "lifted" or condition(first, "far_end") == "open":
        return True
    here, off = course.at(first), []
    for _, event, point in _out_then(taking):
        if condition(event, "ends") == "lifted" and course.one_place(event, first):
            return True
        beyond = point is None or here is None or point.order > here.order
        if beyond and ((point is not None and point.kind in DEVICES) or says(event, DEVICE_WORDS, object_only=True)):
            off.append(event)
    left_on = (
        point.id
        for point in course.timeline.points
        if point.kind in ENDS and here is not None and point.order > here.order and on_one_line(point, here)
    )
    return bool(off) and all(any(beside(course, device, event.point) for event in off) for device in left_on)


def strapped(taking: Taking) -> bool:
    """The far end said to be shorted, or a strap put on that pair and not yet taken off."""
    here = taking.course.at(taking.first)
    return condition(taking.first, "far_end") == "shorted" or any(
        line.what == "strap on" and point is not None and here is not None and _one_pair(point, here)
        for line, _, point in _out_then(taking)
    )


def _one_pair(a: Point, b: Point) -> bool:
    """Whether two points lie on one pair: the same place, or places of two kinds on one line."""
    return on_one_line(a, b) and (a.kind != b.kind or same_place(a, b, sides=False))


def perhaps_strapped(taking: Taking) -> bool:
    """The same, or a strap anywhere on the line, or only heard with the reading that one is on."""
    anywhere = any(line.what == "strap on" for line, _, _ in _out_then(taking))
    return strapped(taking) or anywhere or any(condition(event, "strap") == "on" for event in taking.events)


def far_open(taking: Taking) -> bool:
    """The far end said to be open, or both ends lifted."""
    return condition(taking.first, "far_end") == "open" or condition(taking.first, "ends") == "lifted"


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
        return _volts(event, course) > DEAD_V
    return event.quantity == "loop_current" and bool(event.value)


def _foreign(event: Event, course: Course) -> bool:
    if event.quantity == "foreign_voltage":
        return event.state == "present"
    return event.quantity == "ac_voltage" and _volts(event, course) > DEAD_V


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
    return any(says(e, words) for _, e in taking.near()) or any(on_one_line(p, _at(taking)) for p in filters)


def limited_feed(taking: Taking) -> bool:
    """A terminal or gateway that may hold the current whatever the loop."""
    words = taking.course.trade.words.get(("word_set", "holding_current"), ())
    named = any(p.kind in HOLDS_CURRENT for p in taking.course.timeline.points)
    return named or any(says(event, words) for event in taking.course.events)


def read_itself(taking: Taking) -> bool:
    """What the sum would give was read there by the meter itself."""
    return any(event.quantity == taking.row.gives and event.value is not None for _, event in taking.near())


def _out_then(taking: Taking) -> Iterator[tuple[LedgerLine, Event, Point | None]]:
    """What on that line was out of its place when the first reading was taken: line, what took it out, and where."""
    course, here = taking.course, next(iter(taking.at.values()))
    places = {event.id: n for n, event in enumerate(course.events)}
    for line in course.timeline.ledger:
        out, back = places.get(line.disturbed_by, here), places.get(line.restored_by or "", len(places))
        if not out < here < back or course.events[out].action == "notify":
            continue
        point = course.points.get(line.point or "")
        if on_one_line(point, _at(taking)):
            yield line, course.events[out], point


def _at(taking: Taking) -> Point | None:
    return taking.course.at(taking.first)


def _volts(event: Event, course: Course) -> float:
    """The size of a voltage in volts; endless where it has no number."""
    unit = course.trade.unit(event.unit)
    return float("inf") if event.value is None or unit is None else abs(event.value) * unit.factor


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
