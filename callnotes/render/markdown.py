"""Writes the sections of a document as Markdown that any reader shows; pictures become words and tables."""

from __future__ import annotations

import re
from collections.abc import Sequence

from callnotes.render.document import Section
from callnotes.render.escape import markdown
from callnotes.render.facts import GLYPHS
from callnotes.render.names import Names
from callnotes.render.path import Mark, Path

MARK = re.compile(r"!\[([^\]]*)\]\(mark:\w+\)")
PICTURE = re.compile(r"!\[(?:\\.|[^\]\\])*\]\(picture:path\)")


def text(sections: Sequence[Section], path: Path, names: Names) -> bytes:
    """All sections in UTF-8: marks as characters, the path picture as a table of its stations."""
    parts = []
    for section in sections:
        body = MARK.sub(r"\1", section.markdown)
        parts.append(PICTURE.sub(lambda _: path_table(path, names), body))
    return ("\n\n".join(parts) + "\n").encode()


def path_table(path: Path, names: Names) -> str:
    """The stations of the path as a Markdown table."""
    heads = ["Path, provider first", "As found", "As left"] if path.both else ["Path, provider first", "As read"]
    lines = [f"| {' | '.join(heads)} |", f"|{' --- |' * len(heads)}"]
    for station in path.stations:
        marks = [station.found, station.left] if path.both else [station.only]
        fault = " **(fault)**" if station.fault else " **(fault after this point)**" if station.fault_after else ""
        cells = [f"{markdown(names.table(station.point))}{fault}", *map(_mark, marks)]
        lines.append(f"| {' | '.join(cells)} |")
    return "\n".join(lines)


def _mark(mark: Mark) -> str:
    words = f"{GLYPHS[mark.name]} {mark.word}"
    return f"{words}: {markdown(mark.phrase)}" if mark.phrase else words
