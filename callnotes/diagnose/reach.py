"""The line as a way with branches, and which readings a fault at one of its places makes bad.

The order of the kinds of point from provider to device is the trade's (``points.toml``, common practice, no published
source); what was said of ports, pairs, lines and labels tells the branches apart.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from callnotes.diagnose.course import Course
from callnotes.diagnose.path import SIDE_RANK, in_series, on_one_line, same_place
from callnotes.judge import condition
from callnotes.records import Event, Point
from callnotes.trade.judgment import Fault
from callnotes.trade.testing import FieldTestKind, Sees

# Nothing of the line lies behind these, and a filter has only its own set behind it.
ENDS = {"set", "alarm_panel", "device"}
_BEHIND_FILTER = {"set", "cable", "device"}
# Seen from a fault, where a test lies that does not see it, by what the test sees of the line.
HIDDEN: dict[Sees, tuple[str, ...]] = {
    "line": (),
    "toward_provider": ("before",),
    "toward_set": ("behind",),
    "itself": ("before", "behind"),
    "without": ("same",),
}
_PARTING = {"disconnect", "remove_clips", "remove"}
_JOINING = {"reconnect", "install_clips", "install", "restore", "replace", "terminate", "repair"}


def upstream(a: Point, b: Point) -> bool:
    """Whether ``a`` stands before ``b`` on one way: what parts at ``a`` is missed at ``b``."""
    if a.kind in ENDS or (a.kind == "filter" and b.kind not in _BEHIND_FILTER) or not in_series(a, b):
        return False
    # Two things with names of their own, "kitchen" and "den", hang on different branches.
    return not (a.kind in ("jack", "cable", "filter") and a.label and b.label and _foreign(a.label, b.label))


def _foreign(a: str, b: str) -> bool:
    words = set(a.lower().split()), set(b.lower().split())
    return not (words[0] & words[1])


def _spread(fault: Fault, way: str, parted: Callable[[], bool]) -> bool | None:
    """Whether a fault spreads that way; None where it says nothing of it."""
    if fault.spreads == "here":
        return True if way == "same" else None
    if fault.spreads == "behind":
        return {"same": True, "behind": True, "before": False}.get(way)
    if way in ("same", "beside"):
        return True if way == "same" else None
    return not parted()


def _one_pair(a: Point, b: Point) -> bool | None:
    """Whether two branches hang on one pair for all that was said: what loads one, loads both."""
    return True if None in (a.pair, b.pair) and None in (a.port, b.port) else None


class Reach:
    """What each fault of the table makes of the readings of one call."""

    def __init__(self, course: Course) -> None:
        self.course = course
        self._memory: dict[tuple[str, str], str] = {}

    def bad_there(self, fault: Fault, element: str | None, position: int) -> bool | None:
        """Whether that fault at that point would make that reading bad; None where it says nothing of it."""
        event = self.course.events[position]
        there, family = self.course.at(event), self.course.trade.family(event.quantity)
        way = self._touched(fault, element, there, family)
        if way is None or there is None:
            return None
        here = self.course.points[element or ""]
        return _spread(fault, way, parted=lambda: self.parted(here, there, position))

    def would_be_bad(self, fault: Fault, element: str | None, there: Point, kind: FieldTestKind) -> bool | None:
        """The same of a test not made yet, which itself parts the line so that it sees what its kind says."""
        family = kind.family or self.course.trade.family(kind.reads)
        if kind.finds and fault.id not in kind.finds:
            return None
        way = self._touched(fault, element, there, fault.touches[0] if kind.finds else family)
        if way is None or way in HIDDEN[kind.sees]:
            return None if way is None else False
        if fault.spreads == "line" and way == "beside" and kind.sees in ("line", "without"):
            return _one_pair(self.course.points[element or ""], there)
        return _spread(fault, way, parted=lambda: False)

    def _touched(self, fault: Fault, element: str | None, there: Point | None, family: str | None) -> str | None:
        """The way from the fault to where a reading of that family is made; None where it says nothing of it."""
        here = self.course.points.get(element or "")
        if here is None or there is None or family not in fault.touches or not on_one_line(here, there):
            return None
        return self.way(here.id, there)

    def way(self, here: str, there: Point) -> str:
        """Where ``there`` lies as seen from the point ``here``: same, behind, before, or beside on another branch."""
        key = (here, there.id)
        if key not in self._memory:
            self._memory[key] = self._seen(self.course.points[here], there)
        return self._memory[key]

    def _seen(self, here: Point, there: Point) -> str:
        if here.id == there.id:
            return "same"
        if same_place(here, there, sides=False):
            sides = SIDE_RANK.get(here.side, 3) - SIDE_RANK.get(there.side, 3)
            apart = None not in (here.side, there.side) and sides
            # A fault of the whole thing lies between its sides.
            return "before" if apart and sides > 0 else "same"
        if upstream(here, there):
            return "behind"
        return "before" if upstream(there, here) else "beside"

    def parted(self, here: Point, there: Point, position: int) -> bool:
        """Whether the two were taken apart when that reading was made: by an action before it, or as was said of it."""
        event = self.course.events[position]
        if condition(event, "plug") == "out" or condition(event, "clips") == "out":
            return there.side == "provider" or upstream(there, here) or there.kind in ("demarc", "line_seizure_jack")
        low, high = sorted((here.order, there.order))
        for cut in self._cuts[position]:
            at = self.course.points.get(cut)
            between = at is not None and (low <= at.order <= high or same_place(at, here, sides=False))
            if between and at is not None and on_one_line(at, here):
                return True
        return False

    @cached_property
    def _cuts(self) -> tuple[frozenset[str], ...]:
        """At each position the points where something is taken apart."""
        standing: list[frozenset[str]] = []
        now: set[str] = set()
        for event in self.course.events:
            standing.append(frozenset(now))
            if event.kind == "action" and event.point:
                now = self._after(event, now)
        return tuple(standing)

    def _after(self, event: Event, now: set[str]) -> set[str]:
        assert event.point
        if event.action in _PARTING:
            return now | {event.point}
        if event.action in _JOINING:
            there = self.course.points[event.point]
            return {cut for cut in now if not same_place(self.course.points[cut], there, sides=False)}
        return now
