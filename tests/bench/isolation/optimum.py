"""The least expected cost of a search whose tests do not err: exact, by dynamic programming.

A state is what is still possible, where the technician stands and which gates are told; without error nothing else of
the past matters. Every test is tried in every state that can come up, so no policy can do better.
"""

from __future__ import annotations

from functools import cache

from callnotes.isolate import Case, Standing

from .policies import price


def least_minutes(case: Case, standing: Standing) -> float:
    """Expected minutes of the best search from ``standing``; it stops where ours does: isolated, or nothing tells."""
    parts = [
        (test, [sum(1 << h for h, q in enumerate(o.likelihood) if q > 0) for o in test.outcomes]) for test in case.tests
    ]

    @cache
    def weight(mask: int) -> float:
        return sum(p for h, p in enumerate(standing.belief) if mask >> h & 1)

    @cache
    def isolated(mask: int) -> bool:
        sums: dict[str | None, float] = {}
        for h, hypothesis in enumerate(case.hypotheses):
            if mask >> h & 1:
                sums[hypothesis.element] = sums.get(hypothesis.element, 0.0) + standing.belief[h]
        return max(sums.values()) >= case.isolated_at * sum(sums.values())

    @cache
    def best(mask: int, place: str | None, told: frozenset[str]) -> float:
        if isolated(mask):
            return 0.0
        whole, least = weight(mask), float("inf")
        for test, masks in parts:
            left = [mask & part for part in masks if mask & part]
            if len(left) > 1:
                minutes = price(case, test, Standing(standing.belief, place, told))
                then = told | {gate.name for gate in test.needs}
                least = min(least, minutes + sum(weight(m) / whole * best(m, test.place, then) for m in left))
        return least if least < float("inf") else 0.0

    possible = sum(1 << h for h, p in enumerate(standing.belief) if p > 0)
    return best(possible, standing.place, standing.told)
