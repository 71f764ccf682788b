"""The table of field tests holds together, the gates hold, the advice is quick, the same twice, in plain words."""

from __future__ import annotations

import re
import time

import pytest

from callnotes.diagnose import diagnose
from callnotes.diagnose.course import Course
from callnotes.diagnose.safety import Safety
from callnotes.judge import judge
from callnotes.records import NextTest, Timeline
from callnotes.trade import load_trade
from callnotes.trade.testing import FieldTestKind
from tests.bench.isolation.advised import counted, share
from tests.bench.simulated_calls import draw_many
from tests.diagnose.case_files import parse

TRADE = load_trade()
DEAD_AT_JACK = """
note block/block_type=66
read demarc/side=provider dial_tone present plug=out
read jack dial_tone absent
"""


def diagnosed(text: str) -> Timeline:
    return diagnose(judge(parse("made", text).timeline, TRADE), TRADE)


def advised(text: str) -> NextTest | None:
    made = diagnosed(text)
    assert made.diagnosis is not None
    return made.diagnosis.next_test


@pytest.mark.parametrize("kind", TRADE.field_tests, ids=lambda kind: kind.id)
def test_every_row_names_what_the_other_tables_know(kind: FieldTestKind) -> None:
    known = {q.quantity for q in TRADE.quantities}
    families = {f.name for f in TRADE.families}
    assert kind.reads in known
    assert set(kind.repeats or ()) <= known
    assert set(kind.at) <= {p.kind for p in TRADE.points}
    assert set(kind.told_by) <= known | families | {"comes_and_goes"}
    assert set(kind.finds) <= {f.id for f in TRADE.faults}
    assert kind.family is None or kind.family in families
    assert "{place}" in kind.say
    assert kind.takes_off is not None or kind.minutes_back == 0


def test_what_opens_the_line_is_never_called_quiet() -> None:
    for kind in TRADE.field_tests:
        assert not (kind.quiet and (kind.ohms or kind.sends_tone)), kind.id


def test_there_is_a_way_to_every_kind_of_point_and_a_climb_is_dearest() -> None:
    # Common practice, no published source: a climb costs more than any walk on one site.
    assert any(not way.at and not way.words for way in TRADE.ways)
    climb = next(way for way in TRADE.ways if "ladder" in way.words)
    assert all(climb.minutes > way.minutes for way in TRADE.ways if way is not climb)


def test_foreign_voltage_stops_all_advice() -> None:
    # Over 50 V ac is taken as contact with power (common practice; ES1 of IEC 62368-1 ends at 30 V, memory).
    assert advised(DEAD_AT_JACK) is not None
    assert advised(DEAD_AT_JACK + "read jack ac_voltage 62V leads=tip-ground fail") is None
    assert advised(DEAD_AT_JACK + "read ? ac_voltage 62V leads=tip-ground fail") is None


@pytest.mark.parametrize(
    ("said", "allowed"),
    [
        ("read block dial_tone absent", True),
        ("read block dial_tone present", False),
        ("read block dial_tone absent\nread block dc_voltage 51V pass", False),
        ("note block", False),
        ("read block dial_tone absent\nnote alarm_panel", False),
        ("note set : the elevator phone is dead\nread block dial_tone absent", False),
    ],
)
def test_a_tone_is_sent_only_on_a_pair_that_is_dead_and_guards_nothing(said: str, allowed: bool) -> None:
    course = Course(judge(parse("made", said).timeline, TRADE), TRADE)
    tone = next(kind for kind in TRADE.field_tests if kind.sends_tone)
    block = next(point for point in course.timeline.points if point.kind == "block")
    assert Safety(course).allows(tone, block) is allowed


def test_account_off_test_again_must_be_told_anew() -> None:
    told = "do notify ? : monitoring station, account on test\n"
    off = "do notify ? : monitoring station, account off test\n"
    line = "note line_seizure_jack\n" + DEAD_AT_JACK
    first = advised(line + told)
    again = advised(line + told + off)
    assert first is not None
    assert again is not None
    assert not any("station" in need for need in first.needs_first)
    assert any("station" in need for need in again.needs_first)


def test_reason_is_in_words_of_the_trade_without_percentages() -> None:
    test = advised(DEAD_AT_JACK)
    assert test is not None
    assert "66 punch-down block" in test.why
    assert not re.search(r"%|\d\.\d", test.why)


def test_advice_is_the_same_twice_and_quick() -> None:
    calls = [judge(call.timeline, TRADE) for call in draw_many(40, 11)]
    begun = time.perf_counter()
    once = [diagnose(call, TRADE).diagnosis for call in calls]
    assert time.perf_counter() - begun < 0.2 * len(calls)
    assert [diagnose(call, TRADE).diagnosis for call in calls] == once


def test_most_advice_lies_near_the_true_fault() -> None:
    # Measured 87 % over 2,500 calls; on short lines most points are near, so this only guards against a fall.
    found, _ = counted(250, 3, TRADE)
    assert share(found, sum(found.values()) - found["no test"]) > 0.7
