"""What may be wrong, what can be tested, where the technician stands, and what is advised: frozen records."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

# Why no test is advised: one element holds the fault; no test tells more; going on costs more than it saves.
Stop = Literal["isolated", "nothing tells", "not worth it"]


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """A fault of an element of the line; ``element`` None: nothing is wrong."""

    fault: str
    element: str | None = None


@dataclass(frozen=True, slots=True)
class Gate:
    """What must be told or done before some tests, e.g. the account on test; ``minutes`` it takes, once."""

    name: str
    minutes: float = 0.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a test can say; ``likelihood[h]`` is its probability where hypothesis ``h`` of the case holds, 0 to 1."""

    name: str
    likelihood: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class FieldTest:
    """A test at a place. ``minutes`` is its own time, restoring included; the way there is the case's cost.

    For every hypothesis the likelihoods of the outcomes sum to 1. ``needs`` are its safety gates. A test may be taken
    again: each taking errs on its own, and one that cannot err is never advised twice.
    """

    name: str
    place: str
    minutes: float
    outcomes: tuple[Outcome, ...]
    needs: tuple[Gate, ...] = ()


# Minutes that a test costs a technician who stands at a place (None: not known), gates left out.
Cost = Callable[[FieldTest, str | None], float]


def own_minutes(test: FieldTest, last_place: str | None) -> float:
    """The test's own minutes, wherever the technician stands."""
    return test.minutes


@dataclass(frozen=True, slots=True)
class Case:
    """The hypotheses and the tests.

    An element is isolated at a probability of ``isolated_at`` (0 to 1). ``stake_minutes`` is what a wrong or open
    conclusion costs, a second visit say. ``ValueError`` for a case that does not hold together.
    """

    hypotheses: tuple[Hypothesis, ...]
    tests: tuple[FieldTest, ...]
    cost: Cost = own_minutes
    isolated_at: float = 0.95
    stake_minutes: float = 240.0

    def __post_init__(self) -> None:
        if not self.hypotheses:
            raise ValueError("a case needs one hypothesis or more")
        if not 0 < self.isolated_at <= 1:
            raise ValueError(f"an element is isolated at a probability over 0 up to 1, not {self.isolated_at}")
        if len({test.name for test in self.tests}) < len(self.tests):
            raise ValueError("two tests of a case have the same name")
        for test in self.tests:
            _hold_together(test, len(self.hypotheses))


@dataclass(frozen=True, slots=True)
class Standing:
    """What is known so far. ``belief[h]`` sums to 1; ``told`` names the gates that are open."""

    belief: tuple[float, ...]
    place: str | None = None
    told: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Advice:
    """The next test, or why to stop.

    ``element`` is the likeliest (None: nothing wrong) and ``p`` its probability. ``needs_first`` names the gates to be
    told before the test. ``bits`` and ``minutes`` are what the test is expected to tell and costs, gates and way
    included; ``minutes_to_go`` is the expected cost until an element is isolated, this test included.
    """

    element: str | None
    p: float
    test: FieldTest | None = None
    stop: Stop | None = None
    needs_first: tuple[str, ...] = ()
    bits: float = 0.0
    minutes: float = 0.0
    minutes_to_go: float = 0.0


def _hold_together(test: FieldTest, hypotheses: int) -> None:
    if not test.outcomes or any(len(outcome.likelihood) != hypotheses for outcome in test.outcomes):
        raise ValueError(f"{test.name}: it needs outcomes, and each a likelihood for each of {hypotheses} hypotheses")
    for h, column in enumerate(zip(*(outcome.likelihood for outcome in test.outcomes), strict=True)):
        if min(column) < 0 or not math.isclose(sum(column), 1, abs_tol=1e-6):
            raise ValueError(f"{test.name}: the likelihoods of hypothesis {h} must be 0 or more and sum to 1")
    if not 0 <= test.minutes < math.inf or any(not 0 <= gate.minutes < math.inf for gate in test.needs):
        raise ValueError(f"{test.name}: minutes must be a number, 0 or more")
