"""Whole reports as Markdown against files that a person has read; CALLNOTES_REWRITE=1 writes them anew."""

from __future__ import annotations

import os
import re
from html.parser import HTMLParser

import pytest

from callnotes.errors import OptionError
from callnotes.records import Timeline
from callnotes.render import render_report
from callnotes.render.facts import GLYPHS
from callnotes.trade import Trade

from .conftest import GOLDENS, NAMES, finished


class Words(HTMLParser):
    """The words of a page, pictures and styles left out."""

    def __init__(self) -> None:
        super().__init__()
        self.inside = 0
        self.words: list[str] = []
        self.tags: set[str] = set()

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tags.add(tag)
        self.inside += tag in ("svg", "style", "title")

    def handle_endtag(self, tag: str) -> None:
        self.inside -= tag in ("svg", "style", "title")

    def handle_data(self, data: str) -> None:
        if not self.inside:
            self.words += data.split()


def words_of_page(page: bytes) -> Words:
    found = Words()
    found.feed(page.decode())
    return found


def words_of_markdown(text: str) -> list[str]:
    """The words of a report in Markdown, without its own marks and without the table for the picture."""
    body = re.sub(r"\| Path, provider first.*?\n\n", "", text, flags=re.DOTALL)
    body = re.sub(r"(?m)^\|[ :|-]+\|$|^#+ |^- |(?<!\\)\*|(?<!\\)\|", " ", body)
    body = re.sub(f"[{''.join(set(GLYPHS.values()))}] (?=(pass|fail|marginal|not judged|not put|\\d))", "", body)
    return re.sub(r"\\(?=[^\w\s])", "", body).split()


@pytest.mark.parametrize("name", NAMES)
def test_markdown_is_as_it_was_read(name: str, trade: Trade) -> None:
    made = render_report(finished(name), trade, kind="md").decode()
    golden = GOLDENS / f"{name}.md"
    if os.environ.get("CALLNOTES_REWRITE"):
        golden.write_text(made, encoding="utf-8")
    assert made == golden.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", [name for name in NAMES if name != "hostile"])
def test_page_holds_the_same_words(name: str, trade: Trade) -> None:
    page = render_report(finished(name), trade, kind="html")
    assert words_of_page(page).words == words_of_markdown((GOLDENS / f"{name}.md").read_text(encoding="utf-8"))


@pytest.mark.parametrize("kind", ["md", "html", "json"])
def test_same_timeline_gives_the_same_bytes(kind: str, trade: Trade) -> None:
    call = finished("alarm_referred")
    assert render_report(call, trade, kind=kind) == render_report(call, trade, kind=kind)


def test_json_is_the_timeline(trade: Trade) -> None:
    call = finished("split_block")
    assert Timeline.model_validate_json(render_report(call, trade, kind="json")) == call


def test_page_needs_nothing_from_elsewhere(trade: Trade) -> None:
    page = render_report(finished("split_block"), trade, kind="html").decode()
    assert set(re.findall(r"https?://[^\s\"']+", page)) == {"http://www.w3.org/2000/svg"}
    assert not words_of_page(page.encode()).tags & {"script", "link", "iframe", "object", "form"}
    assert "default-src 'none'" in page


def test_many_rows_follow_on_the_next_page(trade: Trade) -> None:
    page = render_report(finished("alarm_referred"), trade, kind="html").decode()
    order = re.findall(r'<section class="([\w ]+)"', page)
    assert order[:5] == ["head", "summary", "path", "open_items", "cautions"]
    assert order[5:] == ["sign_off", "readings details", "actions", "ledger", "materials", "made"]


def test_few_rows_stay_in_order(trade: Trade) -> None:
    page = render_report(finished("split_block"), trade, kind="html").decode()
    order = "head summary path readings actions ledger materials open_items cautions sign_off made"
    assert re.findall(r'<section class="([\w ]+)"', page) == order.split()


def test_unknown_kind_lists_those_there_are(trade: Trade) -> None:
    with pytest.raises(OptionError, match="docx, html, md, json"):
        render_report(finished("talk_only"), trade, kind="pdf")  # type: ignore[arg-type]
