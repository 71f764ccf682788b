"""Finds the readings that a sum may take: the right quantity and unit, sure, at the places that the sum asks for."""

from __future__ import annotations

from bisect import bisect
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from itertools import accumulate

from callnotes.diagnose.course import QUIET_ACTIONS, Course
from callnotes.diagnose.mends import mends_of
from callnotes.diagnose.path import in_series
from callnotes.judge import condition
from callnotes.records import Event
from callnotes.trade.worked import TakenReading, Worked

# A reading less sure than this is marked on the report; no sum rests on it.
SURE = 0.6
# Of readings said over and over at one point only so many of the last are tried: own bound.
MOST_TRIED = 4


@dataclass(frozen=True)
class Stretches:
    """The course of a call cut at its mends: readings before and after a mend are of two different lines."""

    course: Course

    @cached_property
    def mends(self) -> list[int]:
        """Positions of the mends."""
        return [mend.position for mend in mends_of(self.course)]

    def of(self, position: int) -> int:
        """How many mends lie before that position."""
        return bisect(self.mends, position)

    @cached_property
    def _acts(self) -> tuple[int, ...]:
        """How many things had been done to the line before each position."""
        done = (e.kind == "action" and e.action not in QUIET_ACTIONS for e in self.course.events)
        return (0, *accumulate(done))

    def untouched(self, a: int, b: int) -> bool:
        """Whether nothing was done to the line between two positions."""
        return self._acts[a] == self._acts[b]

    @cached_property
    def _near(self) -> dict[tuple[str | None, int], tuple[tuple[int, Event], ...]]:
        return {}

    def near(self, position: int) -> tuple[tuple[int, Event], ...]:
        """All events at the place of that one between the same mends, with their positions."""
        here, stretch = self.course.events[position], self.of(position)
        if (here.point, stretch) not in self._near:
            self._near[here.point, stretch] = tuple(
                (n, event)
                for n, event in enumerate(self.course.events)
                if self.of(n) == stretch and self.course.one_place(event, here)
            )
        return self._near[here.point, stretch]


@dataclass(frozen=True)
class Taking:
    """The readings that one sum takes: position and value (in the row's unit) by name; it is told at the first."""

    row: Worked
    stretches: Stretches
    at: dict[str, int]
    values: dict[str, float]

    @property
    def course(self) -> Course:
        return self.stretches.course

    @property
    def first(self) -> Event:
        return self.course.events[next(iter(self.at.values()))]

    @property
    def events(self) -> tuple[Event, ...]:
        return tuple(self.course.events[n] for n in self.at.values())

    def event(self, name: str) -> Event:
        return self.course.events[self.at[name]]

    def half_a_digit(self, name: str) -> float:
        """Half a step of the last digit that was said, in the row's unit: 62 ohm may be 61.5 to 62.5."""
        event = self.event(name)
        said = Decimal(f"{event.value:.12g}")
        exponent = min(int(said.as_tuple().exponent), 0)
        return abs(self.values[name] / event.value) * 10.0**exponent / 2 if event.value else 0.0

    def near(self) -> tuple[tuple[int, Event], ...]:
        """All events at the place of the first reading between the same mends, with their positions."""
        return self.stretches.near(next(iter(self.at.values())))


def takings_of(row: Worked, stretches: Stretches) -> Iterator[Taking]:
    """Every way in which the row can take its readings, in time order; of many at one point the last few."""
    if not row.readings:
        return
    fitting = {wanted.name: tuple(_fitting(wanted, stretches.course)) for wanted in row.readings}
    head, *rest = row.readings
    for n, value in _last_few(fitting[head.name], stretches.course):
        taking = Taking(row, stretches, {head.name: n}, {head.name: value})
        for wanted in rest:
            found = _beside(wanted, taking, fitting[wanted.name])
            if found is None and not wanted.may_lack:
                break
            if found is not None:
                at, values = taking.at | {wanted.name: found[0]}, taking.values | {wanted.name: found[1]}
                taking = Taking(row, stretches, at, values)
        else:
            yield taking


def _last_few(found: Sequence[tuple[int, float]], course: Course) -> list[tuple[int, float]]:
    tried: Counter[str | None] = Counter()
    kept = []
    for n, value in reversed(found):
        point = course.events[n].point
        tried[point] += 1
        if tried[point] <= MOST_TRIED:
            kept.append((n, value))
    return kept[::-1]


def _fitting(wanted: TakenReading, course: Course) -> Iterator[tuple[int, float]]:
    """Positions and values of the readings that fit, wherever they were taken."""
    for n, event in enumerate(course.events):
        value = _value(wanted, event, course)
        if value is not None:
            yield n, value


def _value(wanted: TakenReading, event: Event, course: Course) -> float | None:
    """The value in the wanted unit; None where the reading does not fit, is not sure, or is a bound or a range."""
    quantity, point = course.trade.quantity(event.quantity), course.at(event)
    have, want = course.trade.unit(event.unit), course.trade.unit(wanted.unit)
    if event.kind != "reading" or event.value is None or not (quantity and point and have and want):
        return None
    value = have.to(want, event.value)
    fits = (
        event.quantity in (wanted.quantity, *wanted.also),
        event.confidence >= SURE,
        not any(condition(event, what) for what in ("bound", "range")),
        not (quantity.leads and "leads" in wanted.conditions) or condition(event, "leads") is not None,
        all((condition(event, what) or "") in accepted for what, accepted in wanted.conditions.items()),
        not wanted.at or point.kind in wanted.at,
        not wanted.ported or point.port is not None,
        value is not None and (wanted.low is None or value >= wanted.low),
        value is not None and (wanted.high is None or value <= wanted.high),
    )
    return value if all(fits) else None


def _beside(wanted: TakenReading, taking: Taking, fitting: Sequence[tuple[int, float]]) -> tuple[int, float] | None:
    """The reading that goes with the first: at its place, before it, or at the one cable; the nearest in time."""
    stretches, course, first = taking.stretches, taking.course, taking.first
    here = next(iter(taking.at.values()))
    found = [
        (n, value) for n, value in fitting if n not in taking.at.values() and stretches.of(n) == stretches.of(here)
    ]
    if wanted.place == "here":
        found = [(n, value) for n, value in found if course.one_place(course.events[n], first)]
    elif wanted.place == "before":
        found = [(n, value) for n, value in found if _before(course.events[n], first, course)]
    elif len({course.events[n].point for n, _ in found}) > 1:
        return None
    alike = [
        (n, v)
        for n, v in found
        if all(condition(course.events[n], what) == condition(first, what) for what in taking.row.same)
    ]
    return min(alike, key=lambda one: abs(one[0] - here), default=None)


def _before(event: Event, first: Event, course: Course) -> bool:
    a, b = course.at(event), course.at(first)
    return a is not None and b is not None and not course.one_place(event, first) and in_series(a, b)
