"""What people outside see: the closeout report of a finished timeline, in four forms from one content."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from callnotes.records import Timeline, to_json
from callnotes.trade import Trade

if TYPE_CHECKING:
    from callnotes.render.context import Report
    from callnotes.render.document import Section

Kind = Literal["docx", "html", "md", "json"]
KINDS: tuple[Kind, ...] = ("docx", "html", "md", "json")
# More lines than these do not fit on one page with the rest; the tables then follow on the next.
ONE_PAGE_LINES = 24
TABLES = ("readings", "sums", "actions", "ledger", "materials")

__all__ = ["KINDS", "Kind", "render_report"]


def render_report(timeline: Timeline, trade: Trade, *, kind: Kind, templates: Path | None = None) -> bytes:
    """The closeout report as the bytes of a file of that kind.

    ``templates`` is a firm's folder whose files override the shipped ones by name. The same timeline gives
    the same bytes, except for docx, whose archive carries a time. ``TemplateError`` names file and line of a
    template that does not load or render; ``OptionError`` an unknown kind.
    """
    from callnotes.errors import OptionError

    if kind not in KINDS:
        raise OptionError(f"no report of kind {kind!r}", hint=f"the kinds are {', '.join(KINDS)}")
    if kind == "json":
        return to_json(timeline).encode()
    from callnotes.render import diagram, document, facts, words

    wording = words.read_words(templates)
    report = facts.report_of(timeline, trade, wording)
    values = {field.name: getattr(report, field.name) for field in fields(report)}
    sections = _arranged(document.sections_of("closeout", values, templates), _lines(report, diagram.WIDE))
    if kind == "md":
        from callnotes.render import markdown, names

        return markdown.text(sections, report.path, names.Names(wording, trade))
    if kind == "html":
        from callnotes.render import html

        drawn = [diagram.svg(report.path, templates, columns=wide) for wide in (diagram.WIDE, diagram.NARROW)]
        return html.page(sections, drawn, _title(timeline), templates)
    from callnotes.render import docx

    picture = diagram.svg(report.path, templates) if report.path.stations else None
    return docx.document(sections, picture, timeline, _title(timeline), templates)


def _arranged(sections: tuple[Section, ...], lines: int) -> tuple[Section, ...]:
    """The sections in their order; where the lines are many, the tables after all that fits on the first page."""
    if lines <= ONE_PAGE_LINES:
        return sections
    tables = [section for section in sections if section.name in TABLES]
    rest = [section for section in sections if section.name not in TABLES]
    closing = 1 if rest and rest[-1].name == "made" else 0
    opening = [replace(section, details=not place) for place, section in enumerate(tables)]
    return (*rest[: len(rest) - closing], *opening, *rest[len(rest) - closing :])


def _lines(report: Report, stations_a_row: int) -> int:
    """About how many lines of a table's height the call needs beyond the shortest one."""
    pictures = max(math.ceil(len(report.path.stations) / stations_a_row), 1)
    return (
        len(report.readings)
        + len(report.sums)
        + 2 * bool(report.sums)
        + len(report.actions)
        + len(report.open_items)
        + 2 * len(report.cautions)
        + 8 * (pictures - 1)
    )


def _title(timeline: Timeline) -> str:
    from callnotes.render.escape import plain

    parts = ["Closeout report", timeline.call.work_order, timeline.call.site]
    return " · ".join(plain(part) for part in parts if part)
