"""What was said is data: it comes out as said, in every form, and does nothing."""

from __future__ import annotations

import io
import re
import zipfile
from xml.etree import ElementTree

import pytest
from docx import Document
from markdown_it import MarkdownIt

from callnotes.render import render_report
from callnotes.render.blocks import Paragraph, blocks_of, words_of
from callnotes.render.escape import markdown, plain
from callnotes.trade import Trade

from .conftest import finished
from .test_goldens import words_of_page

SAID = (
    "<script>alert(1)</script> | *bold* {{ call.site }} {% raw %} `x` [a](javascript:x) =cmd|'/C calc'!A0 &amp; gnirts"
)
SENTENCES = [
    "# not a heading",
    "- no item",
    "+ no item",
    "1. no number",
    "12) no number",
    "> no quote",
    "===",
    "---",
    "***",
    "```",
    "~~~",
    "a | b",
    "[x]: http://example.org",
    "![x](mark:pass)",
    "![x](picture:path)",
    "<b>&lt;</b>",
    "a\\*b",
    "back\\",
    "_under_ and **strong**",
    ": --- :",
    "    code",
    "\ttab",
    "two  spaces",
    "line\nbreak # here",
    "=1+1",
    "@SUM(A1)",
    "http://example.org",
]


@pytest.mark.parametrize("said", SENTENCES)
def test_markdown_shows_just_what_was_said(said: str) -> None:
    blocks = blocks_of(str(markdown(said)))
    assert [type(block) for block in blocks] == [Paragraph]
    assert words_of(blocks[0].spans) == plain(said)
    assert all(span.image is None and not span.strong and not span.light for span in blocks[0].spans)


@pytest.mark.parametrize("said", SENTENCES)
def test_markdown_stays_in_its_cell(said: str) -> None:
    (table,) = blocks_of(f"| a | b |\n| --- | --- |\n| {markdown(said)} | end |")
    assert [words_of(cell) for cell in table.rows[0]] == [plain(said), "end"]


def test_steering_and_control_marks_are_gone() -> None:
    assert plain("a\u202egnp\u202cb\u200f \x00\x07\x1b[31m\u2028c\ud800") == "agnpb [31m c"
    assert plain("שלום") == "שלום"


def test_page_shows_it_as_text(trade: Trade) -> None:
    page = words_of_page(render_report(finished("hostile"), trade, kind="html"))
    assert not page.tags & {"script", "a", "img", "b", "h3"}
    assert SAID in " ".join(page.words)


def test_markdown_makes_no_html_and_no_link(trade: Trade) -> None:
    text = render_report(finished("hostile"), trade, kind="md").decode()
    tokens = MarkdownIt("commonmark").enable("table").parse(text)
    kinds = {child.type for token in tokens for child in [token, *(token.children or [])]}
    assert not kinds & {"html_inline", "html_block", "link_open", "image", "code_inline", "fence"}


def test_word_file_holds_it_as_text(trade: Trade) -> None:
    made = render_report(finished("hostile"), trade, kind="docx")
    with zipfile.ZipFile(io.BytesIO(made)) as archive:
        for name in archive.namelist():
            if name.endswith(".xml"):
                ElementTree.fromstring(archive.read(name))
        assert not re.search(r'w:instr="|HYPERLINK \\', archive.read("word/document.xml").decode())
    assert any(SAID in paragraph.text for paragraph in Document(io.BytesIO(made)).paragraphs)
