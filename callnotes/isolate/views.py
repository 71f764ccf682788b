"""A case cut down to what still matters, so that many tests are weighed quickly."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import compress, groupby, repeat
from math import log2
from operator import mul

from callnotes.isolate.cases import Case

# In looking ahead, hypotheses less likely than this are left out.
UNLIKELY = 0.002
TELLS_BITS = 1e-6  # less is a rounding error

Row = Sequence[float]


@dataclass(frozen=True, slots=True)
class View:
    """Hypotheses that are alive and differ, those of an element side by side, and the tests that tell them apart.

    ``weights`` sum to 1; ``spans`` are the half-open ranges of the elements in it. ``rows[i]`` holds, for the test of
    number ``tests[i]`` in the case, the likelihoods of each outcome over ``weights``.
    """

    weights: Row
    spans: tuple[tuple[int, int], ...]
    tests: tuple[int, ...]
    rows: tuple[tuple[Row, ...], ...]

    @property
    def work(self) -> int:
        """How many products it takes to weigh all tests."""
        return len(self.weights) * sum(map(len, self.rows)) + 1

    def elements(self) -> list[float]:
        """Probability of each element."""
        return [sum(self.weights[a:b]) for a, b in self.spans]


def view(case: Case, belief: Sequence[float]) -> View:
    """The whole case as seen under a belief; hypotheses that no test tells apart count as one."""
    alive = [h for h, p in enumerate(belief) if p > 0]
    columns = list(zip(*(outcome.likelihood for test in case.tests for outcome in test.outcomes), strict=True))
    number = {hypothesis.element: n for n, hypothesis in enumerate(case.hypotheses)}
    merged: dict[tuple[int, tuple[float, ...]], float] = {}
    for h in alive:
        kind = (number[case.hypotheses[h].element], columns[h] if columns else ())
        merged[kind] = merged.get(kind, 0.0) + belief[h]
    kinds = sorted(merged, key=lambda kind: kind[0])
    flat = iter(list(zip(*(kind[1] for kind in kinds), strict=True)))
    rows = [tuple(next(flat) for _ in test.outcomes) for test in case.tests]
    return _fitted([merged[k] for k in kinds], [k[0] for k in kinds], range(len(rows)), rows)


def narrowed(seen: View, row: Row, probability: float) -> View:
    """The view after an outcome of that row and probability; what has become unlikely is left out."""
    weights = [w / probability for w in map(mul, seen.weights, row)]
    keep = [w >= UNLIKELY for w in weights]
    if all(keep):
        return View(weights, seen.spans, seen.tests, seen.rows)
    owners = [n for n, (a, b) in enumerate(seen.spans) for _ in repeat(None, b - a)]
    kept = list(compress(weights, keep))
    total = sum(kept)
    rows = [tuple(tuple(compress(r, keep)) for r in test) for test in seen.rows]
    return _fitted([w / total for w in kept], list(compress(owners, keep)), seen.tests, rows)


def element_bits(seen: View) -> list[float]:
    """Expected information of each test about which element it is, bits."""
    return _bits(seen, seen.spans)


def fault_bits(seen: View) -> list[float]:
    """Expected information of each test about which hypothesis it is, bits."""
    return _bits(seen, tuple((n, n + 1) for n in range(len(seen.weights))))


def entropy(parts: Iterable[float]) -> float:
    """Bits of uncertainty in parts of a whole, weighted by the whole (which is 1 where the parts sum to 1)."""
    over = [part for part in parts if part > 0]
    whole = sum(over)
    return whole * log2(whole) - sum(part * log2(part) for part in over) if over else 0.0


def _bits(seen: View, spans: tuple[tuple[int, int], ...]) -> list[float]:
    now = entropy(sum(seen.weights[a:b]) for a, b in spans)
    return [now - sum(_left(seen.weights, row, spans) for row in test) for test in seen.rows]


def _left(weights: Row, row: Row, spans: tuple[tuple[int, int], ...]) -> float:
    joint = list(map(mul, weights, row))
    return entropy([joint[a] if b - a == 1 else sum(joint[a:b]) for a, b in spans])


def _fitted(weights: Row, owners: Sequence[int], tests: Sequence[int], rows: Sequence[tuple[Row, ...]]) -> View:
    """A view of only the tests whose outcomes still depend on the hypothesis; ``owners`` is in order."""
    spans, at = [], 0
    for _, members in groupby(owners):
        size = len(list(members))
        spans.append((at, at + size))
        at += size
    telling = [n for n, test in enumerate(rows) if any(max(row) - min(row) > TELLS_BITS for row in test)]
    return View(weights, tuple(spans), tuple(tests[n] for n in telling), tuple(rows[n] for n in telling))
