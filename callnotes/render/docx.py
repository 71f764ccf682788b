"""Writes the sections of a document as a Word file, on the styles of ``closeout.docx``."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from callnotes.errors import TemplateError
from callnotes.records import Timeline
from callnotes.render import docx_parts as parts
from callnotes.render.alignment import shifts, width_of
from callnotes.render.blocks import Bullets, Heading, Paragraph, Spans, Table, words_of
from callnotes.render.clock import day_of
from callnotes.render.diagram import POINTS_A_UNIT, png
from callnotes.render.document import Section, places
from callnotes.render.escape import plain
from callnotes.render.html import mark_svg

TEMPLATE = "closeout.docx"
WIDEST_PT = 6.4 * 72
MARK_PT = 7.0
# What a column needs besides its text: the gap to the next, and a mark in place of its letter.
WIDER_PT = 8.0
# Where a table of the section is set in another style than "Table Text".
TABLE_STYLES = {"head": "Head Text", "sign_off": "Sign-off"}


def document(
    sections: Sequence[Section], picture: str | None, timeline: Timeline, title: str, folder: Path | None = None
) -> bytes:
    """The Word file as bytes. ``picture`` is the path as SVG, None where there is none."""
    path = next(place / TEMPLATE for place in places("closeout", folder) if (place / TEMPLATE).is_file())
    writer = _Writer(_opened(path), picture)
    try:
        for section in sections:
            writer.section(section)
        _properties(writer.word, timeline, title)
        parts.page_numbers(writer.word, plain(timeline.call.work_order or ""))
    except KeyError as error:
        raise TemplateError(f"lacks a style: {error}", where=str(path), hint="add the style in Word") from error
    out = io.BytesIO()
    writer.word.save(out)
    return out.getvalue()


def _opened(path: Path) -> Any:
    """The template without content; ``TemplateError`` if Word could not open it."""
    from zipfile import BadZipFile

    from docx import Document
    from docx.opc.exceptions import OpcError

    try:
        word = Document(str(path))
    except (OpcError, BadZipFile, KeyError, ValueError, OSError) as error:
        raise TemplateError("is no Word file", where=str(path), hint="save it from Word as .docx") from error
    for element in list(word.element.body):
        if not element.tag.endswith("}sectPr"):
            word.element.body.remove(element)
    return word


class _Writer:
    """Adds block after block to an open Word document."""

    def __init__(self, word: Any, picture: str | None) -> None:
        self.word = word
        self.picture = picture
        self.marks: dict[str, bytes] = {}
        page = word.sections[0]
        self.room_pt = float((page.page_width - page.left_margin - page.right_margin) / 12700)

    def section(self, section: Section) -> None:
        for number, block in enumerate(section.blocks):
            made = section.name == "made"
            if isinstance(block, Heading):
                level = min(block.level + made, 3)
                paragraph = self.word.add_paragraph(style=self.style(f"Heading {level}"))
                self.fill(paragraph, block.spans)
            elif isinstance(block, Paragraph):
                paragraph = self.word.add_paragraph(style=self.style("Made" if made else "Normal"))
                self.fill(paragraph, block.spans)
            elif isinstance(block, Bullets):
                for item in block.items:
                    style = "List Number" if block.ordered else "List Bullet"
                    self.fill(self.word.add_paragraph(style=self.style(style)), item)
                continue
            else:
                self.table(block, section.name)
                continue
            if section.details and number == 0:
                paragraph.paragraph_format.page_break_before = True
            elif number == 0 and isinstance(block, Paragraph):
                parts.set_off(paragraph)

    def style(self, name: str) -> Any:
        return self.word.styles[name]

    def fill(self, paragraph: Any, spans: Spans) -> None:
        """Text, marks and the picture of the path into a paragraph."""
        for number, span in enumerate(spans):
            if span.image == "picture:path":
                self._path(paragraph, span.text)
            elif span.image:
                self._mark(paragraph, span.image.removeprefix("mark:"))
            else:
                run = paragraph.add_run(plain_lines(span.text))
                run.bold = span.strong or None
                if span.strong and number == 0 and paragraph.style.name in ("Normal", "Made"):
                    run.style = self.style("Lead" if paragraph.style.name == "Normal" else "Soft")
                elif span.light:
                    run.style = self.style("Soft")

    def table(self, table: Table, name: str) -> None:
        """A table over the width of the page; a header that repeats, and no row that breaks over pages."""
        headed = any(words_of(cell) for cell in table.header)
        rows = ([table.header] if headed else []) + list(table.rows)
        word = self.word.add_table(rows=len(rows), cols=len(table.header))
        text = self.style(TABLE_STYLES.get(name, "Table Text"))
        lined = name not in TABLE_STYLES
        moved = [
            shifts([words_of(row[i]) for row in table.rows]) if right else () for i, right in enumerate(table.right)
        ]
        wished = [self._wish(rows, place, max(filter(None, moved[place]), default=0)) for place in range(len(rows[0]))]
        wished = (
            [width * text.font.size.pt + WIDER_PT for width in wished]
            if name != "sign_off"
            else [self.room_pt] * len(wished)
        )
        parts.set_table(word, parts.column_widths(wished, self.room_pt, pairs=name == "head"), lined=lined)
        for number, (row, made) in enumerate(zip(rows, word.rows, strict=True)):
            head = headed and number == 0
            parts.set_row(made, head=head)
            for place, (cell, spans) in enumerate(zip(made.cells, row, strict=True)):
                paragraph = cell.paragraphs[0]
                paragraph.style = self.style("Table Head") if head else text
                self.fill(paragraph, spans)
                if moved[place] and not head:
                    parts.move_right(paragraph, moved[place][number - headed])
                if name == "head" and place % 2 == 0:
                    parts.soften(paragraph, self.style("Soft"))
        parts.finish_table(word, name)

    @staticmethod
    def _wish(rows: Sequence[tuple[Spans, ...]], place: int, shift: float) -> float:
        """How wide a column would like to be, in ems: as its longest cell, a mark being nearly an em wide."""
        return shift + max(width_of(words_of(row[place])) + sum(0.9 for s in row[place] if s.image) for row in rows)

    def _mark(self, paragraph: Any, name: str) -> None:
        from docx.shared import Pt

        if name not in self.marks:
            self.marks[name] = png(mark_svg(name).replace("<svg ", '<svg width="16" height="16" ', 1), zoom=8)
        shape = paragraph.add_run().add_picture(io.BytesIO(self.marks[name]), height=Pt(MARK_PT))
        parts.decorative(shape)

    def _path(self, paragraph: Any, words: str) -> None:
        from docx.shared import Pt

        if self.picture is None:
            return
        width = min(parts.svg_width(self.picture) * POINTS_A_UNIT, WIDEST_PT)
        shape = paragraph.add_run().add_picture(io.BytesIO(png(self.picture)), width=Pt(width))
        parts.describe(shape, words)
        parts.center(paragraph)


def plain_lines(text: str) -> str:
    """Text that XML can hold; a line break stays one."""
    return (
        "\n".join(plain(line) if line.strip() != line else line for line in text.split("\n")) if "\n" in text else text
    )


def _properties(word: Any, timeline: Timeline, title: str) -> None:
    """Title, author and day of the call; a document that was not dated in words says nothing of a day."""
    properties = word.core_properties
    properties.title = title[:255]
    properties.author = ", ".join(plain(name) for name in timeline.call.technicians)[:255]
    properties.comments = properties.last_modified_by = properties.keywords = ""
    day = day_of(timeline)
    for name in ("created", "modified"):
        if day:
            setattr(properties, name, datetime(day.year, day.month, day.day, 12))
        else:
            parts.drop_date(properties, name)
