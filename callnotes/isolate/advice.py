"""The choice of the next test: information over cost, corrected by a look ahead; and when to stop.

The quick rule takes the test with the most bits for its minutes. It is short-sighted where ways are long or a dear test
settles much at once, so the best few tests are compared by what the whole search would cost when it went on by the
quick rule after them (a rollout; D. Bertsekas, Rollout Algorithms, from memory). The look ahead has a fixed allowance
of arithmetic, shared among the outcomes by their probability; where it runs out, the bits that are left are priced at
the rate of the last choice. So the same case always gets the same advice.
"""

from __future__ import annotations

from dataclasses import dataclass

from callnotes.isolate.belief import by_element
from callnotes.isolate.cases import Advice, Case, Standing
from callnotes.isolate.views import TELLS_BITS, View, element_bits, entropy, fault_bits, narrowed, view

CANDIDATES = 5
ALLOWANCE = 150_000  # products
LEAST_MINUTES = 0.01  # so that what costs nothing still comes in the order of what it tells
# Both tried on the lines of tests/bench/isolation: in a plain rate trifles that cost seconds come before tests that
# settle much, so each test counts a minute more; and the last bits are dearer than the first.
BESIDES_MINUTES = 1.0
DEARER = 1.5


@dataclass(frozen=True, slots=True)
class _Option:
    """A test of a view (its number there), what it tells and costs from here."""

    row: int
    bits: float
    minutes: float

    @property
    def minutes_per_bit(self) -> float:
        return self.minutes / self.bits


def next_test(case: Case, standing: Standing, *, candidates: int = CANDIDATES, allowance: int = ALLOWANCE) -> Advice:
    """The next test, or why to stop; ``candidates=1, allowance=0`` is the quick rule alone.

    Stops when an element (or that nothing is wrong) has the case's ``isolated_at``, when no test tells anything, or
    when isolating is expected to cost more minutes than ``stake_minutes`` times the chance of being wrong now.
    """
    element, p = next(iter(by_element(case, standing).items()))
    if p >= case.isolated_at:
        return Advice(element, p, stop="isolated")
    seen = view(case, standing.belief)
    options = _options(case, seen, standing.place, standing.told)[:candidates]
    if not options:
        return Advice(element, p, stop="nothing tells")
    share = allowance / len(options)
    ahead = [_minutes_by(case, seen, option, standing.place, standing.told, share) for option in options]
    to_go, best = min(zip(ahead, options, strict=True), key=lambda pair: pair[0])
    if to_go >= case.stake_minutes * (1 - p):
        return Advice(element, p, stop="not worth it", minutes_to_go=to_go)
    test = case.tests[seen.tests[best.row].number]
    needs = tuple(gate.name for gate in test.needs if gate.name not in standing.told)
    return Advice(element, p, test, None, needs, best.bits, best.minutes, to_go)


def _options(case: Case, seen: View, place: str | None, told: frozenset[str]) -> list[_Option]:
    """The tests that tell something, most bits for their minutes first.

    Where none tells elements apart at once, those that tell faults apart may make another do so.
    """
    bits = element_bits(seen)
    if max(bits, default=0.0) <= TELLS_BITS:
        bits = fault_bits(seen)
    options = [
        _Option(n, b, _minutes(case, seen.tests[n].number, place, told)) for n, b in enumerate(bits) if b > TELLS_BITS
    ]
    return sorted(options, key=lambda option: (option.minutes + BESIDES_MINUTES) / option.bits)


def _minutes(case: Case, number: int, place: str | None, told: frozenset[str]) -> float:
    test = case.tests[number]
    gates = sum(gate.minutes for gate in test.needs if gate.name not in told)
    return max(case.cost(test, place) + gates, LEAST_MINUTES)


def _minutes_by(
    case: Case, seen: View, option: _Option, place: str | None, told: frozenset[str], allowance: float
) -> float:
    """Expected minutes until an element is isolated when this test is taken first."""
    test = case.tests[seen.tests[option.row].number]
    told_then = told | {gate.name for gate in test.needs}
    minutes = option.minutes
    for row in seen.tests[option.row].outcomes:
        probability = sum(w * q for w, q in zip(seen.weights, row, strict=True))
        if probability > 0:
            then = narrowed(seen, row, probability)
            share = allowance * probability
            minutes += probability * _minutes_left(case, then, test.place, told_then, share, option.minutes_per_bit)
    return minutes


def _minutes_left(
    case: Case, seen: View, place: str | None, told: frozenset[str], allowance: float, minutes_per_bit: float
) -> float:
    """Expected minutes from here by the quick rule; ``minutes_per_bit`` prices what the allowance does not reach."""
    elements = seen.elements()
    p = max(elements)
    if p >= case.isolated_at:
        return 0.0
    if allowance < seen.work:
        return entropy(elements) * minutes_per_bit * DEARER
    options = _options(case, seen, place, told)
    if not options:
        return case.stake_minutes * (1 - p)
    return _minutes_by(case, seen, options[0], place, told, allowance - seen.work)
