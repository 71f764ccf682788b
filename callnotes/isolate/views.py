"""A case cut down to what still matters, so that many tests are weighed quickly."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import compress, groupby
from math import log2
from operator import mul

from callnotes.isolate.cases import Case

# In looking ahead, hypotheses less likely than this are left out.
UNLIKELY = 0.01
TELLS_BITS = 1e-6  # less is a rounding error

Row = Sequence[float]
Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Sight:
    """A test as seen in a view: the number it has in the case, and over the view's hypotheses the rows it has.

    ``outcomes`` holds the likelihoods of each outcome, ``errs`` how unsure the outcome is where the hypothesis holds,
    in bits. ``mixed`` are the spans whose hypotheses it tells apart.
    """

    number: int
    outcomes: tuple[Row, ...]
    errs: Row
    mixed: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class View:
    """Hypotheses that are alive and differ, those of an element side by side, and the tests that tell any apart.

    ``weights`` sum to 1; ``spans`` are the half-open ranges of the elements in it.
    """

    weights: Row
    spans: tuple[Span, ...]
    tests: tuple[Sight, ...]

    @property
    def work(self) -> int:
        """How many products it takes to weigh all tests."""
        return len(self.weights) * sum(len(test.outcomes) for test in self.tests) + 1

    def elements(self) -> list[float]:
        """Probability of each element."""
        return [sum(self.weights[a:b]) for a, b in self.spans]


def view(case: Case, belief: Sequence[float]) -> View:
    """The whole case as seen under a belief; hypotheses that no test tells apart count as one."""
    columns = list(zip(*(outcome.likelihood for test in case.tests for outcome in test.outcomes), strict=True))
    number = {hypothesis.element: n for n, hypothesis in enumerate(case.hypotheses)}
    merged: dict[tuple[int, tuple[float, ...]], float] = {}
    for h, p in enumerate(belief):
        if p > 0:
            kind = (number[case.hypotheses[h].element], columns[h] if columns else ())
            merged[kind] = merged.get(kind, 0.0) + p
    kinds = sorted(merged, key=lambda kind: kind[0])
    spans = _spans([kind[0] for kind in kinds])
    flat = iter(list(zip(*(kind[1] for kind in kinds), strict=True)))
    tests = [_sight(n, tuple(next(flat) for _ in test.outcomes), spans) for n, test in enumerate(case.tests)]
    return View([merged[kind] for kind in kinds], spans, tuple(test for test in tests if _tells(test)))


def narrowed(seen: View, row: Row, probability: float) -> View:
    """The view after an outcome of that row and probability; what has become unlikely is left out."""
    weights = [w / probability for w in map(mul, seen.weights, row)]
    keep = [w >= UNLIKELY for w in weights]
    if all(keep):
        return View(weights, seen.spans, seen.tests)
    kept = list(compress(weights, keep))
    total = sum(kept)
    owners = [n for n, (a, b) in enumerate(seen.spans) for _ in range(sum(keep[a:b]))]
    spans = _spans(owners)
    moved = dict(zip((seen.spans[n] for n, _ in groupby(owners)), spans, strict=True))
    tests = (_kept(test, keep, moved) for test in seen.tests)
    return View([w / total for w in kept], spans, tuple(test for test in tests if _tells(test)))


def element_bits(seen: View) -> list[float]:
    """Expected information of each test about which element it is, bits.

    That is what it tells of the faults, less what it tells of faults within one element (the chain rule).
    """
    return [
        bits - sum(_within(seen.weights, test, span) for span in test.mixed)
        for bits, test in zip(fault_bits(seen), seen.tests, strict=True)
    ]


def fault_bits(seen: View) -> list[float]:
    """Expected information of each test about which hypothesis it is, bits."""
    return [_told(seen.weights, test.outcomes, test.errs) for test in seen.tests]


def entropy(parts: Iterable[float]) -> float:
    """Bits of uncertainty in parts of a whole, weighed by the whole (which is 1 where the parts sum to 1)."""
    whole = bits = 0.0
    for part in parts:
        if part > 0:
            whole += part
            bits -= part * log2(part)
    return bits + whole * log2(whole) if whole else 0.0


def _told(weights: Row, outcomes: Iterable[Row], errs: Row) -> float:
    return entropy([_sum(weights, row) for row in outcomes]) - _sum(weights, errs)


def _sum(weights: Row, row: Row) -> float:
    return float(sum(map(mul, weights, row)))


def _within(weights: Row, test: Sight, span: Span) -> float:
    a, b = span
    return _told(weights[a:b], [row[a:b] for row in test.outcomes], test.errs[a:b])


def _sight(number: int, outcomes: tuple[Row, ...], spans: Iterable[Span]) -> Sight:
    errs = [entropy(column) for column in zip(*outcomes, strict=True)]
    mixed = tuple((a, b) for a, b in spans if b - a > 1 and any(len(set(row[a:b])) > 1 for row in outcomes))
    return Sight(number, outcomes, errs, mixed)


def _kept(test: Sight, keep: Sequence[bool], moved: dict[Span, Span]) -> Sight:
    """The test over the hypotheses kept; a span that has moved is mixed only if two of its hypotheses are left."""
    outcomes = tuple(list(compress(row, keep)) for row in test.outcomes)
    mixed = (moved[span] for span in test.mixed if span in moved)
    return Sight(test.number, outcomes, list(compress(test.errs, keep)), tuple((a, b) for a, b in mixed if b - a > 1))


def _tells(test: Sight) -> bool:
    """Whether an outcome still depends on the hypothesis (of the last one, the others decide)."""
    return any(max(row) - min(row) > TELLS_BITS for row in test.outcomes[:-1])


def _spans(owners: Iterable[int]) -> tuple[Span, ...]:
    spans, at = [], 0
    for _, members in groupby(owners):
        size = sum(1 for _ in members)
        spans.append((at, at + size))
        at += size
    return tuple(spans)
