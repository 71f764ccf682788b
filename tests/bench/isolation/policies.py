"""The ways to search that are compared, each played out on one drawn fault."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from callnotes.isolate import Case, FieldTest, Standing, after, by_element, next_test
from callnotes.isolate.views import element_bits, fault_bits, view

Policy = Callable[[Case, Standing, Sequence[FieldTest]], FieldTest | None]  # the last: tests taken
MOST_TESTS = 200


@dataclass(frozen=True, slots=True)
class Played:
    """Tests taken, minutes spent, and whether the element that was named holds the fault."""

    tests: int
    minutes: float
    right: bool


def play(case: Case, standing: Standing, truth: int, policy: Policy, seed: int) -> Played:
    """One search. What a test says at its n-th taking hangs on the seed alone, so it is the same for every policy."""
    taken: list[FieldTest] = []
    minutes = 0.0
    while len(taken) < MOST_TESTS and (test := policy(case, standing, taken)) is not None:
        minutes += price(case, test, standing)
        rng = random.Random(f"{seed} {test.name} {taken.count(test)}")
        taken.append(test)
        chances = [outcome.likelihood[truth] for outcome in test.outcomes]
        standing = after(case, standing, test, rng.choices(test.outcomes, chances)[0].name)
    named = next(iter(by_element(case, standing)))
    return Played(len(taken), minutes, named == case.hypotheses[truth].element)


def price(case: Case, test: FieldTest, standing: Standing) -> float:
    """Minutes from here: the test, the way, the gates that are still to be told."""
    gates = sum(gate.minutes for gate in test.needs if gate.name not in standing.told)
    return case.cost(test, standing.place) + gates


def ours(case: Case, standing: Standing, taken: Sequence[FieldTest]) -> FieldTest | None:
    """As the program advises."""
    return next_test(case, standing).test


def quick(case: Case, standing: Standing, taken: Sequence[FieldTest]) -> FieldTest | None:
    """The quick rule alone: most bits per minute."""
    return next_test(case, standing, candidates=1, allowance=0).test


@dataclass(frozen=True, slots=True)
class Walk:
    """From the provider's end, point by point.

    It is a fair one: it knows what the readings mean as well as ours does and stops at the same certainty. At a point
    it takes the test that tells most for its minutes, again if need be, as long as one tells more than ``floor`` bits;
    then it goes on to the next point in order that does, and only where none does, back.
    """

    floor: float

    def __call__(self, case: Case, standing: Standing, taken: Sequence[FieldTest]) -> FieldTest | None:
        if next(iter(by_element(case, standing).values())) >= case.isolated_at:
            return None
        seen = view(case, standing.belief)
        bits = element_bits(seen)
        if max(bits, default=0.0) < 1e-6:
            bits = fault_bits(seen)
        tells = {case.tests[n]: b for n, b in zip(seen.tests, bits, strict=True) if b > 1e-6}
        if not tells:
            return None
        floor = min(self.floor, max(tells.values()))
        points = sorted({_point(test) for test, b in tells.items() if b >= floor})
        here = _point(taken[-1]) if taken else 0
        point = next((p for p in points if p >= here), points[-1])
        at_point = [test for test in tells if _point(test) == point]
        return max(at_point, key=lambda test: tells[test] / price(case, test, standing))


def _point(test: FieldTest) -> int:
    return int(test.name.split()[-1])
