"""Smaller versions of the benchmark's figures: near the exact optimum, far below a walk from the provider's end.

The lines, costs and error rates are the benchmark's own (common practice, no published source); the optimum is
reckoned by dynamic programming, independently of the core. The whole benchmark: ``tests/bench/isolation/compare.py``.
"""

from __future__ import annotations

import time

from callnotes.isolate import next_test
from tests.bench.isolation.compare import large_case, means, noisy_lines, small_lines
from tests.bench.isolation.policies import Walk, ours


def test_small_lines_are_near_the_exact_optimum() -> None:
    ratio = {name: ratio for name, _, ratio in small_lines(5)}
    assert 1.0 - 1e-9 <= ratio["ours"] <= 1.10
    assert ratio["walk"] > 1.3


def test_long_lines_cost_at_most_six_tenths_of_the_walk() -> None:
    found = noisy_lines(6, 8, 12, {"ours": ours, "walk": Walk(0.5)})
    (_, searches, of_walk), _ = found
    assert of_walk <= 0.60
    assert means(searches)[2] >= 0.95


def test_one_choice_is_quick() -> None:
    case, standing = large_case(1)
    assert (len(case.tests), len(case.hypotheses)) == (40, 80)
    next_test(case, standing)
    begun = time.process_time()
    next_test(case, standing)
    # Under 50 ms where it was measured; four times that on a slow or busy machine.
    assert time.process_time() - begun < 0.2
