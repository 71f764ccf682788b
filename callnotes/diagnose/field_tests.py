"""The tests that a technician can still make on one call: the rows of the table at the points where they fit.

A test that repeats what was read there is left out, unless that reading was doubtful, contradicted at the same place
with nothing done between, or made before the last mend.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import takewhile

from callnotes.diagnose.course import QUIET_ACTIONS, Course, was_moved
from callnotes.diagnose.mends import mends_of
from callnotes.diagnose.path import exactness, on_one_line, same_place
from callnotes.diagnose.reach import upstream
from callnotes.diagnose.safety import Safety
from callnotes.judge import condition
from callnotes.records import Event, Point
from callnotes.trade.testing import FieldTestKind

# On calls with more points than that, only those nearest the suspects are looked at.
MOST_POINTS = 40


@dataclass(frozen=True)
class Possible:
    """A kind of test at a point."""

    kind: FieldTestKind
    point: Point

    @property
    def name(self) -> str:
        return f"{self.kind.id} {self.point.id}"


class FieldTests:
    """What can still be tested on one call."""

    def __init__(self, course: Course, safety: Safety) -> None:
        self.course, self.safety = course, safety
        self._near: list[Point] = []
        self._last_mend = max((m.position for m in mends_of(course)), default=-1)

    def possible(self, elements: Iterable[str | None]) -> list[Possible]:
        """The tests that the trouble calls for, near those elements, safe once their gates are told."""
        self._near = self._points([self.course.points[e] for e in elements if e in self.course.points])
        kinds = [k for k in self.course.trade.field_tests if not k.told_by or self._trouble & set(k.told_by)]
        return [
            Possible(kind, point)
            for point in self._near
            for kind in kinds
            if point.kind in kind.at and self.safety.allows(kind, point) and not self._known(kind, point)
        ]

    @cached_property
    def _trouble(self) -> set[str]:
        """Quantities and families of what still reads bad, and whether it comes and goes."""
        quantities = {self.course.events[n].quantity for n in self.course.standing_bad}
        found = {q for q in quantities if q} | {f for q in quantities if (f := self.course.trade.family(q))}
        return found | ({"comes_and_goes"} if self._comes_and_goes() else set())

    def _comes_and_goes(self) -> bool:
        """Whether anything bad was called so, hung on a wire that was moved, or turned with nothing done between."""
        course, last = self.course, dict[tuple[str | None, str | None], int]()
        for n in course.evidence:
            event = course.events[n]
            if event.verdict == "fail" and (event.state == "intermittent" or was_moved(event)):
                return True
            key = (event.point, event.quantity)
            turned = key in last and course.events[last[key]].verdict != event.verdict
            if turned and self._untouched(last[key], n) and course.one_test(course.events[last[key]], event):
                return True
            last[key] = n
        return False

    @cached_property
    def _good(self) -> list[Event]:
        """The good readings since the last mend that tell of the line as it stands, at the places looked at."""
        ids = {p.id for p in self._near}
        events = (self.course.events[n] for n in self.course.evidence if n > self._last_mend)
        return [e for e in events if e.verdict == "pass" and e.point in ids]

    def _points(self, suspects: list[Point]) -> list[Point]:
        """The places on the suspects' lines, in order; of several names for one place the more exact."""
        ours = (p for p in self.course.timeline.points if p.side != "provider")
        near = [p for p in ours if any(on_one_line(p, s) for s in suspects)]
        near.sort(key=lambda p: min(abs(p.order - s.order) for s in suspects))
        kept: list[Point] = []
        for point in sorted(near[:MOST_POINTS], key=lambda p: -exactness(p)):
            if not any(same_place(point, other) for other in kept):
                kept.append(point)
        return sorted(kept, key=lambda p: p.order)

    def _known(self, kind: FieldTestKind, point: Point) -> bool:
        """Whether what the test would read there was read, and nothing speaks for reading it again."""
        if kind.sees == "without":
            return self._tried_without(kind, point)
        read = [
            (n, e)
            for n, e in self.safety.there(point, sides=point.kind != "demarc")
            if self._reads(kind, e) and (kind.sees != "toward_provider" or _cut_off(e, point))
        ]
        return bool(read) and not self._again(read)

    def _tried_without(self, kind: FieldTestKind, point: Point) -> bool:
        """Whether since the mend the line read good ahead of it anyway, or was read with it taken off."""
        if any(self._ahead(event, kind, point) for event in self._good):
            return True
        for n, event in self.safety.there(point):
            if event.action == "disconnect" and n > self._last_mend:
                after = takewhile(
                    lambda e: e.kind != "action" or e.action in QUIET_ACTIONS, self.course.events[n + 1 :]
                )
                if any(self._reads(kind, e) for e in after):
                    return True
        return False

    def _ahead(self, event: Event, kind: FieldTestKind, point: Point) -> bool:
        at = self.course.at(event)
        return at is not None and self._reads(kind, event) and upstream(at, point) and not _cut_off(event, at)

    def _reads(self, kind: FieldTestKind, event: Event) -> bool:
        """Whether the event is a reading that tells what the test would."""
        if event.kind != "reading" or kind.repeats is not None:
            return event.kind == "reading" and event.quantity in (kind.repeats or ())
        family = kind.family or self.course.trade.family(kind.reads)
        return self.course.trade.family(event.quantity) == family

    def _again(self, read: list[tuple[int, Event]]) -> bool:
        position, last = read[-1]
        doubtful = last.confidence < self.course.trade.advice.doubtful or last.verdict == "marginal"
        unsteady = last.state == "intermittent" or any(
            e.verdict and last.verdict and e.verdict != last.verdict and self._untouched(n, position)
            for n, e in read[:-1]
            if self.course.one_test(e, last)
        )
        return doubtful or unsteady or position < self._last_mend

    def _untouched(self, first: int, last: int) -> bool:
        between = self.course.events[first:last]
        return not any(e.kind == "action" and e.action not in QUIET_ACTIONS for e in between)


def _cut_off(event: Event, point: Point) -> bool:
    """Whether the reading was made with what lies beyond taken off."""
    return point.side == "provider" or "out" in (condition(event, "plug"), condition(event, "clips"))
