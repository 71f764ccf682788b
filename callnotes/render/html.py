"""Writes the sections of a document as one HTML file that needs nothing else: styles and pictures are inside."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from html import escape
from pathlib import Path

from callnotes.errors import TemplateError
from callnotes.render.alignment import shifts
from callnotes.render.blocks import Block, Bullets, Heading, Paragraph, Span, Spans, Table, words_of
from callnotes.render.document import Section, page_environment, places, render

MARKS = {
    "pass": '<circle cx="8" cy="8" r="6.8" stroke="#009e73"/><path d="M4.9 8.2L7.1 10.5L11.2 5.6" stroke="#009e73"/>',
    "fail": '<path d="M3 3L13 13M13 3L3 13" stroke="#d55e00" stroke-width="2.4"/>',
    "marginal": '<path d="M8 2L14.5 13.5H1.5Z" stroke="#e69f00" stroke-width="1.8"/>',
    "none": '<path d="M3 8H13" stroke="#7f7f7f"/>',
}


def page(sections: Sequence[Section], pictures: Sequence[str], title: str, folder: Path | None = None) -> bytes:
    """The whole page in UTF-8. ``pictures``: the path as SVG, the wide one first, the one for phones second."""
    from markupsafe import Markup

    style = _found("style.css", folder)
    body = "\n".join(_section(section, pictures) for section in sections)
    values = {
        "title": title,
        # "</style" cannot stand in a style sheet that means well.
        "style": Markup(style.replace("</", "<\\/")),
        "logo": _logo(folder),
        "body": Markup(body),
    }
    return render(page_environment("closeout", folder), "page.html.j2", values).strip().encode() + b"\n"


def mark_svg(name: str) -> str:
    """One mark as a small SVG; its word always stands beside it, so it is silent for a screen reader."""
    shapes = MARKS.get(name, MARKS["none"])
    opening = '<svg class="mark" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 16 16" aria-hidden="true" fill="none"'
    return f'{opening} stroke-width="1.7" stroke-linecap="round" stroke-linejoin="round">{shapes}</svg>'


def _section(section: Section, pictures: Sequence[str]) -> str:
    inner = "\n".join(_block(block, pictures) for block in section.blocks)
    details = " details" if section.details else ""
    return f'<section class="{escape(section.name)}{details}">\n{inner}\n</section>'


def _block(block: Block, pictures: Sequence[str]) -> str:
    if isinstance(block, Heading):
        return f"<h{block.level}>{_spans(block.spans, pictures)}</h{block.level}>"
    if isinstance(block, Paragraph):
        only = block.spans[0].image if len(block.spans) == 1 else None
        if only == "picture:path":
            return _picture(block.spans[0], pictures)
        return f"<p>{_spans(block.spans, pictures)}</p>"
    if isinstance(block, Bullets):
        tag = "ol" if block.ordered else "ul"
        items = "\n".join(f"<li>{_spans(item, pictures)}</li>" for item in block.items)
        return f"<{tag}>\n{items}\n</{tag}>"
    return _table(block, pictures)


def _picture(span: Span, pictures: Sequence[str]) -> str:
    words = escape(span.text, quote=True)
    drawn = []
    for name, picture in zip(("wide", "narrow"), pictures, strict=False):
        drawn.append(picture.replace("<svg ", f'<svg class="{name}" role="img" aria-label="{words}" ', 1))
    return "<p>" + "\n".join(drawn) + "</p>"


def _table(table: Table, pictures: Sequence[str]) -> str:
    lines = ["<table>"]
    if any(words_of(cell) for cell in table.header):
        heads = "".join(f'<th scope="col">{_spans(cell, pictures)}</th>' for cell in table.header)
        lines.append(f"<thead><tr>{heads}</tr></thead>")
    moved = [shifts([words_of(row[i]) for row in table.rows]) if right else () for i, right in enumerate(table.right)]
    lines.append("<tbody>")
    for number, row in enumerate(table.rows):
        cells = []
        for place, cell in enumerate(row):
            shift = moved[place][number] if moved[place] else None
            attributes = "" if shift is None else f' class="number" style="padding-left:{shift:.3f}em"'
            cells.append(f"<td{attributes}>{_spans(cell, pictures)}</td>")
        lines.append(f"<tr>{''.join(cells)}</tr>")
    return "\n".join([*lines, "</tbody>", "</table>"])


def _spans(spans: Spans, pictures: Sequence[str]) -> str:
    made = []
    for span in spans:
        if span.image and span.image.startswith("mark:"):
            made.append(mark_svg(span.image.removeprefix("mark:")))
            continue
        if span.image == "picture:path":
            made.append(_picture(span, pictures).removeprefix("<p>").removesuffix("</p>"))
            continue
        text = escape(span.text, quote=False).replace("\n", "<br>")
        if span.light:
            text = f"<em>{text}</em>"
        made.append(f"<strong>{text}</strong>" if span.strong else text)
    return "".join(made)


def _found(name: str, folder: Path | None) -> str:
    path = next((place / name for place in places("closeout", folder) if (place / name).is_file()), None)
    try:
        return path.read_text(encoding="utf-8") if path else ""
    except (OSError, UnicodeDecodeError) as error:
        raise TemplateError("cannot be read as text", where=str(path), hint="check the file") from error


def _logo(folder: Path | None) -> str | None:
    """A firm's ``logo.png`` as a data address, or None."""
    path = folder / "logo.png" if folder else None
    if path is None or not path.is_file():
        return None
    return "data:image/png;base64," + base64.b64encode(path.read_bytes()).decode()
