"""Verdicts: what was said stands, a state carries its own, a number goes by the chosen limits at their place only."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from callnotes.errors import DataError, OptionError
from callnotes.judge import judge
from callnotes.records import Condition, Event, Made, Point, Timeline
from callnotes.trade import Trade, load_trade
from callnotes.trade.judgment import Limit
from callnotes.trade.tables import read_csv

TRADE = load_trade()
TABLE = Path(__file__).parents[1] / "cases" / "verdicts.csv"
ROWS = list(csv.DictReader(line for line in TABLE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")))


def reading(point: Point | None = None, **given: Any) -> Timeline:
    event = Event(
        id="E1", kind="reading", start=0, end=1, text="", confidence=1.0, point=point.id if point else None, **given
    )
    return Timeline(made=Made(version="test"), points=(point,) if point else (), events=(event,))


def conditions(text: str) -> tuple[Condition, ...]:
    return tuple(Condition(what=what, is_=is_) for what, _, is_ in (part.partition("=") for part in text.split()))


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['id']}-{r['quantity']}-{r['value']}-{r['profile'] or 'none'}")
def test_number_is_judged_by_the_profile(row: dict[str, str]) -> None:
    kind, _, side = (row["point"] or "demarc:provider").partition(":")
    point = Point(id="P1", kind=kind, side=side or None)
    timeline = reading(
        point,
        quantity=row["quantity"],
        value=float(row["value"]),
        unit=row["unit"],
        conditions=conditions(row["conditions"]),
    )
    event = judge(timeline, TRADE, row["profile"] or None).events[0]
    assert (event.verdict or "", event.limit or "") == (row["verdict"], row["limit"])
    assert event.verdict_from == ("limit" if row["verdict"] else None)


def test_word_stands_against_limit() -> None:
    point = Point(id="P1", kind="demarc", side="provider")
    timeline = reading(point, quantity="loop_current", value=18.5, unit="mA", verdict="pass")
    event = judge(timeline, TRADE, "illinois").events[0]
    assert (event.verdict, event.verdict_from, event.limit) == ("pass", "stated", None)


@pytest.mark.parametrize(
    ("quantity", "state", "verdict"),
    [
        ("dial_tone", "absent", "fail"),
        ("short", "absent", "pass"),
        ("cable_test", "marginal", "marginal"),
        ("tracing_tone", "absent", None),
    ],
)
def test_state_carries_its_own_verdict(quantity: str, state: str, verdict: str | None) -> None:
    event = judge(reading(quantity=quantity, state=state), TRADE).events[0]
    assert (event.verdict, event.verdict_from) == (verdict, "state" if verdict else None)


def test_expected_silence_stays_good() -> None:
    event = judge(reading(quantity="dial_tone", state="absent", verdict="pass", verdict_from="stated"), TRADE).events[0]
    assert (event.verdict, event.verdict_from) == ("pass", "stated")


def test_profile_of_an_earlier_run_is_kept_and_can_be_changed() -> None:
    point = Point(id="P1", kind="demarc", side="provider")
    first = judge(reading(point, quantity="loop_current", value=20.0, unit="mA"), TRADE, "south-carolina")
    assert judge(first, TRADE) == first
    assert judge(first, TRADE, "illinois").events[0].verdict == "pass"


def test_unknown_profile_names_those_that_exist() -> None:
    with pytest.raises(OptionError, match="illinois") as caught:
        judge(reading(), TRADE, "atlantis")
    assert "atlantis" in str(caught.value)


def test_every_limit_is_tried_at_its_edge_and_on_both_sides() -> None:
    for limit in TRADE.limits:
        tried = [row for row in ROWS if row["limit"] == limit.id and row["profile"] == limit.profile]
        assert {row["verdict"] for row in tried} == {"pass", "fail"}, limit.id
        have = [(TRADE.unit(row["unit"]), float(row["value"])) for row in tried]
        want = TRADE.unit(limit.unit)
        assert limit.value in [unit.to(want, value) for unit, value in have], limit.id


def with_limit(**changed: Any) -> Trade:
    """The trade with one limit of a made-up profile: the Illinois one for insulation, changed."""
    row = next(limit for limit in TRADE.limits if limit.id == "il-insulation")
    return replace(TRADE, limits=(row.model_copy(update={"id": "own", "profile": "own", **changed}),))


@pytest.mark.parametrize(("leads", "verdict"), [("tip-ring", "fail"), ("tip-ground", None), (None, None)])
def test_a_limit_for_some_leads_holds_only_there(leads: str | None, verdict: str | None) -> None:
    said = conditions(f"leads={leads}" if leads else "")
    timeline = reading(
        Point(id="P1", kind="demarc"), quantity="insulation_resistance", value=28, unit="kohm", conditions=said
    )
    assert judge(timeline, with_limit(leads="tip-ring"), "own").events[0].verdict == verdict


@pytest.mark.parametrize(("hook", "verdict"), [("on", "fail"), ("off", None), (None, "fail")])
def test_a_limit_for_a_hook_state_holds_only_there(hook: str | None, verdict: str | None) -> None:
    said = conditions("leads=tip-ring" + (f" hook={hook}" if hook else ""))
    timeline = reading(
        Point(id="P1", kind="demarc"), quantity="insulation_resistance", value=28, unit="kohm", conditions=said
    )
    assert judge(timeline, with_limit(hook="on"), "own").events[0].verdict == verdict


def test_a_reading_without_its_place_or_unit_gets_no_verdict() -> None:
    assert judge(reading(quantity="noise", value=44, unit="dBrnC"), TRADE, "south-carolina").events[0].verdict is None
    bare = reading(Point(id="P1", kind="demarc"), quantity="noise", value=44)
    assert judge(bare, TRADE, "south-carolina").events[0].verdict is None


def test_a_limit_of_doubtful_memory_is_refused_by_the_table(tmp_path: Path) -> None:
    table = tmp_path / "limits.csv"
    head = "id,profile,quantity,op,value,unit,places,source,basis"
    table.write_text(f"{head}\nrus-noise,rus,noise,<=,20,dBrnC,demarc,7 CFR 1755.403(e),mem-L\n", encoding="utf-8")
    with pytest.raises(DataError, match="basis"):
        read_csv(table, Limit)


def test_no_limit_rests_on_doubtful_memory() -> None:
    assert {limit.basis for limit in TRADE.limits} <= {"read", "mem-H", "mem-M"}
    assert all(limit.source for limit in TRADE.limits)
    assert len({limit.id for limit in TRADE.limits}) == len(TRADE.limits)
