"""How well the diagnosis does on simulated calls, and whether its probabilities mean what they say.

    python -m tests.bench.reliability [CALLS] [SEED]

The calls are drawn by ``tests/bench/simulated_calls``, which was written without sight of the tables that judge them.
The curve holds every hypothesis of every call in steps of a tenth: how likely it was said to be, how many were true:
the fault under any of the names, at any of the kinds of place, that a careful listener may use for it.
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import dataclass, field

from callnotes.diagnose import diagnose
from callnotes.judge import judge
from callnotes.records import Timeline
from callnotes.trade import Trade, load_trade
from tests.bench.simulated_calls import SimulatedCall, draw_many

STEPS = 10


@dataclass
class Reliability:
    """``said`` and ``true`` add up probabilities and truths by step; ``right`` counts conclusions by sort."""

    count: list[int] = field(default_factory=lambda: [0] * STEPS)
    said: list[float] = field(default_factory=lambda: [0.0] * STEPS)
    true: list[int] = field(default_factory=lambda: [0] * STEPS)
    right: Counter[str] = field(default_factory=Counter)

    @property
    def error(self) -> float:
        """The expected calibration error: the mean distance between said and true over all hypotheses."""
        return sum(abs(a - b) for a, b in zip(self.said, self.true, strict=True)) / max(sum(self.count), 1)


def reliability(calls: int, seed: int, trade: Trade) -> Reliability:
    """Draws, diagnoses and counts."""
    made = Reliability()
    for call in draw_many(calls, seed):
        _count(made, call, diagnose(judge(call.timeline, trade), trade))
    return made


def _count(made: Reliability, call: SimulatedCall, timeline: Timeline) -> None:
    truth, found = call.truth, timeline.diagnosis
    assert found is not None
    made.right["calls"] += 1
    made.right["status"] += found.status == truth.status
    made.right["side"] += found.side == truth.side
    made.right["fault and element"] += is_true(call, timeline, found.fault, found.element)
    if truth.tested and not truth.slips and truth.standing:
        made.right["well read calls"] += 1
        made.right["fault and element, well read"] += is_true(call, timeline, found.fault, found.element)
    for ranked in found.ranked:
        if ranked.fault != "other":
            step = min(STEPS - 1, int(ranked.p * STEPS))
            made.count[step] += 1
            made.said[step] += ranked.p
            made.true[step] += is_true(call, timeline, ranked.fault, ranked.element)


def is_true(call: SimulatedCall, timeline: Timeline, fault: str, element: str | None) -> bool:
    """Whether that is what is wrong, under any name and at any kind of place that a careful listener may use."""
    standing, point = call.truth.standing, timeline.point(element)
    if standing is None or fault == "none":
        return standing is None and fault == "none"
    return fault in standing.fair and (point.kind if point else None) in standing.fair_kinds


def main() -> None:
    calls, seed = (int(x) for x in (*sys.argv[1:], *("2000", "31")[len(sys.argv) - 1 :]))
    made = reliability(calls, seed, load_trade())
    all_calls, well = made.right["calls"], made.right["well read calls"]
    for name in ("status", "side", "fault and element"):
        print(f"{name}: {made.right[name] / all_calls:.3f} of {all_calls}")
    print(f"fault and element, well read: {made.right['fault and element, well read'] / well:.3f} of {well}")
    print("said   true   hypotheses")
    for count, said, true in zip(made.count, made.said, made.true, strict=True):
        if count:
            print(f"{said / count:.2f}   {true / count:.2f}   {count}")
    print(f"expected calibration error: {made.error:.3f}")


if __name__ == "__main__":
    main()
