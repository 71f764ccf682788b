"""Fits the figures of ``callnotes/data/weighing.toml`` and the priors of the faults, and prints them.

    python tests/training/weigh_faults.py [--simulated 2000] [--steps 400]

From annotated calls of the training talk and simulated calls: each call's hypotheses, none and other get their odds as
a sum of evidence times its figure; the figures are those under which the true fault is likeliest (gradient ascent, each
held near what it was). First with every second annotated call, scored on the others and on simulated calls of another
seed; then with all of them. What is printed then is written into the tables by hand.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from callnotes.diagnose.course import Course
from callnotes.diagnose.hypotheses import hypotheses_of
from callnotes.diagnose.path import ordered
from callnotes.diagnose.posterior import unsettled
from callnotes.judge import judge
from callnotes.records import Timeline
from callnotes.trade import Trade, load_trade
from tests import annotated
from tests.bench.score import allowed
from tests.bench.simulated_calls import draw_many

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[1] / "bench")]
import score_talk  # noqa: E402
from plain_calls import calls_of  # noqa: E402

TALK = Path(__file__).parent / "talk"
SORTS = (
    "explains", "contradicts", "cured", "each_cured", "mended", "still_bad", "handed_over", "provider_bad",
    "premises_then", "none", "other", "other_each", "elsewhere", "unsigned",
)  # fmt: skip
# How strongly a figure is held near what it was: a danger that is rare must not be learned away, and priors are held
# more than the rest, since writers invent rare faults as gladly as common ones.
NEAR = {"foreign_voltage ": 1.0, " at ": 0.008, " sign ": 0.006, "mend ": 0.003}
NEAR_OTHERS, LEAST = 0.003, 0.05


@dataclass(frozen=True)
class Drawn:
    """One call: a row of evidence a hypothesis, none and other last; which rows are right."""

    rows: np.ndarray
    right: np.ndarray


def columns(trade: Trade) -> dict[str, float]:
    """The figures to be fitted, as they are now, all in natural-log odds."""
    now = {name: getattr(trade.weighing, name) for name in SORTS}
    for fault in trade.faults:
        now |= {f"{fault.id} at {kind}": float(np.log(prior)) for kind, prior in fault.prior.items()}
        now |= {f"{fault.id} sign {n}": sign.weight * trade.weighing.sign for n, sign in enumerate(fault.signs)}
    for n, mend in enumerate(trade.mends):
        now |= {f"mend {n} {fault.id}": mend.tells.get(fault.id, trade.weighing.unusual) for fault in trade.faults}
    return now


def drawn(timeline: Timeline, trade: Trade, is_right: Any, truly: str) -> Drawn | None:
    """The evidence of a call; ``truly`` is "none", "other", or anything else."""
    timeline = ordered(judge(timeline, trade), trade)
    course = Course(timeline, trade)
    if not course.bad:
        return None
    now = columns(trade)
    names = list(now)
    held = hypotheses_of(course)
    rows = np.zeros((len(held) + 2, len(names)))
    right = np.zeros(len(held) + 2, dtype=bool)
    for n, hypothesis in enumerate(held):
        point = timeline.point(hypothesis.element)
        for sort, amount in hypothesis.parts.items():
            if sort != "sign":
                rows[n, names.index(sort)] = amount
        for (table, row), weight in hypothesis.rows.items():
            if table.startswith("mend "):
                rows[n, names.index(f"{table} {row}")] += weight
            else:
                name = f"{table} sign {row}"
                rows[n, names.index(name)] += weight * trade.weighing.sign / now[name]
        home = f"{hypothesis.fault} at {point.kind if point else None}"
        rows[n, names.index(home if home in now else "elsewhere")] = 1
        right[n] = is_right(hypothesis.fault, point.kind if point else None)
    rows[-2, names.index("none")] = 1
    rows[-1, [names.index("other"), names.index("other_each")]] = 1, unsettled(course)
    right[-2], right[-1] = truly == "none", truly == "other" or (truly != "none" and not right[:-2].any())
    return Drawn(rows, right)


def written(trade: Trade) -> list[Drawn]:
    """The annotated calls of the training talk that have a diagnosis."""
    made = []
    items = [i for f in sorted(TALK.glob("*.txt")) for i in calls_of(f.read_text("utf-8")) if i.get("diagnosis")]
    items = [item for item in items if item["diagnosis"].get("status")]
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / "calls.jsonl"
        source.write_text("\n".join(json.dumps(item) for item in items), encoding="utf-8")
        score_talk.unpack(source, Path(folder))
        annotated.CALLS = Path(folder)
        for item in items:
            told = item["diagnosis"]

            def is_right(fault: str, kind: str | None, told: Any = told) -> bool:
                return fault in allowed(told, "fault") and kind in allowed(
                    told.get("element") or {"kind": None}, "kind"
                )

            try:
                timeline = annotated.timeline_of(item["id"], trade)
            except ValueError:  # a point that this format cannot hold
                continue
            one = drawn(timeline, trade, _rightly(told), "none" if told.get("fault") == "none" else "")
            made.append(one)
    return [one for one in made if one is not None]


def practice(trade: Trade) -> list[Drawn]:
    """The practice calls."""
    return [
        one
        for name in annotated.names()
        if (one := drawn(annotated.timeline_of(name, trade), trade, _rightly(annotated.gold(name)["diagnosis"]), ""))
    ]


def _rightly(told: Any) -> Any:
    def is_right(fault: str, kind: str | None) -> bool:
        return fault in allowed(told, "fault") and kind in allowed(told.get("element") or {"kind": None}, "kind")

    return is_right


def simulated(trade: Trade, count: int, seed: int) -> list[Drawn]:
    made = []
    for call in draw_many(count, seed):
        standing = call.truth.standing

        def is_right(fault: str, kind: str | None, standing: Any = standing) -> bool:
            return standing is not None and fault in standing.fair and kind in standing.fair_kinds

        truly = "none" if standing is None else "" if standing.known_to_contract else "other"
        made.append(drawn(call.timeline, trade, is_right, truly))
    return [one for one in made if one is not None]


def shares(one: Drawn, figures: np.ndarray) -> np.ndarray:
    odds = one.rows @ figures
    odds = np.exp(odds - odds.max())
    return odds / odds.sum()


def fitted(calls: list[tuple[float, Drawn]], figures: np.ndarray, steps: int) -> np.ndarray:
    """The figures under which what is right is likeliest, by Adam over all calls."""
    begun = figures.copy()
    signed = np.array([" at " not in name and not name.startswith("mend ") for name in columns(load_trade())])
    near = np.array(
        [next((n for part, n in NEAR.items() if part in name), NEAR_OTHERS) for name in columns(load_trade())]
    )
    first, second = np.zeros_like(figures), np.zeros_like(figures)
    total = sum(weight for weight, _ in calls)
    for step in range(1, steps + 1):
        slope = -near * (figures - begun)
        for weight, one in calls:
            p = shares(one, figures)
            meant = p * one.right
            slope += weight / total * ((meant / max(meant.sum(), 1e-9) - p) @ one.rows)
        first = 0.9 * first + 0.1 * slope
        second = 0.99 * second + 0.01 * slope**2
        figures = figures + 0.03 * (first / (1 - 0.9**step)) / (np.sqrt(second / (1 - 0.99**step)) + 1e-8)
        # What speaks for a fault may come to count little, never against it.
        kept = np.where(begun > 0, np.maximum(figures, LEAST), np.minimum(figures, -LEAST))
        figures = np.where(signed, kept, figures)
    return figures


def scored(calls: list[Drawn], figures: np.ndarray) -> str:
    top = np.mean([one.right[shares(one, figures).argmax()] for one in calls])
    loss = -np.mean([np.log(max((shares(one, figures) * one.right).sum(), 1e-6)) for one in calls])
    pairs = [(p, r) for one in calls for p, r in zip(shares(one, figures), one.right, strict=True)]
    error = sum(
        abs(sum(p for p, _ in b) - sum(r for _, r in b))
        for at in range(10)
        if (b := [(p, r) for p, r in pairs if at <= min(9, int(p * 10)) < at + 1])
    )
    return f"{len(calls)} calls: likeliest right {top:.3f}, loss {loss:.3f}, calibration error {error / len(pairs):.3f}"


def _shared(calls: list[Drawn], made: list[Drawn], share: float) -> list[tuple[float, Drawn]]:
    return [(1.0, one) for one in calls] + [(share, one) for one in made]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--simulated", type=int, default=2000)
    parser.add_argument("--share", type=float, default=0.15, help="what a simulated call counts against a written one")
    parser.add_argument("--steps", type=int, default=400)
    options = parser.parse_args()
    trade = load_trade()
    known = practice(trade)
    calls, made = written(trade), simulated(trade, options.simulated, 1)
    other = simulated(trade, 1000, 2)
    figures = np.array(list(columns(trade).values()))
    scored_on = {"built with": calls[::2], "the others": calls[1::2], "simulated, other seed": other}
    half = fitted(_shared(calls[::2], made, options.share), figures, options.steps)
    for name, now in (("before", figures), ("after", half)):
        for sort, some in scored_on.items():
            print(name, sort, scored(some, now))
    figures = fitted(_shared(calls + known, made, options.share), figures, options.steps)
    for name, figure in zip(columns(trade), figures, strict=True):
        told = np.exp(figure) if " at " in name else figure / trade.weighing.sign if " sign " in name else figure
        print(f"{name} = {told:.2f}")


if __name__ == "__main__":
    main()
