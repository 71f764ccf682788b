"""Whether a pair was cut off, its devices lifted, strapped or open at its far end when a reading was taken.

What was not said is not known: a pair counts as cut off only where that was said, done or read.
"""

from __future__ import annotations

from collections.abc import Iterator

from callnotes.diagnose.course import Course, says
from callnotes.diagnose.path import in_series, on_one_line, same_place
from callnotes.diagnose.patterns import beside
from callnotes.diagnose.sum_readings import Taking
from callnotes.judge import condition
from callnotes.records import Event, LedgerLine, Point

# Idle foreign voltage of a dead pair stays under 1 V: PBX line-engineering practice 553-3001-367 (read).
DEAD_V = 1.0
# Where a pair is parted from the provider: not at a jack, whose plug takes off a device only.
CUT_AT = {"demarc", "protector", "terminal", "block", "cable"}
ENDS = {"set", "device", "pbx", "alarm_panel"}
DEVICES = ENDS | {"jack", "line_seizure_jack"}
DEVICE_WORDS = ("phone", "phones", "telephone", "telephones", "set", "sets", "device", "devices", "everything")


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
        and volts(e, taking.course) <= DEAD_V
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


def _out_then(taking: Taking) -> Iterator[tuple[LedgerLine, Event, Point | None]]:
    """What on that line was out of its place when the first reading was taken: line, what took it out, and where."""
    course, here = taking.course, next(iter(taking.at.values()))
    places = {event.id: n for n, event in enumerate(course.events)}
    for line in course.timeline.ledger:
        out, back = places.get(line.disturbed_by, here), places.get(line.restored_by or "", len(places))
        if not out < here < back or course.events[out].action == "notify":
            continue
        point = course.points.get(line.point or "")
        if on_one_line(point, place_of(taking)):
            yield line, course.events[out], point


def place_of(taking: Taking) -> Point | None:
    """Where the first reading was taken."""
    return taking.course.at(taking.first)


def volts(event: Event, course: Course) -> float:
    """The size of a voltage in volts; endless where it has no number."""
    unit = course.trade.unit(event.unit)
    return float("inf") if event.value is None or unit is None else abs(event.value) * unit.factor
