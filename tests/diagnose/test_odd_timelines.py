"""Timelines that nobody meant to make: empty ones, events without points, nonsense in any order. Nothing may break."""

from __future__ import annotations

import random

import pytest

from callnotes.diagnose import diagnose
from callnotes.judge import judge
from callnotes.records import Condition, Event, Made, Point, Timeline
from callnotes.trade import load_trade
from tests import annotated

TRADE = load_trade()
SIDES = (None, "provider", "customer", "left", "right", "in", "out")


def nonsense(seed: int) -> Timeline:
    """Forty random events at ten random points."""
    pick = random.Random(seed)
    kinds = [p.kind for p in TRADE.points]
    points = tuple(
        Point(id=f"P{n}", kind=pick.choice(kinds), side=pick.choice(SIDES), pair=pick.choice((None, 1, 2)))
        for n in range(10)
    )
    return Timeline(made=Made(version="test"), points=points, events=tuple(_event(n, pick) for n in range(40)))


def _event(n: int, pick: random.Random) -> Event:
    base = {"id": f"E{n}", "start": float(n), "end": n + 1.0, "text": "x", "confidence": 0.5}
    point = pick.choice([None, *(f"P{k}" for k in range(10))])
    if pick.random() < 0.4:
        action = pick.choice(TRADE.actions).action
        thing = pick.choice([None, "strap", "plug", "jumper", "on test", "off test", "both phones"])
        return Event(kind="action", action=action, object=thing, point=point, **base)
    quantity = pick.choice(TRADE.quantities)
    what = {"state": pick.choice(quantity.states).state} if quantity.states else {}
    if quantity.units:
        what = {"value": pick.uniform(-60, 200), "unit": pick.choice(quantity.units)}
    conditions = (Condition(what=pick.choice(["plug", "clips", "leads", "range", "bound", "drop"]), is_="out"),)
    verdict = pick.choice(["pass", "fail", "marginal", None])
    return Event(
        kind="reading", quantity=quantity.quantity, point=point, verdict=verdict, conditions=conditions, **what, **base
    )


@pytest.mark.parametrize("seed", range(25))
def test_nonsense_is_taken_and_comes_out_the_same_twice(seed: int) -> None:
    made = diagnose(judge(nonsense(seed), TRADE, "illinois"), TRADE)
    assert diagnose(judge(made, TRADE), TRADE) == made
    ids = {e.id for e in made.events}
    assert all(i.because is None or i.because in ids for i in made.open_items)
    if made.diagnosis.status == "not_found":
        assert made.diagnosis.fault == "none"
    else:
        first = made.diagnosis.ranked[0]
        assert first.for_ or first.fault in ("none", "other")


def test_empty_timeline_is_not_enough_to_tell() -> None:
    made = diagnose(judge(Timeline(made=Made(version="test")), TRADE), TRADE)
    assert (made.diagnosis.status, made.diagnosis.fault, made.diagnosis.side) == ("not_found", "none", "unknown")
    assert "not enough to tell" in made.diagnosis.why[0]
    assert any(i.code == "no_readings" and i.level == "stops" for i in made.open_items)


def test_most_calls_come_out_right_with_a_quarter_of_the_events_unheard() -> None:
    right = total = 0
    for name in annotated.names():
        base, want = judge(annotated.timeline_of(name, TRADE), TRADE), annotated.gold(name)["diagnosis"]
        wanted = {want["fault"], *(e["fault"] for e in want.get("either", []) if "fault" in e)}
        for seed in range(4):
            pick = random.Random(seed)
            heard = tuple(e for e in base.events if pick.random() > 0.25)
            found = diagnose(base.model_copy(update={"events": heard}), TRADE).diagnosis
            right += found.fault in wanted and found.side == want["side"]
            total += 1
    assert right / total > 0.8
