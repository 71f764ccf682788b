"""How near the advised next test lies to what is really wrong, on simulated calls that ended open.

    python -m tests.bench.isolation.advised [CALLS] [--seed N]

Open is a call whose diagnosis says found, or not found with something standing bad, while its true fault stands, is not
the provider's and was named at some point. Counted is where the advised point lies: at the true element, next to it (no
other named point between them on one way), on the way to it (between it and the provider), or elsewhere. Beside it
stands what a point drawn blindly from the customer's side of the same calls would score. ``--points``: only calls that
name as many points or more, since on a short line every point is near.
"""

from __future__ import annotations

import argparse
import time
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping

from callnotes.diagnose import diagnose
from callnotes.diagnose.path import in_series, same_place
from callnotes.judge import judge
from callnotes.records import Point, Timeline
from callnotes.trade import Trade, load_trade
from tests.bench.simulated_calls import SimulatedCall, draw_many

NEAR = ("at it", "next to it", "on the way to it")


def main() -> None:
    parser = argparse.ArgumentParser(prog="advised", description=__doc__)
    parser.add_argument("calls", type=int, nargs="?", default=2000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--points", type=int, default=0)
    options = parser.parse_args()
    begun = time.perf_counter()
    advised, blind = counted(options.calls, options.seed, load_trade(), options.points)
    print(f"{options.calls} calls, {sum(advised.values())} of them open; {time.perf_counter() - begun:.0f} s")
    print(f"{'':<18}{'advised':>8}{'blindly':>9}")
    for name in (*NEAR, "elsewhere", "no test"):
        print(f"{name:<18}{advised[name]:>8}{blind[name]:>9.1f}")
    given = sum(advised.values()) - advised["no test"]
    print(f"near, of those given{share(advised, given):>8.1%}, of all open {share(advised, sum(advised.values())):.1%}")


def share(found: Mapping[str, float], whole: float) -> float:
    """Of the whole, how much lies near; 0 where there is nothing."""
    return sum(found[name] for name in NEAR) / whole if whole else 0.0


def counted(calls: int, seed: int, trade: Trade, least: int = 0) -> tuple[Counter[str], dict[str, float]]:
    """Where the advised points lie, one a call, and where all points of the same calls lie, each call counting one."""
    advised: Counter[str] = Counter()
    blind: dict[str, float] = defaultdict(float)
    for made, truth in open_calls(calls, seed, trade):
        if len(made.points) < least:
            continue
        test = made.diagnosis.next_test if made.diagnosis else None
        point = made.point(test.point) if test else None
        advised[where(made, point, truth) if point else "no test"] += 1
        ours = [p for p in made.points if p.side != "provider"] if point else []
        for other in ours:
            blind[where(made, other, truth)] += 1 / len(ours)
    return advised, blind


def open_calls(calls: int, seed: int, trade: Trade) -> Iterator[tuple[Timeline, Point]]:
    """The diagnosed calls that are open, each with the point of its true fault."""
    for call in draw_many(calls, seed):
        made = diagnose(judge(call.timeline, trade), trade)
        truth = made.point(true_point(call))
        standing = made.diagnosis and (made.diagnosis.status == "found" or "do not tell" in made.diagnosis.why[0])
        if truth is not None and standing and made.diagnosis.status in ("found", "not_found"):
            yield made, truth


def true_point(call: SimulatedCall) -> str | None:
    """The point of the fault that stands; None where there is none, or it is mended or the provider's."""
    fault = call.truth.standing
    return None if fault is None or fault.mended or fault.side == "provider" else fault.point


def where(made: Timeline, point: Point, truth: Point) -> str:
    """Where a point lies as seen from the true one."""
    if same_place(point, truth, sides=False):
        return "at it"
    on_way = in_series(point, truth)
    if not on_way and not in_series(truth, point):
        return "elsewhere"
    first, last = (point, truth) if on_way else (truth, point)
    between = (p for p in made.points if in_series(first, p) and in_series(p, last))
    if all(same_place(p, first, sides=False) or same_place(p, last, sides=False) for p in between):
        return "next to it"
    return "on the way to it" if on_way else "elsewhere"


if __name__ == "__main__":
    main()
