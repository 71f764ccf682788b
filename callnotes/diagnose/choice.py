"""The choice among the tests that one call allows, by what each would tell for its minutes.

What may be wrong is what the diagnosis left likely; what can be tested are the rows of ``field_tests.toml`` at the
points of the call; how a test reads under each fault is the model by which the readings were weighed. The value of a
test and when to stop are ``callnotes.isolate``'s, by its quick rule: what is
known of a call is too soft to look far ahead by (on simulated calls that came no nearer and advised less often).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from callnotes.diagnose.course import Course, says
from callnotes.diagnose.field_tests import FieldTests, Possible
from callnotes.diagnose.hypotheses import Hypothesis
from callnotes.diagnose.patterns import beside
from callnotes.diagnose.posterior import Weighed
from callnotes.diagnose.reach import Reach
from callnotes.diagnose.safety import Safety
from callnotes.isolate import Case, FieldTest, Gate, Outcome, Standing, next_test, start
from callnotes.isolate import Hypothesis as Suspect
from callnotes.records import Event, Point

MOST_SUSPECTS = 30
LEAST_LIKELY = 0.05  # of the likeliest: what is less likely does not keep a call from being the provider's
OTHER = "other"  # the element of what no test of the table can place


@dataclass(frozen=True)
class Chosen:
    """The test chosen, and the case and the standing in which it was."""

    test: Possible
    case: Case
    standing: Standing

    @property
    def bad(self) -> tuple[float, ...]:
        """How likely the test reads bad under each hypothesis of the case."""
        test = next(t for t in self.case.tests if t.name == self.test.name)
        return test.outcomes[0].likelihood


def choose(course: Course, safety: Safety, found: Weighed) -> Chosen | None:
    """The test that tells most for its minutes; None where all is the provider's or none tells enough."""
    suspects = sorted(found.ranking, key=lambda h: -h.p)[:MOST_SUSPECTS]
    if all(h.provider for h in suspects if h.p >= LEAST_LIKELY * suspects[0].p):
        return None
    return _Choice(course, safety, found, suspects).made()


class _Choice:
    def __init__(self, course: Course, safety: Safety, found: Weighed, suspects: list[Hypothesis]) -> None:
        self.course, self.safety, self.found, self.suspects = course, safety, found, suspects
        self.reach = Reach(course)

    def made(self) -> Chosen | None:
        possible = FieldTests(self.course, self.safety).possible([h.element for h in self.suspects])
        limits = self.course.trade.advice
        case = Case(
            hypotheses=(
                *(Suspect(h.fault, self.home(h)) for h in self.suspects),
                Suspect("none"),
            ),
            tests=tuple(self.test(one) for one in possible),
            cost=self.cost,
            isolated_at=limits.isolated_at,
            stake_minutes=limits.stake_minutes,
        )
        standing = start(case, [*(h.p for h in self.suspects), self.found.nothing], place=self.place)
        advised = next_test(case, standing, candidates=1, allowance=0).test
        return next((Chosen(one, case, standing) for one in possible if advised and one.name == advised.name), None)

    def home(self, held: Hypothesis) -> str:
        """One name for all names of the place, so that faults of one place count together."""
        if held.element not in self.course.points:
            return OTHER
        names = (h.element for h in self.suspects if h.element and beside(self.course, h.element, held.element))
        return next(names, held.element or OTHER)

    def test(self, one: Possible) -> FieldTest:
        bad = tuple(self.reads_bad(h, one) for h in self.suspects)
        bad = (*bad, self.course.trade.chances.anyway)
        outcomes = (Outcome("bad", bad), Outcome("good", tuple(1 - p for p in bad)))
        minutes = {gate.name: gate.minutes for gate in self.course.trade.gates}
        # Volts are read at each place anew; station and people are told once.
        gates = tuple(
            Gate(f"volts {one.point.id}" if name == "volts" else name, minutes[name])
            for name in self.safety.gates(one.kind, one.point)
        )
        return FieldTest(one.name, one.point.id, one.kind.minutes + one.kind.minutes_back, outcomes, gates)

    def reads_bad(self, held: Hypothesis, one: Possible) -> float:
        """The probability that the test reads bad where that hypothesis holds."""
        chances, fault = self.course.trade.chances, self.course.trade.fault(held.fault)
        if fault is None or held.element not in self.course.points:
            return chances.unknown
        if not self.reach.would_be_bad(fault, held.element, one.point, one.kind):
            return chances.anyway
        if one.kind.finds and one.kind.sees == "itself":
            return chances.seen
        return chances.reached if fault.steady else chances.unsteady

    # --- the way there

    @cached_property
    def place(self) -> str | None:
        """Where the technician stands: the last place that was spoken of."""
        return next((e.point for e in reversed(self.course.events) if e.point in self.course.points), None)

    def cost(self, test: FieldTest, last_place: str | None) -> float:
        """Minutes of the test and, from another place, of the way there."""
        here, there = self.course.points.get(last_place or ""), self.course.points[test.place]
        if here is not None and (beside(self.course, here.id, there.id) or _in_one_room(here, there)):
            return test.minutes
        return test.minutes + self.way(there)

    def way(self, point: Point) -> float:
        label = Event(id="-", kind="note", start=0, end=0, text=point.label or "", confidence=1)
        ways = self.course.trade.ways
        said = (way for way in ways if way.words and says(label, way.words))
        usual = (way for way in ways if point.kind in way.at or not (way.at or way.words))
        return (next(said, None) or next(usual)).minutes


def _in_one_room(a: Point, b: Point) -> bool:
    """Whether two things go by one name: the kitchen jack and the kitchen telephone."""
    return a.label is not None and a.label == b.label and {a.kind, b.kind} <= {"jack", "set", "filter", "device"}
