"""Where the talk is, what holds there, and the points it has named so far."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from callnotes.calc.blocks import rows_of_pair
from callnotes.calc.colors import PAIRS_PER_BINDER
from callnotes.extract.places import Place
from callnotes.records import Point

_PORTED = {"switch", "patch_panel", "pbx", "ont"}
_PAIRED = {"block", "terminal", "cable", "demarc"}
# Kinds along one cable, whose port, pair or rows are the same thing seen from another end.
_SHARING = {"patch_panel", "switch", "cable", "jack", "block", "terminal", "pbx"}
_SHARED = ("port", "pair", "row", "color", "block_type", "label")
_BY_WORD = {"set", "jack", "device", "block"}
# A new detail puts out those that named the same thing otherwise: a pair by number, by color, by rows.
_REPLACES = {
    "pair": ("row", "color", "pins"),
    "row": ("pair", "color"),
    "color": ("pair", "row"),
    "pins": ("row", "pair"),
}
# The details that tell a point from others of its kind.
_TELLING = ("pair", "port", "label", "line", "row", "color", "pins")
_TELEPHONE = {
    "demarc", "protector", "terminal", "block", "cable", "jack", "line_seizure_jack", "alarm_panel", "filter", "pbx",
    "set", "ont",
}  # fmt: skip


@dataclass
class Spot:
    """A place being spoken of: a kind and its details, not yet a point."""

    kind: str | None = None
    details: dict[str, Any] = field(default_factory=dict)

    @property
    def is_telephone(self) -> bool:
        return self.kind in _TELEPHONE

    @property
    def is_ported(self) -> bool:
        return self.kind in _PORTED or self.kind in ("jack", "device", "cable")


class Focus:
    """The spot in hand and the conditions that hold; told of places in the order they are said."""

    def __init__(self) -> None:
        self.spot = Spot()
        self.held: dict[str, str] = {}
        self.heading: str | None = None
        self.heard_line = False
        self._known: dict[str, dict[str, Any]] = {}
        self._last_ported: str | None = None

    def move(self, place: Place) -> None:
        """Goes to a place that was named."""
        self.go(self.at(place))

    def go(self, spot: Spot) -> None:
        """Goes to a spot and remembers its details for the next time at such a place."""
        self.spot = spot
        if self.spot.kind:
            self._known[self.spot.kind] = self.spot.details
            if self.spot.kind in _PORTED:
                self._last_ported = self.spot.kind

    def at(self, place: Place) -> Spot:
        """The spot that a place means from here, without going there."""
        kind, details = self.spot.kind, dict(self.spot.details)
        if place.noun == "jack" and kind in ("demarc", "line_seizure_jack"):
            return Spot(kind, details)
        if place.kind and place.kind != kind:
            details = {key: value for key, value in self._known.get(place.kind, {}).items() if key != "side"}
            kind = place.kind
        elif place.kind is None:
            kind = self._kind_for(place.details)
            if kind != self.spot.kind:
                details = {key: value for key, value in self._known.get(kind or "", {}).items() if key != "side"}
        said = {k: v for k, v in place.details.items() if k != "color" or kind in _PAIRED}
        for key in said:
            for other in _REPLACES.get(key, ()):
                if not _same_pair(key, said, other, details):
                    details.pop(other, None)
        return Spot(kind, details | said)

    def turned(self, spot: Spot, kind: str) -> Spot:
        """The spot under another kind: the same port, pair or rows where the new kind can have them."""
        found = self.at(Place(0, 0, kind))
        if (kind, spot.kind) == ("line_seizure_jack", "alarm_panel"):
            return Spot(kind, found.details | {key: spot.details[key] for key in ("pins",) if key in spot.details})
        if kind not in _SHARING or spot.kind not in _SHARING:
            return found
        shared = {key: value for key, value in spot.details.items() if key in _SHARED}
        return Spot(kind, found.details | shared)

    def knows(self, kind: str) -> bool:
        """Whether the talk has been at such a place."""
        return kind in self._known

    def rows(self) -> tuple[int, ...]:
        """The rows last spoken of, here or at the block."""
        known: tuple[int, ...] = self.spot.details.get("row") or self._known.get("block", {}).get("row") or ()
        return known

    def numbered(self, value: int) -> Place | None:
        """A bare number where the talk goes through ports or pairs one by one."""
        for key in ("port", "pair", "label"):
            current = self.spot.details.get(key)
            if current is not None and str(current).isdigit():
                return Place(0, 0, None, {key: str(value) if key == "label" else value})
        if self.spot.details.get("row"):
            return Place(0, 0, None, {"row": (value,)})
        if self.spot.kind in ("line_seizure_jack", "alarm_panel") and 1 <= value <= 8:
            return Place(0, 0, None, {"pins": (value,)})
        return Place(0, 0, None, {"port": value}) if self.spot.kind in ("switch", "patch_panel") else None

    def _kind_for(self, details: dict[str, Any]) -> str | None:
        kind = self.spot.kind
        if "port" in details and kind not in _PORTED:
            return self._last_ported or "switch"
        if "row" in details and kind not in ("block", "terminal"):
            return "block"
        if "pins" in details and kind == "alarm_panel" and self.knows("line_seizure_jack"):
            return "line_seizure_jack"
        if "pair" in details and kind not in _PAIRED:
            return "block" if "block" in self._known else kind
        return kind


def _same_pair(key: str, said: dict[str, Any], other: str, details: dict[str, Any]) -> bool:
    """Whether a pair and rows name the same two clips of a 66 block: pair p is on rows 2p-1 and 2p.

    Source: row rule inferred from the wire numbering of the 66M1-50 block and the 25-pair code of 7 CFR 1755.870.
    """
    both = {key: said[key], other: details.get(other)}
    pair, rows = both.get("pair"), both.get("row")
    if not pair or not rows or not 1 <= pair <= PAIRS_PER_BINDER:
        return False
    landing = rows_of_pair(pair)
    return tuple(rows) == (landing.tip_row, landing.ring_row)


class Points:
    """The points of the call, one for each spot that reads apart, numbered as they come."""

    def __init__(self) -> None:
        self._found: dict[str, Point] = {}
        self._by_detail: dict[tuple[str, str | None, str, str], list[str]] = {}

    def id_of(self, spot: Spot) -> str | None:
        """The id of the spot's point, made if new; None where no kind is known.

        A spot that shares what tells it from others (its pair, port, label ...) with a point, and contradicts nothing
        of it, is that point, named more or less fully; the point then keeps all that was said.
        """
        if spot.kind is None:
            return None
        details = {key: value for key, value in spot.details.items() if value not in (None, "", ())}
        known = self._known(spot.kind, details)
        if known is None:
            number = len(self._found) + 1
            known = Point(id=f"P{number}", kind=spot.kind, order=number, **details)
        elif more := {key: value for key, value in details.items() if getattr(known, key) in (None, ())}:
            known = known.model_copy(update=more)
        self._found[known.id] = known
        for key in _TELLING:
            if getattr(known, key) not in (None, ()):
                ids = self._by_detail.setdefault((known.kind, known.side, key, str(getattr(known, key))), [])
                if known.id not in ids:
                    ids.append(known.id)
        if not any(details.get(key) for key in _TELLING):
            self._by_detail.setdefault((known.kind, known.side, "", str(details.get("block_type"))), [known.id])
        return known.id

    def _known(self, kind: str, details: dict[str, Any]) -> Point | None:
        """The point that a spot with those details is."""
        side = details.get("side")
        keys = [(kind, side, key, str(details[key])) for key in _TELLING if key in details]
        for found in keys or [(kind, side, "", str(details.get("block_type")))]:
            for point in (self._found[point_id] for point_id in self._by_detail.get(found, ())):
                if all(getattr(point, key) in (None, (), value) for key, value in details.items()):
                    return point
        return None

    def kind_of(self, point_id: str | None) -> str | None:
        """The kind of the point of that id."""
        point = self._found.get(point_id or "")
        return point.kind if point else None

    def all(self) -> tuple[Point, ...]:
        return tuple(self._found.values())

    def lone_labels(self) -> dict[str, str]:
        """Points that are another one under a fuller or a lesser name, by id, with the id of that one.

        A word tells things apart only where two of one kind carry different ones: the call's only labeled phone and
        "the phone" are one, named without its one word, but with what says more, a room of two words or a number.
        """
        labels: dict[str, set[str]] = {}
        for point in self._found.values():
            if point.kind in _BY_WORD and point.label:
                labels.setdefault(point.kind, set()).add(point.label)
        fullest = {kind: {label: _fullest(label, said) for label in said} for kind, said in labels.items()}
        lone: dict[str, str] = {}
        for point in list(self._found.values()):
            meant = fullest.get(point.kind, {})
            label = meant.get(point.label or "") or next(iter(meant.values()), None)
            if label is None or (len(set(meant.values())) > 1 and not point.label):
                continue
            single = len(set(meant.values())) == 1 and label.isalpha()
            details = {k: v for k, v in point if k not in ("id", "kind", "order", "label") and v not in (None, "", ())}
            other = self.id_of(Spot(point.kind, details if single else details | {"label": label}))
            if other and other != point.id:
                lone[point.id] = other
        return lone


def _fullest(label: str, labels: set[str]) -> str:
    """The longest of those labels that ends with that one: "front counter" for "counter"."""
    return max((other for other in labels if f" {other}".endswith(f" {label}")), key=len)
