"""The path picture: the right stations with the right marks, text that is really drawn, and words for it."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from callnotes.records import Diagnosis, Made, Point, Timeline
from callnotes.render import diagram
from callnotes.render.context import Report
from callnotes.render.facts import report_of
from callnotes.render.path import MOST_STATIONS
from callnotes.render.words import read_words
from callnotes.trade import Trade

from .conftest import NAMES, event, finished, timeline, tone

WORDS = read_words()


def report(call: Timeline, trade: Trade) -> Report:
    return report_of(call, trade, WORDS)


def test_marks_as_found_and_as_left(trade: Trade) -> None:
    path = report(finished("split_block"), trade).path
    assert [(s.found.name, s.left.name) for s in path.stations] == [
        ("pass", "unread"),
        ("pass", "unread"),
        ("fail", "pass"),
        ("unread", "pass"),
        ("unread", "pass"),
    ]
    assert [s.fault for s in path.stations] == [False, False, True, False, False]
    assert [s.twin for s in path.stations] == [False, True, False, False, False]


def test_links_of_a_panel_are_side_by_side(trade: Trade) -> None:
    path = report(finished("cable_certified"), trade).path
    assert [s.branch for s in path.stations] == [True, True, True]
    assert [line for line in diagram.placed(path).lines if line.style == "rail"] == []


def test_number_without_verdict_is_not_judged(trade: Trade) -> None:
    read = event(1, point="P1", quantity="dc_voltage", value=51, unit="V")
    (station,) = report(timeline(read), trade).path.stations
    assert (station.found.name, station.found.word) == ("none", "not judged")


def test_fault_between_two_points_lies_in_the_gap(trade: Trade) -> None:
    concluded = Diagnosis(status="found", fault="open", between=("P1", "P3"), side="customer")
    call = timeline(tone(1, "P1"), tone(2, "P3", "absent"), diagnosis=concluded)
    made = report(call, trade)
    assert [s.fault_after for s in made.path.stations] == [True, False]
    assert "the fault is between this point and the next" in made.path_alt
    assert [sign.name for sign in diagram.placed(made.path).signs].count("break") == 1


def test_many_points_keep_the_bad_ones(trade: Trade) -> None:
    points = tuple(Point(id=f"P{i}", kind="jack", label=str(i), order=i) for i in range(40))
    events = [tone(i + 1, f"P{i}", "absent" if i == 37 else "present") for i in range(40)]
    path = report(Timeline(made=Made(version="1"), points=points, events=tuple(events)), trade).path
    assert (len(path.stations), path.left_out) == (MOST_STATIONS, 40 - MOST_STATIONS)
    assert "P37" in [s.point.id for s in path.stations]


@pytest.mark.parametrize("columns", [diagram.WIDE, diagram.NARROW])
@pytest.mark.parametrize("name", NAMES)
def test_picture_is_whole(name: str, columns: int, trade: Trade) -> None:
    """Well formed, and nothing lies outside it."""
    path = report(finished(name), trade).path
    if not path.stations:
        return
    picture = diagram.placed(path, columns=columns)
    ElementTree.fromstring(diagram.svg(path, columns=columns))
    assert picture.width <= diagram.MARGIN + diagram.COLUMN * columns
    assert all(0 <= text.x <= picture.width and 0 < text.y <= picture.height for text in picture.texts)
    assert all(0 < sign.x < picture.width and 0 < sign.y < picture.height for sign in picture.signs)


def test_two_sides_of_a_block_stay_in_one_row(trade: Trade) -> None:
    path = report(finished("split_block"), trade).path
    rows = diagram._rows(path.stations, 2)
    assert [[s.point.id for s in row] for row in rows] == [["P1"], ["P2", "P3"], ["P4", "P5"]]


def test_text_is_drawn_with_our_own_font_alone(trade: Trade) -> None:
    """A family that is nowhere to be found draws nothing, and says nothing."""
    drawn = diagram.svg(report(finished("split_block"), trade).path)
    silent = re.sub(r"<text.*?</text>", "", drawn)
    assert silent != drawn
    for system_fonts in (False, True):
        with_text = diagram.png(drawn, system_fonts=system_fonts)
        without = diagram.png(silent, system_fonts=system_fonts)
        assert len(with_text) > 1.5 * len(without)


def test_marks_differ_in_shape_not_only_in_color(trade: Trade) -> None:
    drawn = diagram.svg(report(finished("cable_certified"), trade).path)
    gray = re.sub(r"#[0-9a-f]{6}", "#000000", drawn)
    shapes = set(re.findall(r'<g transform="[^"]+"[^>]*>\s*(.*?)\s*</g>', gray, flags=re.DOTALL))
    assert len(shapes) == len(
        {sign.name for sign in diagram.placed(report(finished("cable_certified"), trade).path).signs}
    )


def test_long_names_end_in_an_ellipsis() -> None:
    lines = diagram._wrapped("extraordinarily long unbreakablesuperlongname and more words here", 12.5, 2)
    assert len(lines) == 2
    assert lines[-1].endswith("…")
