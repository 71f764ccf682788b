"""Values as people type them: what is taken and as what, and what is refused with a hint."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from callnotes.corrections.facts import field_of
from callnotes.corrections.values import parse
from callnotes.errors import OptionError
from callnotes.trade import load_trade

TRADE = load_trade()
TODAY = date(2026, 3, 12)


def value(field: str, text: str) -> Any:
    return parse(field_of(field, TRADE), text, TRADE, TODAY)


@pytest.mark.parametrize(
    ("text", "clock"),
    [
        ("16:20", "16:20"),
        ("9:05", "09:05"),
        ("4:20 pm", "16:20"),
        ("4:20PM", "16:20"),
        ("4 p.m.", "16:00"),
        ("12:10 am", "00:10"),
        ("12 pm", "12:00"),
        ("0705", "07:05"),
        ("noon", "12:00"),
    ],
)
def test_time_is_taken(text: str, clock: str) -> None:
    assert value("departed", text) == clock


@pytest.mark.parametrize("text", ["25:00", "9:75", "four-ish", "13 pm", "0 am", "9", "16:20:30"])
def test_time_is_refused(text: str) -> None:
    with pytest.raises(OptionError, match=r"departed: .* is no time of day;"):
        value("departed", text)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2026-03-09", "2026-03-09"),
        ("3/9/2026", "2026-03-09"),
        ("March 9", "2026-03-09"),
        ("9 march 2025", "2025-03-09"),
        ("Mar 9, 2026", "2026-03-09"),
        ("December 30", "2025-12-30"),  # the latest that is not to come
        ("2/29/2024", "2024-02-29"),  # a leap year
        ("today", "2026-03-12"),
    ],
)
def test_date_is_taken(text: str, day: str) -> None:
    assert value("date", text) == day


@pytest.mark.parametrize("text", ["2026-02-30", "2/29/2026", "31/31/2026", "soon"])
def test_date_is_refused(text: str) -> None:
    with pytest.raises(OptionError, match=r"date: .* is no date;"):
        value("date", text)


def good(item: str, quantity: float | None = None, unit: str | None = None) -> dict[str, Any]:
    return {"item": item, "quantity": quantity, "unit": unit}


@pytest.mark.parametrize(
    ("text", "goods"),
    [
        ("2 bridging clips", [good("bridging clip", 2)]),
        ("85 feet of station wire; a tag", [good("station wire", 85, "ft"), good("tag", 1)]),
        ("12.5 m patch cord", [good("patch cord", 12.5, "m")]),
        ("a little tape", [good("little tape", 1)]),
        ("tape", [good("tape")]),
        ("none", []),
    ],
)
def test_goods_are_taken(text: str, goods: list[dict[str, Any]]) -> None:
    assert value("materials", text) == goods


@pytest.mark.parametrize("text", ["0 clips", "-2 clips", "85 ft", "2 clips;;", ";"])
def test_goods_are_refused(text: str) -> None:
    with pytest.raises(OptionError, match="materials"):
        value("materials", text)


def test_ticket_with_owner_person_and_promise() -> None:
    ticket = {"number": "4417026", "owner": "provider", "person": "Kay", "promised": "tomorrow 8 to noon"}
    assert value("ticket", "4417026, owner provider, person Kay, promised tomorrow 8 to noon") == [ticket]
    with pytest.raises(OptionError, match="promised WHEN"):
        value("ticket", "4417026, by Kay")


def test_other_kinds() -> None:
    assert value("return_visit", "Yes") is True
    assert value("line", "555-0101, 555-0102") == ["555-0101", "555-0102"]
    assert value("site", "  Mill\n Road\t9 ") == "Mill Road 9"
    for field, text in (("return_visit", "maybe"), ("site", "x" * 301), ("technician", "Ann,,Bo")):
        with pytest.raises(OptionError, match=field):
            value(field, text)


@pytest.mark.parametrize(("typed", "meant"), [("departd", "departed"), ("materals", "materials"), ("tikcet", "ticket")])
def test_an_unknown_field_is_told_with_the_nearest(typed: str, meant: str) -> None:
    with pytest.raises(OptionError, match=f"no field '{typed}'; did you mean .*{meant}"):
        field_of(typed, TRADE)


def test_a_field_that_nothing_is_like_is_told_with_all() -> None:
    with pytest.raises(OptionError, match="no field 'zzz'; the fields are work_order, site, "):
        field_of("zzz", TRADE)


def test_no_name_means_two_fields() -> None:
    names = [name for field in TRADE.fields for name in field.names]
    assert len(names) == len(set(names))
