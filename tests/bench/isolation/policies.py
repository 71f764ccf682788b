"""The ways to search that are compared, each played out on one drawn fault."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from callnotes.isolate import Case, FieldTest, Standing, after, by_element, next_test
from callnotes.isolate.views import TELLS_BITS, element_bits, fault_bits, view

Policy = Callable[[Case, Standing, Sequence[FieldTest]], FieldTest | None]  # the last: tests taken
MOST_TESTS = 200


@dataclass(frozen=True, slots=True)
class Played:
    """Tests taken, minutes spent, how sure it was in the end (0 to 1), and whether it was right."""

    tests: int
    minutes: float
    sure: float
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
    named, sure = next(iter(by_element(case, standing).items()))
    return Played(len(taken), minutes, sure, named == case.hypotheses[truth].element)


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
    """From the provider's end, testing every point in order.

    It is a fair one: it knows what the readings mean as well as ours does and stops at the same certainty. At a point
    it takes the test that tells most for its minutes, again if need be, as long as one tells more than ``floor`` bits.
    It goes on while the trouble is likelier ahead; once it is likelier behind, it confirms at the nearest point that
    tells more than the floor. The ``clever`` one is half ours: it leaves out points ahead that tell less than the
    floor, and confirms wherever that tells most for the minutes.
    """

    floor: float
    clever: bool = False

    def __call__(self, case: Case, standing: Standing, taken: Sequence[FieldTest]) -> FieldTest | None:
        elements = by_element(case, standing)
        tells = {test: bits for test, bits in _tells(case, standing) if bits > TELLS_BITS}
        if not tells or max(elements.values()) >= case.isolated_at:
            return None

        def best(tests: Iterable[FieldTest]) -> FieldTest:
            return max(tests, key=lambda test: tells[test] / price(case, test, standing))

        here = _point(taken[-1]) if taken else 0
        at_point = [test for test in tells if _point(test) == here]
        if any(not taken or tells[test] > self.floor for test in at_point):
            return best(at_point)
        floor = min(self.floor, max(tells.values()))
        ahead = [test for test in tells if _point(test) > here and (tells[test] >= floor or not self.clever)]
        if ahead and sum(p for element, p in elements.items() if element and int(element) > here) > 0.5:
            return best(test for test in ahead if _point(test) == min(map(_point, ahead)))
        if self.clever:
            return best(tells)
        nearest = min((_point(test) for test in tells if tells[test] >= floor), key=lambda point: abs(point - here))
        return best(test for test in tells if _point(test) == nearest)


def _tells(case: Case, standing: Standing) -> Iterator[tuple[FieldTest, float]]:
    seen = view(case, standing.belief)
    bits = element_bits(seen)
    if max(bits, default=0.0) <= TELLS_BITS:
        bits = fault_bits(seen)
    return zip((case.tests[test.number] for test in seen.tests), bits, strict=True)


def _point(test: FieldTest) -> int:
    return int(test.name.split()[-1])
