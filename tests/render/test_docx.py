"""The Word file: real styles, heads that repeat, words for pictures, properties of the call."""

from __future__ import annotations

import io
from datetime import datetime
from functools import cache
from typing import Any

import pytest
from docx import Document
from docx.oxml.ns import qn

from callnotes.render import render_report
from callnotes.render.docx_parts import column_widths
from callnotes.render.docx_styles import FONT, STYLES
from callnotes.resources import templates
from callnotes.trade import load_trade

from .conftest import GOLDENS, NAMES, finished
from .test_goldens import words_of_markdown


@cache
def word(name: str) -> Any:
    return Document(io.BytesIO(render_report(finished(name), load_trade(), kind="docx")))


def text_of(document: Any) -> list[str]:
    """The words of a Word file in their order."""
    return [
        w
        for t in document.element.body.iter(qn("w:p"))
        for w in "".join(r.text or "" for r in t.iter(qn("w:t"))).split()
    ]


@pytest.mark.parametrize("name", [name for name in NAMES if name != "hostile"])
def test_word_file_holds_the_same_words(name: str) -> None:
    assert text_of(word(name)) == words_of_markdown((GOLDENS / f"{name}.md").read_text(encoding="utf-8"))


def test_headings_are_headings() -> None:
    headings = [(p.style.name, p.text) for p in word("alarm_referred").paragraphs if p.style.name.startswith("Heading")]
    assert headings[0] == ("Heading 1", "Closeout report")
    assert ("Heading 2", "Readings") in headings


def test_head_repeats_and_no_row_breaks() -> None:
    table = next(t for t in word("alarm_referred").tables if t.rows[0].cells[0].text == "At")
    heads = [row._tr.trPr.find(qn("w:tblHeader")) is not None for row in table.rows]
    assert heads == [True] + [False] * 16
    assert all(row._tr.trPr.find(qn("w:cantSplit")) is not None for row in table.rows)


def test_picture_has_words_and_marks_are_decorative() -> None:
    properties = list(word("split_block").element.body.iter(qn("wp:docPr")))
    described = [p.get("descr") for p in properties if p.get("descr")]
    assert len(described) == 1
    assert "66 block, pair\u00a09, rows 17 and 18, right: as found fail (no dial tone), as left pass" in described[0]
    assert sum("decorative" in child.tag for p in properties for child in p.iter()) == len(properties) - 1 == 13


def test_properties_are_those_of_the_call() -> None:
    properties = word("split_block").core_properties
    assert properties.author == "Ray Colburn"
    assert properties.created.replace(tzinfo=None) == datetime(2026, 3, 4, 12)
    assert properties.title == "Closeout report · 440712 · Quiet Harbor Lamp Shop, Alder Street"
    assert properties.comments == ""


def test_unknown_day_and_person_stay_empty() -> None:
    properties = word("talk_only").core_properties
    assert (properties.author, properties.created, properties.modified) == ("", None, None)


def test_footer_counts_pages() -> None:
    footer = word("split_block").sections[0].footer._element.xml
    assert "PAGE" in footer
    assert "NUMPAGES" in footer
    assert "Work order 440712, page " in footer


def test_paper_is_letter() -> None:
    section = word("split_block").sections[0]
    assert (section.page_width.inches, section.page_height.inches) == (8.5, 11.0)


def test_numbers_stand_under_each_other() -> None:
    table = next(t for t in word("cable_certified").tables if t.rows[0].cells[0].text == "At")
    indents = {r.cells[3].text: r.cells[3].paragraphs[0].paragraph_format.left_indent for r in table.rows}
    assert indents["1,020\u202fns"] is None
    assert indents["201\u202fft"] < indents["31\u202fns"] < indents["0.6\u202fdB"]
    assert indents["pass"] is None


def test_shipped_styles_are_those_of_the_script() -> None:
    styles = Document(str(templates() / "closeout.docx")).styles
    for style in STYLES:
        made = styles[style.name]
        assert made.element.rPr.rFonts.get(qn("w:ascii")) == FONT
        assert made.element.rPr.rFonts.get(qn("w:asciiTheme")) is None
        assert str(made.font.color.rgb) == style.color
        assert style.character or made.font.size.pt == style.size


@pytest.mark.parametrize(
    ("wished", "pairs", "expected"),
    [
        ([50, 50, 50], False, [50, 100, 50]),
        ([50, 100], False, [50, 150]),
        ([20, 300, 30], False, [20, 150, 30]),
        ([20, 30, 20, 40, 20, 20], True, [20, 50, 20, 60, 20, 20]),
    ],
)
def test_column_widths_fill_the_page(wished: list[float], pairs: bool, expected: list[float]) -> None:
    assert column_widths(wished, float(sum(expected)), pairs=pairs) == pytest.approx(expected)
