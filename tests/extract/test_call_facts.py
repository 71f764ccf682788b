"""The facts of the call, as they are said and as engines write them."""

from __future__ import annotations

import pytest

from callnotes.extract import extract
from callnotes.extract.clock import clock, find_times
from callnotes.extract.normal import norms
from callnotes.extract.numbers import find_numbers
from callnotes.records import Call
from callnotes.trade import load_trade
from tests.extract.case_files import transcript_of

TRADE = load_trade()
FILLER = ["I'm at the block now.", "Dial tone on the left.", "Dial tone on the right."] * 5


def facts(*opening: str, closing: str = "That's the end of it.") -> Call:
    return extract(transcript_of([*opening, *FILLER, closing]), TRADE).call


@pytest.mark.parametrize(
    ("said", "then"),
    [
        ("ten past eight", "08:10"),
        ("a quarter to two", "01:45"),
        ("half past twelve", "12:30"),
        ("five of one", "12:55"),
        ("ten till two", "01:50"),
        ("7 52 a.m.", "07:52"),
        ("nine forty", "09:40"),
        ("9:35", "09:35"),
        ("0705", "07:05"),
        ("two o'clock in the afternoon", "14:00"),
        ("14:20", "14:20"),
        ("9.55", "09:55"),
        ("1035", "10:35"),
        ("1400", "14:00"),
        ("2 15 in the afternoon", "14:15"),
        ("half past ten at night", "22:30"),
        ("twenty past midnight", "00:20"),
        ("five of noon", "11:55"),
        ("five after two, tomorrow morning we go on", "02:05"),
    ],
)
def test_a_time_of_day(said: str, then: str) -> None:
    words = norms(said)
    assert [clock(time.minutes) for time in find_times(words, find_numbers(words))] == [then]


@pytest.mark.parametrize(
    "said", ["fifty-one point two volts", "rows thirteen and fourteen", "two hundred feet", "26 milliamps"]
)
def test_no_time_of_day(said: str) -> None:
    words = norms(said)
    assert find_times(words, find_numbers(words)) == []


def test_the_opening_of_a_call() -> None:
    call = facts(
        "This is Ada Mercer, order number four four oh seven one five.",
        "I'm at the Blue Heron Bakery, 12 Canal Street, and it's nine ten in the morning.",
        "My contact is Mrs. Vance.",
        "The line is 555-0142.",
        closing="Two bridging clips off the truck, and I'm leaving at nine fifty.",
    )
    assert call.technicians == ("Ada Mercer",)
    assert call.work_order == "440715"
    assert call.site == "Blue Heron Bakery, 12 Canal Street"
    assert call.contact == "Mrs. Vance"
    assert call.line_numbers == ("555-0142",)
    assert (call.arrived, call.departed) == ("09:10", "09:50")
    assert [(m.item, m.quantity) for m in call.materials] == [("bridging clip", 2)]
    assert call.inferred == ("departed",)


def test_the_same_from_an_engine_without_capitals() -> None:
    call = facts("this is ada mercer order 440715", "i'm at the blue heron bakery and my contact is mister vance")
    assert call.technicians == ("Ada Mercer",)
    assert call.site == "Blue Heron Bakery"
    assert call.contact == "Mr. Vance"


def test_what_was_not_said_stays_empty() -> None:
    assert facts("I'm on the block.") == Call()


@pytest.mark.parametrize("said", ["No parts.", "Used nothing.", "I didn't use any materials."])
def test_nothing_used(said: str) -> None:
    call = facts("I'm on the block.", closing=said)
    assert (call.no_materials, call.materials) == (True, ())


@pytest.mark.parametrize(
    ("said", "visit"), [("We'll be back Thursday.", True), ("I don't need to come back.", False), ("That's all.", None)]
)
def test_a_return_visit(said: str, visit: bool | None) -> None:
    assert facts("I'm on the block.", closing=said).return_visit is visit


def test_a_ticket_of_the_provider_and_the_test_window() -> None:
    call = facts(
        "The station has the account on test until eleven o'clock, and it's nine ten in the morning.",
        closing="The phone company's ticket number is 77 3105, and they come tomorrow.",
    )
    assert call.on_test is not None
    assert call.on_test.until == "11:00"
    assert [(t.number, t.owner) for t in call.tickets] == [("773105", "provider")]


def test_seven_digits_said_one_by_one_are_a_line_unless_they_are_the_order() -> None:
    line = "The line is five five five, zero one four two."
    assert facts("Work order three two one four six zero nine.", line).line_numbers == ("555-0142",)


def test_digits_that_the_numbering_plan_does_not_know_are_no_line() -> None:
    # North American Numbering Plan: an exchange code begins with 2 to 9.
    assert facts("The tag reads one two three, four five six seven.").line_numbers == ()


def test_the_letters_before_an_order_belong_to_it() -> None:
    assert facts("Work order K Q 4 4 1 7.").work_order == "KQ4417"
