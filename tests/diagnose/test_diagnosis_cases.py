"""Every case file: what must come of its events, and nothing in its lists that is not there."""

from __future__ import annotations

import pytest

from callnotes.diagnose import diagnose, may_close
from callnotes.judge import judge
from callnotes.records import Timeline
from callnotes.trade import load_trade
from tests.diagnose.case_files import Case, cases

TRADE = load_trade()


def kind(timeline: Timeline, point: str | None) -> str:
    found = timeline.point(point)
    return found.kind if found else "none"


@pytest.mark.parametrize("case", cases(), ids=lambda c: c.name)
def test_case_comes_out_as_written(case: Case) -> None:
    made = diagnose(judge(case.timeline, TRADE), TRADE)
    found = made.diagnosis
    assert found is not None
    got = {
        "fault": found.fault,
        "element": kind(made, found.element),
        "side": found.side,
        "status": found.status,
        "next": kind(made, found.next_test.point) if found.next_test else "none",
        "needs": str(len(found.next_test.needs_first)) if found.next_test else "0",
    }
    for key, value in got.items():
        if key in case.expect:
            assert value in case.expect[key], (key, found)
    lists = {
        "out": sorted(kind(made, line.point) for line in made.ledger if not line.restored_by),
        "stops": sorted(item.code for item in made.open_items if item.level == "stops"),
        "items": sorted(item.code for item in made.open_items if item.level == "noted"),
        "cautions": sorted(c.code for c in made.cautions),
    }
    for key, values in lists.items():
        if key in case.expect:
            assert values == sorted(case.expect[key]), (key, made.ledger, made.open_items)
    if "stops" in case.expect:
        assert may_close(made) is (not case.expect["stops"])


NEED_A_PROFILE = {"word_against_limit", "leads_unsaid"}  # in test_closeout


def expected(*lists: str) -> set[str]:
    return {code for case in cases() for name in lists for code in case.expect.get(name, ())}


def test_every_item_and_caution_is_raised_in_a_case_and_not_in_another() -> None:
    """An exact list that lacks a code is a case that must not raise it."""
    items = {row.code: "stops" if row.level == "stops" else "items" for row in TRADE.requirements}
    assert set(items) - NEED_A_PROFILE <= expected("stops", "items")
    assert {c.code for c in TRADE.cautions} <= expected("cautions")
    for code, name in items.items():
        assert any(name in case.expect and code not in case.expect[name] for case in cases()), code
