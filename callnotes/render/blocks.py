"""The blocks of a document, parsed from Markdown: headings, paragraphs, lists and tables, made of spans."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from markdown_it.token import Token


@dataclass(frozen=True)
class Span:
    """A stretch of text of one weight; or, with ``image``, a picture or mark whose words are ``text``."""

    text: str
    strong: bool = False
    light: bool = False
    image: str | None = None


Spans = tuple[Span, ...]


@dataclass(frozen=True)
class Heading:
    level: int
    spans: Spans


@dataclass(frozen=True)
class Paragraph:
    spans: Spans


@dataclass(frozen=True)
class Bullets:
    """A list; ``ordered`` with numbers from 1."""

    ordered: bool
    items: tuple[Spans, ...]


@dataclass(frozen=True)
class Table:
    """Rows of cells. ``right`` tells which columns hold numbers, to be aligned on the decimal point."""

    header: tuple[Spans, ...]
    rows: tuple[tuple[Spans, ...], ...]
    right: tuple[bool, ...]


Block = Heading | Paragraph | Bullets | Table


def blocks_of(markdown: str) -> tuple[Block, ...]:
    """Markdown as blocks. HTML in it stays text; links keep their words only."""
    from markdown_it import MarkdownIt

    parser = MarkdownIt("commonmark", {"html": False}).enable("table")
    # The schemes of pictures and marks are ours, and no address of any kind is ever followed.
    parser.validateLink = lambda url: True  # type: ignore[method-assign]
    tokens = parser.parse(markdown)
    return tuple(_blocks(iter(tokens)))


def words_of(spans: Spans) -> str:
    """The text of spans; a picture or mark counts as its words."""
    return "".join(span.text for span in spans)


def _blocks(tokens: Iterator[Token]) -> Iterator[Block]:
    for token in tokens:
        if token.type == "heading_open":
            yield Heading(int(token.tag[1]), _spans(next(tokens).children or []))
        elif token.type in ("bullet_list_open", "ordered_list_open"):
            yield _bullets(tokens, token)
        elif token.type == "table_open":
            yield _table(tokens)
        elif token.type == "inline":
            yield Paragraph(_spans(token.children or []))
        elif token.type in ("code_block", "fence"):
            yield Paragraph((Span(token.content.strip()),))


def _bullets(tokens: Iterator[Token], opening: Token) -> Bullets:
    closing = opening.type.replace("_open", "_close")
    items: list[Spans] = []
    for token in tokens:
        if token.type == closing and token.level == opening.level:
            break
        if token.type == "list_item_open":
            items.append(())
        elif token.type == "inline" and items:
            gap = (Span(" "),) if items[-1] else ()
            items[-1] += gap + _spans(token.children or [])
    return Bullets(opening.type.startswith("ordered"), tuple(items))


def _table(tokens: Iterator[Token]) -> Table:
    rows: list[list[Spans]] = []
    right: list[bool] = []
    for token in tokens:
        if token.type == "table_close":
            break
        if token.type == "tr_open":
            rows.append([])
        elif token.type == "th_open":
            right.append("right" in str(token.attrGet("style")))
        elif token.type == "inline":
            rows[-1].append(_spans(token.children or []))
    return Table(tuple(rows[0]), tuple(tuple(row) for row in rows[1:]), tuple(right))


def _spans(children: Sequence[Token]) -> Spans:
    spans: list[Span] = []
    strong = light = 0
    for child in children:
        if child.type in ("strong_open", "strong_close"):
            strong += child.nesting
        elif child.type in ("em_open", "em_close"):
            light += child.nesting
        elif child.type == "image":
            spans.append(Span(child.content, bool(strong), bool(light), str(child.attrGet("src"))))
        elif child.type in ("softbreak", "hardbreak"):
            spans.append(Span("\n" if child.type == "hardbreak" else " ", bool(strong), bool(light)))
        elif child.content:
            spans.append(Span(child.content, bool(strong), bool(light)))
    return tuple(spans)
