"""The annotated calls, with every event heard rightly: diagnosis, status and ledger against the annotation."""

from __future__ import annotations

from itertools import combinations

import pytest

from callnotes.diagnose import diagnose
from callnotes.judge import judge
from callnotes.records import Timeline
from callnotes.trade import load_trade
from tests import annotated
from tests.bench.score import allowed, pair_up

TRADE = load_trade()
CALLS = [(name, optional) for name in annotated.names() for optional in (True, False)]


@pytest.fixture(params=CALLS, ids=lambda p: f"{p[0]}-{'all' if p[1] else 'required'}")
def concluded(request: pytest.FixtureRequest) -> tuple[Timeline, dict]:
    name, optional = request.param
    timeline = judge(annotated.timeline_of(name, TRADE, optional=optional), TRADE)
    return diagnose(timeline, TRADE), annotated.gold(name)


@pytest.mark.parametrize("optional", [True, False])
@pytest.mark.parametrize("asked", ["fault, element and side", "status"])
def test_diagnosis_agrees_in_all_but_one(asked: str, optional: bool) -> None:
    wrong = [name for name in annotated.names() if not _agrees(name, asked, optional=optional)]
    assert len(wrong) <= 1, wrong


def _agrees(name: str, asked: str, *, optional: bool) -> bool:
    made = diagnose(judge(annotated.timeline_of(name, TRADE, optional=optional), TRADE), TRADE)
    want, got = annotated.gold(name)["diagnosis"], made.diagnosis
    if asked == "status":
        return got.status in allowed(want, "status")
    element = made.point(got.element)
    kinds = allowed(want["element"] or {"kind": None}, "kind")
    right = got.fault in allowed(want, "fault") and got.side in allowed(want, "side")
    return right and (element.kind if element else None) in kinds


def test_ledger_agrees(concluded: tuple[Timeline, dict]) -> None:
    made, gold = concluded
    left = [(p.kind if (p := made.point(line.point)) else "?") for line in made.ledger if not line.restored_by]
    must = [allowed(x, "kind") for x in gold["unrestored"] if not x.get("optional")]
    may = [allowed(x, "kind") for x in gold["unrestored"] if x.get("optional")]
    wanted = [must + list(some) for n in range(len(may) + 1) for some in combinations(may, n)]
    assert any(pair_up(left, want) for want in wanted), made.ledger


def test_every_ground_names_events_that_exist(concluded: tuple[Timeline, dict]) -> None:
    made, _ = concluded
    ids = {e.id for e in made.events}
    assert made.diagnosis.why
    for ranked in made.diagnosis.ranked:
        assert set(ranked.for_) | set(ranked.against) <= ids
        assert 0 <= ranked.p <= 1
    assert {x for line in made.ledger for x in (line.disturbed_by, line.restored_by) if x} <= ids
    assert sorted(p.order for p in made.points) == list(range(1, len(made.points) + 1))
