"""Places the stations of the path and draws them: as SVG from a template, as PNG for Word.

All lengths are in units of the picture; one unit is 0.74 points on paper.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path as File

from callnotes.errors import TemplateError
from callnotes.render.alignment import width_of
from callnotes.render.escape import plain
from callnotes.render.path import Mark, Path, Station

# The first family that a machine has is used; the last comes with a package that we depend on.
FAMILIES = ("Arial", "Liberation Sans", "Helvetica", "Lato")
WIDE, NARROW = 6, 3
MARGIN, COLUMN, LINE = 66.0, 104.0, 14.0
NAME_SIZE, PHRASE_SIZE = 12.5, 11.5
PHRASE_LINES = 2
POINTS_A_UNIT = 0.74


@dataclass(frozen=True)
class Text:
    """A line of text. ``x``, ``y``: middle (or, with ``start``, beginning) of its base line."""

    x: float
    y: float
    text: str
    size: float = NAME_SIZE
    style: str = "name"
    start: bool = False


@dataclass(frozen=True)
class Line:
    x1: float
    y1: float
    x2: float
    y2: float
    style: str = "rail"


@dataclass(frozen=True)
class Sign:
    """A mark (pass, fail, marginal, none, unread), a node of the path, or the sign of the fault."""

    x: float
    y: float
    name: str


@dataclass(frozen=True)
class Picture:
    """Everything placed; ``width`` and ``height`` in units."""

    width: float
    height: float
    texts: tuple[Text, ...]
    lines: tuple[Line, ...]
    signs: tuple[Sign, ...]


def svg(path: Path, folder: File | None = None, *, columns: int = WIDE) -> str:
    """The picture of a path as an ``<svg>`` element, from the template ``path.svg.j2``."""
    from callnotes.render.document import page_environment, render

    picture = placed(path, columns=columns)
    return render(
        page_environment("closeout", folder), "path.svg.j2", {"picture": picture, "families": FAMILIES}
    ).strip()


def png(drawn: str, *, zoom: float = 3.0, system_fonts: bool = True) -> bytes:
    """An SVG as PNG on white. Text is drawn in the first of ``FAMILIES`` that there is; one comes with us.

    ``system_fonts`` False leaves only that one, so that every machine draws the same.
    """
    import font_lato
    import resvg_py

    fonts = [str(font_lato.Lato), str(font_lato.LatoBold)]
    try:
        return bytes(
            resvg_py.svg_to_bytes(
                svg_string=drawn,
                zoom=zoom,
                background="#ffffff",
                font_files=fonts,
                font_family=FAMILIES[-1],
                skip_system_fonts=not system_fonts,
            )
        )
    except ValueError as error:
        raise TemplateError(f"gives no picture: {error}", where="path.svg.j2", hint="mend the template") from error


def placed(path: Path, *, columns: int = WIDE) -> Picture:
    """Stations in rows of at most ``columns``, each with its names over the line and its marks under it."""
    drawing = _Drawing()
    top = 0.0
    rows = _rows(path.stations, columns)
    for number, row in enumerate(rows):
        top = drawing.row(row, top, path, last=number == len(rows) - 1, first=number == 0) + 16
    width = MARGIN + COLUMN * max((len(row) for row in rows), default=0)
    return Picture(width, max(top - 16, 0), tuple(drawing.texts), tuple(drawing.lines), tuple(drawing.signs))


def _rows(stations: Sequence[Station], columns: int) -> list[list[Station]]:
    """Stations in rows of about equal length; two sides of one block stay together where they can."""
    rows: list[list[Station]] = []
    waiting = list(stations)
    while waiting:
        length = math.ceil(len(waiting) / math.ceil(len(waiting) / columns))
        if len(waiting) > length and waiting[length - 1].twin and length > 1:
            length -= 1
        rows.append(waiting[:length])
        waiting = waiting[length:]
    return rows


class _Drawing:
    """Collects what is placed, row by row."""

    def __init__(self) -> None:
        self.texts: list[Text] = []
        self.lines: list[Line] = []
        self.signs: list[Sign] = []

    def row(self, row: list[Station], top: float, path: Path, *, first: bool, last: bool) -> float:
        """Places one row from ``top`` on and returns where it ends."""
        rail = top + self._names(row, top) + 10
        alone = all(station.branch for station in path.stations)
        self._rail(row, rail, alone=alone, continued=not first, continues=not last)
        y = rail + (26 if any(s.fault or s.fault_after for s in row) else 20 if any(s.branch for s in row) else 14)
        if not path.both:
            return self._marks(row, [s.only for s in row], "As read", y)
        y = self._marks(row, [s.found for s in row], "As found", y)
        self.lines.append(Line(0, y + 3, MARGIN + COLUMN * len(row), y + 3, "hair"))
        return self._marks(row, [s.left for s in row], "As left", y + 7)

    def _names(self, row: list[Station], top: float) -> float:
        """The names, standing on one base line; returns their height."""
        paired = [s.twin and place + 1 < len(row) for place, s in enumerate(row)]
        blocks = [
            _name_lines(s, wide=paired[place] or (place > 0 and paired[place - 1])) for place, s in enumerate(row)
        ]
        height = 2 + LINE * max(len(shared) + len(own) for shared, own in blocks)
        for place, (shared, own) in enumerate(blocks):
            x = _middle(place)
            y = top + height - LINE * len(own)
            for number, line in enumerate(own):
                self.texts.append(Text(x, y + LINE * (number + 1) - 4, line, style="side" if shared else "name"))
            if not shared or (place and paired[place - 1]):
                continue
            x += COLUMN / 2 if paired[place] else 0
            y -= 2 if paired[place] else 0
            for number, line in enumerate(shared):
                self.texts.append(Text(x, y - LINE * (len(shared) - number - 1) - 4, line))
            if paired[place]:
                self.lines.append(Line(x - COLUMN * 0.9, y, x + COLUMN * 0.9, y, "hair"))
        return height

    def _rail(self, row: list[Station], y: float, *, alone: bool, continued: bool, continues: bool) -> None:
        ends = [_middle(0), _middle(len(row) - 1)]
        if not alone:
            self.lines.append(Line(ends[0] - (20 if continued else 0), y, ends[1] + (20 if continues else 0), y))
        for place, station in enumerate(row):
            x = _middle(place)
            node = y + 8 if station.branch and not alone else y
            if node != y:
                self.lines.append(Line(x, y, x, node))
            self.signs.append(Sign(x, node, "node"))
            if station.fault:
                self.signs.append(Sign(x, node, "fault"))
                self.texts.append(Text(x + 12, y + 14, "fault", PHRASE_SIZE, "fault", start=True))
            if station.fault_after:
                self.signs.append(Sign(x + COLUMN / 2, y, "break"))
                self.texts.append(Text(x + COLUMN / 2, y + 17, "fault", PHRASE_SIZE, "fault"))

    def _marks(self, row: list[Station], marks: list[Mark], label: str, top: float) -> float:
        """A row of marks with their words and readings; returns where it ends."""
        self.texts.append(Text(0, top + 12, label, PHRASE_SIZE, "label", start=True))
        deepest = 1
        for place, mark in enumerate(marks):
            x = _middle(place)
            wide = 18 + NAME_SIZE * width_of(mark.word)
            self.signs.append(Sign(x - wide / 2 + 6.5, top + 7.5, mark.name))
            style = "unread" if mark.name in ("none", "unread") else "word"
            self.texts.append(Text(x - wide / 2 + 18, top + 12, mark.word, NAME_SIZE, style, start=True))
            lines = _wrapped(mark.phrase, PHRASE_SIZE, PHRASE_LINES)
            deepest = max(deepest, 1 + len(lines))
            for number, line in enumerate(lines):
                self.texts.append(Text(x, top + 13 + LINE * (number + 1), line, PHRASE_SIZE, "phrase"))
        return top + 16 + LINE * (deepest - 1)


def _middle(place: int) -> float:
    return MARGIN + COLUMN * (place + 0.5)


def _name_lines(station: Station, *, wide: bool) -> tuple[list[str], list[str]]:
    """The lines that two sides of one point share (``wide``: over both), and the station's own."""
    room = COLUMN * (2 if wide else 1)
    if wide:
        shared = _wrapped(", ".join([station.noun, *station.details]), NAME_SIZE, 2, room)
    else:
        shared = _wrapped(station.noun, NAME_SIZE, 2)
        shared += [line for detail in station.details for line in _wrapped(detail, NAME_SIZE, 1)]
    side = _wrapped(station.side or "", NAME_SIZE, 1)
    return (shared, side) if side else ([], shared)


def _wrapped(text: str, size: float, most: int, column: float = COLUMN) -> list[str]:
    """The text in at most ``most`` lines of a column's width; what does not fit ends in an ellipsis."""
    room = column - 8
    lines: list[str] = []
    for word in plain(text).split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and size * width_of(longer) <= room:
            lines[-1] = longer
        elif word:
            lines.append(word)
    shown = [_cut(line, size, room) for line in lines[:most]]
    if len(lines) > most:
        shown[-1] = _cut(shown[-1].rstrip("…") + "…", size, room)
    return shown


def _cut(line: str, size: float, room: float) -> str:
    if size * width_of(line) <= room:
        return line
    body = line.rstrip("…")
    while body and size * width_of(body + "…") > room:
        body = body[:-1]
    return body.rstrip() + "…"
