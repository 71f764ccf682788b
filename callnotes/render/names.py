"""What a test point is called: in a table, in a sentence, and under its mark in the path picture."""

from __future__ import annotations

from dataclasses import dataclass

from callnotes.records import Point
from callnotes.render.figures import NO_BREAK, series
from callnotes.render.words import Words
from callnotes.trade import Trade


@dataclass(frozen=True)
class Names:
    """Names points from the wording and the trade tables."""

    words: Words
    trade: Trade

    def noun(self, point: Point) -> str:
        """The point without its details: "66 block", "kitchen jack", "jack 12"."""
        kind = self.trade.point_kind(point.kind)
        noun = self.words.text("points", point.kind) or (kind.name if kind else point.kind.replace("_", " "))
        if point.block_type:
            noun = f"{point.block_type} {noun}"
        if point.label and point.kind == "other":
            return point.label
        if point.label and noun.split()[-1] in point.label.lower().split():
            return point.label
        if point.label:
            return f"{noun}{NO_BREAK}{point.label}" if _numbered(point.label) else f"{point.label} {noun}"
        return f"{noun} port{NO_BREAK}{point.port}" if point.port is not None else noun

    def details(self, point: Point) -> tuple[str, ...]:
        """What tells the point from others of its kind, side apart: ("pair 9", "rows 17 and 18")."""
        parts = []
        if point.line:
            parts.append(f"line{NO_BREAK}{point.line}")
        if point.port is not None and point.label:
            parts.append(f"port {point.port}")
        if point.column:
            parts.append(f"column {point.column}")
        if point.pair is not None:
            parts.append(f"pair{NO_BREAK}{point.pair}")
        if point.color:
            parts.append(f"{point.color} pair")
        if point.row:
            parts.append(_several("row", point.row))
        if point.pins:
            parts.append(_several("pin", point.pins))
        return tuple(parts)

    def side(self, point: Point) -> str | None:
        """The side in words: "left side"."""
        return (self.words.text("sides", point.side) or f"{point.side} side") if point.side else None

    def _short_side(self, point: Point) -> str | None:
        return (self.side(point) or "").removesuffix(" side") or None

    def table(self, point: Point | None) -> str | None:
        """The whole name, general to particular: "66 block, pair 9, rows 17 and 18, right side"."""
        if point is None:
            return None
        return ", ".join(filter(None, (self.noun(point), *self.details(point), self._short_side(point))))

    def whole(self, point: Point) -> str:
        """The point in a sentence, its side left out: "the 66 block (pair 9)"."""
        noun = self.noun(point)
        bare = point.kind != "other" and noun[-1:].isdigit()
        details = self.details(point)[:1]
        return ("" if bare else "the ") + noun + (f" ({details[0]})" if details else "")

    def prose(self, point: Point) -> str:
        """The point in a sentence: "the right side of the 66 block (pair 9)"."""
        side = self.side(point)
        return f"the {side} of {self.whole(point)}" if side else self.whole(point)

    def located(self, point: Point, *, fault: bool = False) -> str:
        """Where something is: "on the left side of the 66 block", "at jack 12"; a fault may be "in the cable"."""
        if fault and not point.side and point.kind in (self.words.at("in", "kinds") or ()):
            return f"in {self.prose(point)}"
        on = point.kind == "cable" or point.side not in (None, "top", "bottom")
        return f"{'on' if on else 'at'} {self.prose(point)}"


def _several(noun: str, numbers: tuple[int, ...]) -> str:
    listed = series([str(n) for n in numbers])
    return f"{noun}{'s' if len(numbers) > 1 else ''} {listed}"


def _numbered(label: str) -> bool:
    return label[:1].isdigit() or len(label) == 1
