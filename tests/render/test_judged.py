"""What a report says of the limits that judged, and of the figures that were worked out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from callnotes.records import Sum
from callnotes.render import render_report
from callnotes.render.facts import report_of
from callnotes.render.words import read_words
from callnotes.trade import Trade

from .conftest import event, timeline, tone

JUDGED = {"quantity": "loop_current", "value": 18.5, "unit": "mA", "verdict": "fail", "verdict_from": "limit"}


def checked_less(trade: Trade) -> Trade:
    """The trade with the Illinois limits as if they were from memory, medium."""
    limits = [one.model_copy(update={"basis": "mem-M"}) if one.profile == "illinois" else one for one in trade.limits]
    return replace(trade, limits=tuple(limits))


def test_a_verdict_by_a_limit_names_it_and_the_end_its_source(trade: Trade) -> None:
    report = report_of(timeline(event(1, point="P1", limit="il-loop-current", **JUDGED)), trade, read_words())
    assert report.readings[0].verdict.by.replace("\u202f", " ") == "limit ≥ 20 mA"
    assert report.made.limits == ("83 Ill. Adm. Code 730.525(g)",)


def test_a_limit_from_memory_says_so_where_it_judged(trade: Trade) -> None:
    call = timeline(event(1, point="P1", limit="il-loop-current", **JUDGED))
    report = report_of(call, checked_less(trade), read_words())
    assert report.readings[0].verdict.by.endswith("(from memory, not checked)")
    assert report.made.limits == ("83 Ill. Adm. Code 730.525(g) (from memory, not checked)",)


def test_a_limit_that_did_not_judge_is_not_named(trade: Trade) -> None:
    report = report_of(timeline(event(1, point="P1", **(JUDGED | {"verdict_from": "stated"}))), trade, read_words())
    assert report.made.limits == ()
    assert report.readings[0].verdict.by == "stated"


def with_sum(text: str) -> Sum:
    return Sum(sum="short", text=text, value=1, unit="ft", point="P2", from_=("E1",), source="a table", basis="read")


@pytest.mark.parametrize("kind", ["md", "html"])
def test_figures_stand_under_the_readings_only_where_there_are_any(kind: str, trade: Trade) -> None:
    without = render_report(timeline(tone(1, "P1")), trade, kind=kind).decode()
    with_one = timeline(tone(1, "P1"), sums=(with_sum("About 1,180 ft to the short"),))
    page = render_report(with_one, trade, kind=kind).decode()
    assert "Worked out" not in without
    assert (
        page.index("Readings") < page.index("Worked out from the readings") < page.index("1,180\u202fft to the short")
    )


def test_figures_in_word_are_the_same(trade: Trade, tmp_path: Path) -> None:
    from docx import Document

    call = timeline(tone(1, "P1"), sums=(with_sum("About 1,180 ft to the short"),))
    (tmp_path / "a.docx").write_bytes(render_report(call, trade, kind="docx"))
    cells = [c.text for table in Document(str(tmp_path / "a.docx")).tables for row in table.rows for c in row.cells]
    assert "About 1,180\u202fft to the short" in cells


def test_words_in_a_figure_are_data(trade: Trade) -> None:
    call = timeline(tone(1, "P1"), sums=(with_sum("<b>1</b> | {{ 7 * 7 }} ft"),))
    page = render_report(call, trade, kind="html").decode()
    assert "&lt;b&gt;1&lt;/b&gt; | {{ 7 * 7 }} ft" in page
