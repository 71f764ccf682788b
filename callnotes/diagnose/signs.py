"""What the readings show: each sign of the faults table, found in the course of one call."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from callnotes.diagnose.course import Course, says, was_moved
from callnotes.diagnose.patterns import PATTERNS
from callnotes.judge import condition
from callnotes.records import Event
from callnotes.trade.judgment import Sign


@dataclass(frozen=True)
class Finding:
    """One sign found: the fault it speaks for (or against, weight below 0), where, and by which events.

    ``row`` is the number of the sign in the fault's table, from 0.
    """

    fault: str
    element: str | None
    weight: float
    events: tuple[str, ...]
    why: str
    row: int
    provider: bool = False


def findings(course: Course) -> tuple[Finding, ...]:
    """All signs found; a sign that is found again at one place counts half each time."""
    found = []
    for fault in course.trade.faults:
        for row, sign in enumerate(fault.signs):
            seen: dict[str | None, int] = {}
            for element, positions in _found(sign, course):
                repeat = seen[element] = seen.get(element, 0) + 1
                events = tuple(course.events[n].id for n in positions)
                provider = bool(positions) and course.provider_side(course.events[positions[0]])
                weight = sign.weight / 2 ** (repeat - 1)
                found.append(Finding(fault.id, element, weight, events, sign.why, row, provider))
    return tuple(found)


def _found(sign: Sign, course: Course) -> Iterator[tuple[str | None, tuple[int, ...]]]:
    if sign.pattern:
        look: Callable[[Course], Iterator[tuple[str | None, tuple[int, ...]]]] = PATTERNS[sign.pattern]
        for element, positions in look(course):
            kind = course.points[element].kind if element in course.points else None
            if not sign.at or kind in sign.at:
                yield element, positions
        return
    positions = course.evidence if sign.quantity else tuple(range(len(course.events)))
    for n in positions:
        if _matches(course.events[n], sign, course):
            yield course.events[n].point, (n,)


def _matches(event: Event, sign: Sign, course: Course) -> bool:
    point = course.at(event)
    checks = (
        not sign.quantity or (event.quantity in sign.quantity and event.verdict in sign.verdict),
        not sign.state or event.state in sign.state,
        not sign.action or (event.kind == "action" and event.action in sign.action),
        not sign.at or (point is not None and point.kind in sign.at),
        not sign.words or says(event, sign.words),
        not sign.moved or was_moved(event),
        sign.provider is None or course.provider_side(event) is sign.provider,
        all((condition(event, what) or "") in accepted for what, accepted in sign.conditions.items()),
    )
    return all(checks) and _in_bounds(event, sign, course)


def _in_bounds(event: Event, sign: Sign, course: Course) -> bool:
    """Whether the size of the value lies between ``low`` and ``high``, both in the sign's unit."""
    if sign.low is None and sign.high is None:
        return True
    have, want = course.trade.unit(event.unit), course.trade.unit(sign.unit)
    if event.value is None or have is None or want is None or have.dimension != want.dimension:
        return False
    size = abs(event.value) * have.factor / want.factor
    return (sign.low is None or size >= sign.low) and (sign.high is None or size <= sign.high)
