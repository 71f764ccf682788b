"""The next test, where one would tell more.

Only between the last good point and the first bad one, and only where it is safe.
"""

from __future__ import annotations

from callnotes.diagnose.course import Course
from callnotes.diagnose.mends import Mended
from callnotes.records import NextTest, Point, Side, Status

FIRST_TELL = (
    "tell the monitoring station and have the account put on test",
    "tell the people on site that the line is down while you test",
)
FIRST_VOLTS = "read volts first, dc and ac: ohms only on a dead pair"
OHMS = {"resistance", "loop_resistance", "insulation_resistance", "continuity", "short", "ground_fault", "capacitance"}


def next_test(
    course: Course,
    status: Status,
    element: str | None,
    between: tuple[str, str] | None,
    side: Side,
    mend: Mended | None,
) -> NextTest | None:
    """What to test next; None when it is repaired, handed over, not found, or the provider's to test."""
    if status in ("repaired", "referred", "not_found") or side == "provider":
        return None
    if status == "mended" and mend is not None:
        return _test(
            course, course.points.get(element or ""), "it was mended and nothing was read after it", again=True
        )
    if between is None:
        return None
    middle = _between_points(course, between)
    if middle is None:
        return None
    return _test(
        course,
        middle,
        f"it lies between the last good point ({between[0]}) and the first bad one ({between[1]}) and was not read",
        again=False,
    )


def _between_points(course: Course, between: tuple[str, str]) -> Point | None:
    """The point in the middle of those on the way that nothing was read at."""
    low, high = (course.points[p].order for p in between)
    read = {e.point for e in course.events if e.kind == "reading"}
    free = sorted(
        (p for p in course.timeline.points if low < p.order < high and p.id not in read), key=lambda p: p.order
    )
    free = [p for p in free if p.side != "provider"]
    return free[len(free) // 2] if free else None


def _test(course: Course, point: Point | None, why: str, *, again: bool) -> NextTest | None:
    if point is None:
        return None
    kind = course.trade.point_kind(point.kind)
    bad = [course.events[n] for n in course.bad]
    quantity = course.trade.quantity(bad[0].quantity) if bad else None
    name = quantity.name if quantity else "line"
    needs = list(FIRST_TELL) if _guarded(course, point) else []
    if quantity and quantity.quantity in OHMS:
        needs.append(FIRST_VOLTS)
    where = kind.name if kind else "point"
    do = f"Read the {name} again at the {where} or beyond it" if again else f"Read the {name} at the {where}"
    return NextTest(do=do, point=point.id, why=why, needs_first=tuple(needs))


def _guarded(course: Course, point: Point) -> bool:
    """Whether the line that the point is on serves a device that protects life or property."""
    kinds = (
        course.trade.point_kind(p.kind)
        for p in course.timeline.points
        if p.line in (None, point.line) or point.line is None
    )
    return any(kind is not None and kind.guarded for kind in kinds)
