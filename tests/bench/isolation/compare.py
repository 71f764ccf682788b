"""Compares ways to find a fault on random lines: ours, the exact optimum where it can be had, and walking the line.

    python -m tests.bench.isolation.compare [LINES]

Prints two tables. Small lines without error: expected minutes over every fault, against the exact optimum. Lines by
length, with tests that err: means over drawn faults, with the same lines, faults and errors for all; of the walks that
test every point, the quickest (its floor beside it). "Sure" is the mean probability of the element named: the accuracy
to be expected, with less chance in it than in the share that was right. Last, how long one choice takes among 40 tests
and 80 hypotheses.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Iterable, Sequence
from dataclasses import replace
from operator import mul
from statistics import fmean

from callnotes.isolate import Case, FieldTest, Outcome, Standing, after, next_test, start

from .lines import Line, draw_fault, draw_line, make_case
from .optimum import least_minutes
from .policies import Played, Policy, Walk, ours, play, price, quick

LENGTHS = ((3, 7), (8, 10), (11, 14))
FLOORS = (0.1, 0.3, 0.5)
SURER = 0.965  # where ours ends as sure as the walk does, which overshoots 0.95 by more


def surer(case: Case, standing: Standing, taken: Sequence[FieldTest]) -> FieldTest | None:
    """As the program advises when asked for more certainty."""
    return ours(replace(case, isolated_at=SURER), standing, taken)


POLICIES: dict[str, Policy] = {
    "ours": ours,
    "ours, surer": surer,
    "quick rule": quick,
    **{f"walk {floor}": Walk(floor) for floor in FLOORS},
    "clever walk": Walk(0.5, clever=True),
}


def main() -> None:
    lines = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    print(f"{lines} lines of 3 to 8 elements, tests without error: expected minutes")
    print(f"{'':<12}{'minutes':>9}{'of optimum':>12}")
    for name, minutes, ratio in small_lines(lines):
        print(f"{name:<12}{minutes:>9.2f}{ratio:>12.1%}")
    for low, high in LENGTHS:
        print(f"\n{lines} lines of {low} to {high} elements in series, branches beside, tests that err")
        print(f"{'':<12}{'tests':>9}{'minutes':>9}{'of walk':>9}{'sure':>8}{'right':>8}")
        for name, played, of_walk in noisy_lines(lines, low, high):
            tests, minutes, sure, right = means(played)
            print(f"{name:<12}{tests:>9.2f}{minutes:>9.2f}{of_walk:>9.1%}{sure:>8.1%}{right:>8.1%}")
    print(f"\none choice among 40 tests and 80 hypotheses: {1000 * one_choice():.0f} ms")


def means(played: list[Played]) -> tuple[float, float, float, float]:
    """Mean tests, minutes, certainty, share right."""
    return (
        fmean(p.tests for p in played),
        fmean(p.minutes for p in played),
        fmean(p.sure for p in played),
        fmean(p.right for p in played),
    )


def small_lines(lines: int, seed: int = 1) -> Iterable[tuple[str, float, float]]:
    """Name, mean expected minutes, ratio to the optimum."""
    policies: dict[str, Policy] = {"ours": ours, "quick rule": quick, "walk": Walk(0.0)}
    sums = dict.fromkeys(["optimum", *policies], 0.0)
    for n in range(lines):
        rng = random.Random(f"{seed} small {n}")
        case, weights = make_case(draw_small(rng), noisy=False)
        standing = start(case, weights, place="p0")
        sums["optimum"] += least_minutes(case, standing)
        for name, policy in policies.items():
            sums[name] += expected_minutes(case, standing, policy)
    return [(name, total / lines, total / sums["optimum"]) for name, total in sums.items()]


def draw_small(rng: random.Random) -> Line:
    """A line of at most 8 elements behind the provider, branches included."""
    while len((line := draw_line(rng, rng.randint(3, 8))).elements) > 9:
        pass
    return line


def expected_minutes(case: Case, standing: Standing, policy: Policy, taken: tuple[FieldTest, ...] = ()) -> float:
    """Over every outcome that each test can have, weighed by its probability; for tests without error, as they end."""
    test = policy(case, standing, taken)
    if test is None:
        return 0.0
    minutes = price(case, test, standing)
    for outcome in test.outcomes:
        p = sum(map(mul, standing.belief, outcome.likelihood))
        if p > 0:
            then = after(case, standing, test, outcome.name)
            minutes += p * expected_minutes(case, then, policy, (*taken, test))
    return minutes


def noisy_lines(
    lines: int, low: int, high: int, policies: dict[str, Policy] = POLICIES, seed: int = 1
) -> list[tuple[str, list[Played], float]]:
    """Name, searches, mean minutes as a share of the walk's; of the walks only the one that took least."""
    played: dict[str, list[Played]] = {name: [] for name in policies}
    for n in range(lines):
        rng = random.Random(f"{seed} {low} {high} {n}")
        case, weights = make_case(draw_line(rng, rng.randint(low, high)), noisy=True)
        truth = draw_fault(rng, weights)
        for name, policy in policies.items():
            played[name].append(play(case, start(case, weights, place="p0"), truth, policy, n))
    minutes = {name: fmean(p.minutes for p in searches) for name, searches in played.items()}
    walks = [name for name, policy in policies.items() if isinstance(policy, Walk) and not policy.clever]
    walk = min(walks, key=lambda name: minutes[name])
    shown = [name for name in policies if name == walk or name not in walks]
    return [(name, played[name], minutes[name] / minutes[walk]) for name in shown]


def one_choice(seed: int = 1) -> float:
    """Seconds for one choice, the quickest of five, on a line cut to 40 tests and 80 hypotheses."""
    case, standing = large_case(seed)
    return min(_seconds(case, standing) for _ in range(5))


def large_case(seed: int) -> tuple[Case, Standing]:
    """A line cut to 40 tests and 80 hypotheses, nothing known yet."""
    rng = random.Random(seed)
    case, weights = make_case(draw_line(rng, 45), noisy=True)
    kept = sorted(rng.sample(range(len(weights)), 80))
    tests = tuple(
        replace(test, outcomes=tuple(Outcome(o.name, tuple(o.likelihood[h] for h in kept)) for o in test.outcomes))
        for test in rng.sample(case.tests, 40)
    )
    cut = replace(case, hypotheses=tuple(case.hypotheses[h] for h in kept), tests=tests)
    return cut, start(cut, [weights[h] for h in kept], place="p0")


def _seconds(case: Case, standing: Standing) -> float:
    begun = time.perf_counter()
    next_test(case, standing)
    return time.perf_counter() - begun


if __name__ == "__main__":
    main()
