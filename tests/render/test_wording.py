"""Names, numbers, times, readings and actions as papers word them."""

from __future__ import annotations

from typing import Any

import pytest

from callnotes.records import Call, Made, Point, Recording, Timeline
from callnotes.render.alignment import shifts
from callnotes.render.clock import clock_of, length, of_day, on_site, span
from callnotes.render.deeds import Deeds
from callnotes.render.figures import amount, counted, number, series, thin_spaced
from callnotes.render.names import Names
from callnotes.render.readings import ReadingWords
from callnotes.render.words import read_words
from callnotes.trade import Trade

from .conftest import event, timeline

WORDS = read_words()


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (51.2, "51.2"),
        (-49.8, "−49.8"),
        (26.0, "26"),
        (1600.0, "1,600"),
        (0.0, "0"),
        (-0.0, "0"),
        (1e9, "1,000,000,000"),
    ],
)
def test_number(value: float, shown: str) -> None:
    assert number(value) == shown


def test_amount_has_a_thin_space_and_the_unit_of_papers(trade: Trade) -> None:
    assert amount(20.0, "Mohm", trade) == "20\u202fMΩ"
    assert amount(5.5, "furlong", trade) == "5.5\u202ffurlong"
    assert amount(7.0, None, trade) == "7"


def test_a_sentence_keeps_its_figures_with_their_units(trade: Trade) -> None:
    told = "About 1,140 ft to the short, 24 gauge at 95 °F; 4 feet, 5 mistakes, 26 mA"
    shown = thin_spaced(told, trade)
    assert shown == "About 1,140\u202fft to the short, 24 gauge at 95\u202f°F; 4 feet, 5 mistakes, 26\u202fmA"


def test_counted(trade: Trade) -> None:
    assert counted(85, "ft", "station wire", trade) == "85\u202fft of station wire"
    assert counted(2, None, "bridging clips", trade) == "2\u00a0bridging clips"
    assert counted(None, None, "tape", trade) == "tape"


def test_series() -> None:
    assert [series(list("abc"[:n])) for n in range(4)] == ["", "a", "a and b", "a, b, and c"]


@pytest.mark.parametrize(
    ("minute", "shown"),
    [
        (0, "12 midnight"),
        (5, "12:05 a.m."),
        (550, "9:10 a.m."),
        (720, "12 noon"),
        (725, "12:05 p.m."),
        (1439, "11:59 p.m."),
    ],
)
def test_time_of_day(minute: int, shown: str) -> None:
    assert of_day(minute).replace("\u00a0", " ") == shown


@pytest.mark.parametrize(("minutes", "shown"), [(0, "0 min"), (45, "45 min"), (60, "1 h"), (100, "1 h 40 min")])
def test_span(minutes: int, shown: str) -> None:
    assert span(minutes).replace("\u00a0", " ").replace("\u202f", " ") == shown


def test_time_on_site_goes_over_midnight() -> None:
    assert on_site(Call(arrived="23:40", departed="00:25")) == 45
    assert on_site(Call(arrived="23:40")) is None


def test_length_of_a_recording() -> None:
    assert length(192.4).replace("\u00a0", " ").replace("\u202f", " ") == "3 min 12 s"


@pytest.mark.parametrize(
    ("started", "arrived", "departed", "duration", "shown"),
    [
        ("2026-03-04T09:11:30", None, None, 600, "9:13 a.m."),
        (None, "09:10", "09:55", 2600, "9:12 a.m."),
        (None, "09:10", "09:55", 200, "2:14"),
        (None, "09:10", None, 2600, "2:14"),
        (None, None, None, 2600, "2:14"),
        ("yesterday", None, None, 2600, "2:14"),
    ],
)
def test_clock(started: str | None, arrived: str | None, departed: str | None, duration: float, shown: str) -> None:
    """Notes dictated in three minutes after an hour's work have no times of day."""
    recording = Recording(name="a.wav", sha256="0" * 64, duration_s=duration, started=started)
    call = Timeline(made=Made(version="1"), recordings=(recording,), call=Call(arrived=arrived, departed=departed))
    assert clock_of(call).at(134).replace("\u00a0", " ") == shown


def test_long_recording_counts_hours() -> None:
    assert clock_of(Timeline(made=Made(version="1"))).at(3725) == "1:02:05"


POINTS: list[tuple[dict[str, Any], str, str]] = [
    (
        {"kind": "block", "block_type": "66", "pair": 9, "row": (17, 18), "side": "right"},
        "66 block, pair 9, rows 17 and 18, right",
        "on the right side of the 66 block (pair 9)",
    ),
    ({"kind": "block", "block_type": "66", "row": (4,)}, "66 block, row 4", "at the 66 block (row 4)"),
    ({"kind": "jack", "label": "12"}, "jack 12", "at jack 12"),
    ({"kind": "jack", "label": "kitchen"}, "kitchen jack", "at the kitchen jack"),
    ({"kind": "set", "label": "study phone"}, "study phone", "at the study phone"),
    ({"kind": "patch_panel", "port": 13}, "patch panel port 13", "at patch panel port 13"),
    ({"kind": "demarc", "side": "provider", "line": "2"}, "network interface, line 2, provider", ""),
    ({"kind": "line_seizure_jack", "pins": (4, 5)}, "alarm jack, pins 4 and 5", "at the alarm jack (pins 4 and 5)"),
    ({"kind": "cable", "color": "white/blue"}, "cable, white/blue pair", "on the cable (white/blue pair)"),
    ({"kind": "other", "label": "ground rod"}, "ground rod", "at the ground rod"),
]


@pytest.mark.parametrize(("fields", "table", "located"), POINTS)
def test_point(fields: dict[str, Any], table: str, located: str, trade: Trade) -> None:
    names, point = Names(WORDS, trade), Point(id="P1", **fields)
    assert str(names.table(point)).replace("\u00a0", " ") == table
    located = located or "on the provider side of the network interface (line 2)"
    assert names.located(point).replace("\u00a0", " ") == located


READINGS: list[tuple[dict[str, Any], str, str]] = [
    (
        {"quantity": "dc_voltage", "value": -49.8, "unit": "V", "conditions": {"hook": "on"}},
        "−49.8 V",
        "−49.8 V DC on hook",
    ),
    ({"quantity": "loop_current", "value": 26, "unit": "mA"}, "26 mA", "26 mA of loop current"),
    (
        {"quantity": "insulation_resistance", "value": 20, "unit": "Mohm", "conditions": {"bound": ">"}},
        "over 20 MΩ",
        "over 20 MΩ of insulation",
    ),
    (
        {"quantity": "dc_voltage", "value": 49, "unit": "V", "conditions": {"range": "48..50"}},
        "48 to 50 V",
        "48 to 50 V DC",
    ),
    (
        {"quantity": "margin", "value": 4.9, "unit": "dB", "conditions": {"test": "NEXT"}},
        "4.9 dB",
        "4.9 dB of headroom (NEXT)",
    ),
    ({"quantity": "dial_tone", "state": "absent"}, "none", "no dial tone"),
    ({"quantity": "line_sound", "state": "noisy", "object": "Hum"}, "noisy: hum", "hum on the line"),
    ({"quantity": "line_sound", "state": "noisy"}, "noisy", "noise on the line"),
    ({"quantity": "inspection", "state": "defect", "object": "Clip loose"}, "clip loose", "clip loose"),
    (
        {"quantity": "inspection", "state": "ok", "object": "NEXT pair"},
        "in order: NEXT pair",
        "nothing amiss to the eye",
    ),
    ({"quantity": "aura", "state": "faint_blue"}, "faint blue", "aura faint blue"),
]


@pytest.mark.parametrize(("fields", "value", "phrase"), READINGS)
def test_reading(fields: dict[str, Any], value: str, phrase: str, trade: Trade) -> None:
    wording, read = ReadingWords(WORDS, trade), event(1, **fields)
    assert wording.value(read).replace("\u202f", " ") == value
    assert wording.phrase(read).replace("\u202f", " ") == phrase


def test_calls_both_ways_are_one_phrase(trade: Trade) -> None:
    out = event(1, quantity="outgoing_call", state="works")
    back = event(2, quantity="incoming_call", state="works")
    assert ReadingWords(WORDS, trade).phrases([out, back, back]) == ("calls both in and out",)


@pytest.mark.parametrize(
    ("what", "is_", "shown"),
    [
        ("leads", "tip-ring", "tip to ring"),
        ("pins", "3-6", "pins 3-6"),
        ("test", "NEXT", "NEXT"),
        ("far_end", "open", "far end open"),
    ],
)
def test_condition(what: str, is_: str, shown: str, trade: Trade) -> None:
    read = event(1, quantity="dial_tone", state="present", conditions={what: is_, "bound": ">"})
    assert ReadingWords(WORDS, trade).conditions(read) == shown


DEEDS: list[tuple[dict[str, Any], str]] = [
    (
        {"action": "disconnect", "object": "house plug", "point": "P1"},
        "disconnected the house plug at the network interface",
    ),
    ({"action": "disconnect", "object": "phone's", "point": "P3"}, "disconnected the phone at the kitchen jack"),
    ({"action": "disconnect", "object": "it", "point": "P3"}, "disconnected the kitchen jack"),
    (
        {"action": "install_clips", "object": "two new bridging clips", "point": "P2"},
        "installed two new bridging clips at the 66 block",
    ),
    ({"action": "install", "object": "strap"}, "installed a strap"),
    ({"action": "install", "object": "new jack"}, "installed a new jack"),
    ({"action": "install", "object": "new jacks"}, "installed new jacks"),
    ({"action": "replace", "object": "old cord"}, "replaced the old cord"),
    ({"action": "replace", "object": "both cords"}, "replaced both cords"),
    ({"action": "label", "object": "red tag", "point": "P3"}, "put on a red tag at the kitchen jack"),
    ({"action": "terminate", "object": "kitchen jack", "point": "P3"}, "redid the termination at the kitchen jack"),
    ({"action": "notify", "object": "off test"}, "had the alarm account taken off test"),
    ({"action": "notify", "object": "Maria", "point": "P3"}, "told Maria"),
    ({"action": "notify", "object": "him"}, "gave notice"),
    ({"action": "refer", "object": "alarm company", "point": "P1"}, "referred the trouble to the alarm company"),
    ({"action": "enchant", "object": "line"}, "enchant the line"),
]


@pytest.mark.parametrize(("fields", "clause"), DEEDS)
def test_deed(fields: dict[str, Any], clause: str, trade: Trade) -> None:
    deeds = Deeds(WORDS, trade, Names(WORDS, trade))
    assert deeds.clause(event(1, kind="action", **fields), timeline()) == clause


def test_every_word_of_the_trade_has_its_wording(trade: Trade) -> None:
    for quantity in trade.quantities:
        for state in quantity.states:
            assert WORDS.at("states", quantity.quantity, state.state), f"{quantity.quantity}.{state.state}"
    assert [kind.kind for kind in trade.points if not WORDS.text("points", kind.kind)] == []
    assert [kind.action for kind in trade.actions if not WORDS.at("actions", kind.action)] == []


def test_decimal_points_stand_under_each_other() -> None:
    assert shifts(["51.2 V", "−7.5 V", "present", "1,020 ns", ""]) == pytest.approx(
        (1.39, 1.362, None, 0, None), nan_ok=True
    )
