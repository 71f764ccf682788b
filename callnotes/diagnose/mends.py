"""What was mended on the call, what became good through it, and whether it was tested again at or beyond it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from callnotes.diagnose.course import ITSELF_ONLY, Change, Course, says
from callnotes.diagnose.path import in_series
from callnotes.diagnose.patterns import beside
from callnotes.records import Event
from callnotes.trade.judgment import Mend

END_TO_END = {"link", "link_speed", "sync", "cable_test", "wire_map"}


@dataclass(frozen=True)
class Mended:
    """A mend at ``position``, by row ``row`` of the table.

    ``tells``: the faults it is for with their log odds, the usual one first. ``cured``: readings that were bad and
    became good through it.
    """

    position: int
    row: int
    tells: Mapping[str, float]
    element: str | None
    cured: tuple[Change, ...]
    still_bad: tuple[int, ...]
    proof: tuple[int, ...]

    @property
    def fault(self) -> str:
        """The fault that such a mend is for as a rule."""
        return next(iter(self.tells))

    @property
    def retested(self) -> bool:
        return bool(self.proof)


def mends_of(course: Course) -> tuple[Mended, ...]:
    """Every mending action of the call in time order."""
    made = []
    for n, event in enumerate(course.events):
        row = _row(event, course, n)
        if row is None:
            continue
        cured = tuple(
            c for c in course.changes if c.before < n < c.after and course.events[c.before].quantity != "inspection"
        )
        if row.undisturbed and not cured:
            continue
        proof = {c.after for c in cured} | set(_proof(event, course, n))
        at = course.trade.mends.index(row)
        made.append(Mended(n, at, row.tells, event.point, cured, course.still_bad_after(n), tuple(sorted(proof))))
    return tuple(made)


def _row(event: Event, course: Course, position: int) -> Mend | None:
    if event.kind != "action":
        return None
    point = course.at(event)
    for row in course.trade.mends:
        fits = event.action in row.action and (not row.at or (point is not None and point.kind in row.at))
        if not fits or (row.words and not says(event, row.words)):
            continue
        if says(event, row.unless, object_only=event.object is not None):
            continue
        if row.undisturbed and _was_taken_apart(event, course, position):
            continue
        return row
    return None


def _was_taken_apart(event: Event, course: Course, position: int) -> bool:
    """Whether anything like it was taken apart before on this call (then putting it back mends nothing)."""
    earlier = (
        e for e in course.events[:position] if e.action in ("disconnect", "remove_clips", "remove", "move", "install")
    )
    return any(
        e.point is None or event.point is None or beside(course, e.point, event.point) or _like(e, event)
        for e in earlier
    )


def _like(a: Event, b: Event) -> bool:
    return bool(
        set((a.object or "").lower().split()) & set((b.object or "").lower().split()) - {"the", "a", "of", "on", "off"}
    )


def _proof(event: Event, course: Course, position: int) -> list[int]:
    """Good readings after the mend at its own place or beyond it, inspections apart.

    A link, or a test of a whole cable, is read at either end alike.
    """
    point = course.at(event)
    found = []
    for n in course.evidence:
        reading, at = course.events[n], course.at(course.events[n])
        if n < position or reading.verdict != "pass" or reading.quantity in ITSELF_ONLY:
            continue
        whole = reading.quantity in END_TO_END and point and at and (in_series(at, point) or in_series(point, at))
        if whole or beside(course, event.point, reading.point) or (point and at and at.order >= point.order):
            found.append(n)
    return found + _read_again(course, position)


def _read_again(course: Course, position: int) -> list[int]:
    """Numbers read after the mend where that number was bad before, and not called bad any more."""
    before = [course.events[n] for n in course.bad if n < position and course.events[n].value is not None]
    return [
        n
        for n, event in enumerate(course.events)
        if n > position and event.kind == "reading" and event.verdict is None and event.value is not None
        if any(bad.quantity == event.quantity and course.one_place(bad, event) for bad in before)
    ]
