"""Signs that show only in several events together. Each pattern yields the element and the positions that show it.

The rules are common practice, no published source, but for the line-seizing jack, whose two readings (panel in
and panel out) tell the panel from the jack by the jack's own definition.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from callnotes.diagnose.course import Course, was_moved
from callnotes.diagnose.path import in_series, same_place
from callnotes.judge import condition
from callnotes.records import Event

Shown = Iterator[tuple[str | None, tuple[int, ...]]]
HOLDERS = {"alarm_panel", "set", "device", "pbx", "line_seizure_jack"}
LINE_TESTS = {"dial_tone", "dc_voltage", "loop_current", "outgoing_call", "incoming_call"}
HELD_TESTS = {"dial_tone", "dc_voltage", "outgoing_call", "incoming_call", "resistance", "short"}
MENDING = {"replace", "repair", "terminate", "install_clips", "configure", "clean", "reset", "move"}


def released_by_unplugging(course: Course) -> Shown:
    """A point that read bad reads good once a device is unplugged, with no mend between."""
    for n, event in enumerate(course.events):
        if event.action != "disconnect" or _kind(course, event) not in HOLDERS:
            continue
        for change in course.changes:
            between = course.events[change.before : change.after]
            bad = course.events[change.before]
            freed = (
                bad.quantity in HELD_TESTS
                and change.before < n < change.after
                and not beside(course, bad.point, event.point)
            )
            if freed and not any(e.action in MENDING for e in between) and _last_cut(course, change.after) == n:
                yield _holder(course, event), (change.before, n, change.after)


def _last_cut(course: Course, position: int) -> int | None:
    cuts = (n for n in range(position - 1, -1, -1) if course.events[n].action in ("disconnect", "reconnect"))
    return next(cuts, None)


def _holder(course: Course, event: Event) -> str | None:
    """The panel, where the plug was spoken of as the alarm jack's: the jack itself does not hold a line."""
    if _kind(course, event) == "line_seizure_jack":
        panel = next((p.id for p in course.timeline.points if p.kind == "alarm_panel"), None)
        return panel or event.point
    return event.point


def dead_with_panel_out(course: Course) -> Shown:
    """Dead behind the alarm jack with the panel's plug out: the jack's own bars or wiring."""
    for n in course.bad:
        event = course.events[n]
        if (
            _kind(course, event) == "line_seizure_jack"
            and condition(event, "plug") == "out"
            and event.quantity in LINE_TESTS
        ):
            yield event.point, (n,)


def set_dead_jack_good(course: Course) -> Shown:
    """A set that does not work while its jack does, and that was not shown to work with another cord."""
    for n in course.bad:
        event, point = course.events[n], course.at(course.events[n])
        if (
            point is None
            or point.kind not in ("set", "device")
            or event.quantity not in LINE_TESTS | {"operation", "link"}
        ):
            continue
        good = [
            m for m in course.evidence if _kind(course, course.events[m]) == "jack" and _good_line(course.events[m])
        ]
        works = [e for e in course.events if e.kind == "reading" and e.verdict == "pass" and e.point == event.point]
        swapped = any(condition(e, "cord") for e in works)
        if good and not swapped:
            yield event.point, (n, good[0])


def pairs_of_one_cable(course: Course) -> Shown:
    """Two pairs of one cable that are both bad: the cable, not a joint."""
    seen: dict[str, int] = {}
    for n in course.bad:
        point = course.at(course.events[n])
        if point is not None and point.kind == "cable" and (point.color or point.pair is not None):
            seen.setdefault(point.color or str(point.pair), n)
    if len(seen) > 1:
        positions = tuple(seen.values())
        yield course.events[positions[0]].point, positions


def one_leg_alive(course: Course) -> Shown:
    """Nothing across the pair while one wire alone carries battery to ground."""
    for n in course.bad:
        event = course.events[n]
        if event.quantity != "dc_voltage" or condition(event, "leads") not in ("tip-ring", None):
            continue
        for m in course.evidence:
            other = course.events[m]
            leads = condition(other, "leads") in ("ring-ground", "tip-ground")
            if leads and other.quantity == "dc_voltage" and _good_volts(other) and course.one_place(event, other):
                yield event.point, (n, m)
                return


def low_current_good_battery(course: Course) -> Shown:
    """Little loop current where the battery is in order."""
    for n in course.bad:
        event = course.events[n]
        if event.quantity != "loop_current":
            continue
        for m, other in enumerate(course.events):
            volts = other.quantity == "dc_voltage" and condition(other, "hook") != "off" and other.verdict != "fail"
            if volts and abs(other.value or 0) > 40 and course.one_place(event, other):
                yield event.point, (n, m)
                break


def comes_and_goes(course: Course) -> Shown:
    """The same test at one place good, then bad, with nothing done between."""
    for n in course.bad:
        event = course.events[n]
        for m in course.evidence:
            other = course.events[m]
            same = (
                m < n and other.verdict == "pass" and course.one_place(event, other) and course.one_test(event, other)
            )
            quiet = not any(e.kind == "action" and e.action not in ("label", "notify") for e in course.events[m:n])
            if event.state == "intermittent" or (same and quiet) or was_moved(event):
                yield event.point, (n,)
                break


def tone_on_other_pair(course: Course) -> Shown:
    """A tracing tone that comes out on one pair of a block, not on the pair that should carry the line."""
    for n, event in enumerate(course.events):
        point = course.at(event)
        if event.quantity != "tracing_tone" or event.state != "present" or point is None or point.pair is None:
            continue
        for m in course.bad:
            dead = course.at(course.events[m])
            if dead is not None and dead.kind == point.kind and dead.pair not in (None, point.pair):
                yield dead.id, (n, m)
                return


def dead_beyond_good(course: Course) -> Shown:
    """The first point that is bad after one that was good, on the way from the provider."""
    for first in course.bad:
        event, point = course.events[first], course.at(course.events[first])
        if event.quantity not in ("dial_tone", "dc_voltage", "link", "sync") or point is None:
            continue
        for m in course.evidence:
            before = course.at(course.events[m])
            if _good_line(course.events[m]) and before is not None and in_series(before, point):
                yield point.id, (first, m)
                return


def referred_here(course: Course) -> Shown:
    """The trouble was handed over, and the thing it was handed over for was named."""
    for n, event in enumerate(course.events):
        if event.action == "refer" and event.point:
            yield event.point, (n,)


def beside(course: Course, a: str | None, b: str | None) -> bool:
    """Whether two points are one place, sides left out of it."""
    return a == b or same_place(course.points.get(a or ""), course.points.get(b or ""), sides=False)


def _kind(course: Course, event: Event) -> str | None:
    point = course.at(event)
    return point.kind if point else None


def _good_line(event: Event) -> bool:
    return event.kind == "reading" and event.verdict == "pass" and event.quantity in LINE_TESTS | {"link", "sync"}


def _good_volts(event: Event) -> bool:
    return event.verdict != "fail" and abs(event.value or 0) > 40


PATTERNS: dict[str, Callable[[Course], Shown]] = {
    "released_by_unplugging": released_by_unplugging,
    "dead_with_panel_out": dead_with_panel_out,
    "set_dead_jack_good": set_dead_jack_good,
    "pairs_of_one_cable": pairs_of_one_cable,
    "one_leg_alive": one_leg_alive,
    "low_current_good_battery": low_current_good_battery,
    "comes_and_goes": comes_and_goes,
    "tone_on_other_pair": tone_on_other_pair,
    "dead_beyond_good": dead_beyond_good,
    "referred_here": referred_here,
}
