"""Compares ways to find a fault on random lines: ours, the exact optimum where it can be had, and walking the line.

    python -m tests.bench.isolation.compare [LINES]

Prints two tables. Small lines without error: expected minutes over every fault, against the exact optimum. Lines by
length, with tests that err: mean tests, minutes and accuracy over drawn faults, the same lines, faults and errors for
all; of the walks that test every point, the quickest. "Sure" is the mean probability of the element named: what the
accuracy is expected to be, with less chance in it than the share that was right. Then the time that one choice takes among 40 tests and 80 hypotheses.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Iterable, Sequence
from dataclasses import replace
from statistics import fmean

from callnotes.isolate import Case, FieldTest, Outcome, Standing, next_test, start

from .lines import draw_fault, draw_line, make_case
from .optimum import least_minutes
from .policies import Played, Policy, Walk, ours, play, quick

LENGTHS = ((3, 7), (8, 10), (11, 14))
FLOORS = (0.1, 0.3, 0.5, 0.8)
SURER = 0.965  # where ours ends as sure as the walk does, which overshoots 0.95 by more


def main() -> None:
    lines = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    print(f"{lines} lines of 3 to 8 elements, tests without error: expected minutes")
    print(f"{'':<12}{'minutes':>9}{'of optimum':>12}")
    for name, minutes, ratio in small_lines(lines):
        print(f"{name:<12}{minutes:>9.2f}{ratio:>12.1%}")
    for low, high in LENGTHS:
        print(f"\n{lines} lines of {low} to {high} elements in series, branches beside, tests that err")
        print(f"{'':<12}{'tests':>9}{'minutes':>9}{'of walk':>9}{'sure':>8}{'right':>8}")
        for name, played, of_walk in noisy_lines(lines, low, high):
            figures = f"{fmean(p.tests for p in played):>9.2f}{fmean(p.minutes for p in played):>9.2f}"
            print(
                f"{name:<12}{figures}{of_walk:>9.1%}{fmean(p.sure for p in played):>8.1%}{fmean(p.right for p in played):>8.1%}"
            )
    print(f"\none choice among 40 tests and 80 hypotheses: {1000 * one_choice():.0f} ms")


def small_lines(lines: int, seed: int = 1) -> Iterable[tuple[str, float, float]]:
    """Name, mean expected minutes, ratio to the optimum."""
    policies: dict[str, Policy] = {"ours": ours, "quick rule": quick, "walk": Walk(0.0)}
    sums = dict.fromkeys(["optimum", *policies], 0.0)
    for n in range(lines):
        rng = random.Random(f"{seed} small {n}")
        case, weights = make_case(draw_line(rng, rng.randint(3, 8), branched=False), noisy=False)
        standing = start(case, weights, place="p0")
        sums["optimum"] += least_minutes(case, standing)
        for name, policy in policies.items():
            sums[name] += expected_minutes(case, standing, policy)
    return [(name, total / lines, total / sums["optimum"]) for name, total in sums.items()]


def surer(case: Case, standing: Standing, taken: Sequence[FieldTest]) -> FieldTest | None:
    """As the program advises when asked for more certainty."""
    return ours(replace(case, isolated_at=SURER), standing, taken)


def expected_minutes(case: Case, standing: Standing, policy: Policy) -> float:
    """Over every fault, weighed by its probability: without error each is played out in one way."""
    return sum(p * play(case, standing, h, policy, 0).minutes for h, p in enumerate(standing.belief) if p > 0)


def noisy_lines(
    lines: int, low: int, high: int, seed: int = 1, floors: Iterable[float] = FLOORS
) -> list[tuple[str, list[Played], float]]:
    """Name, searches, mean minutes as a share of the walk's; of the walks only the one that took least."""
    policies: dict[str, Policy] = {"ours": ours, "ours, surer": surer, "quick rule": quick}
    policies |= {f"walk {floor}": Walk(floor) for floor in floors} | {"walk skips": Walk(0.5, skips=True)}
    played: dict[str, list[Played]] = {name: [] for name in policies}
    for n in range(lines):
        rng = random.Random(f"{seed} {low} {high} {n}")
        case, weights = make_case(draw_line(rng, rng.randint(low, high)), noisy=True)
        truth = draw_fault(rng, weights)
        for name, policy in policies.items():
            played[name].append(play(case, start(case, weights, place="p0"), truth, policy, n))
    minutes = {name: fmean(p.minutes for p in searches) for name, searches in played.items()}
    walk = min((name for name in policies if name.startswith("walk 0")), key=lambda name: minutes[name])
    return [
        (name, played[name], minutes[name] / minutes[walk])
        for name in ("ours", "ours, surer", "quick rule", walk, "walk skips")
    ]


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
