"""Places as they are spoken of: a kind, or only a detail of the place in hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from callnotes.extract.matching import Hit, Phrases, grouped
from callnotes.extract.normal import Talk
from callnotes.extract.numbers import Number
from callnotes.trade import Trade
from callnotes.trade.words import Detail, PointKind

# Nouns that number a place, and the detail that the number fills (an open set would be a guess: these are the
# things that carry numbers on a telephone or data job).
NUMBERED = {
    "pair": "pair", "pairs": "pair", "row": "row", "rows": "row", "pin": "pins", "pins": "pins", "screw": "pins",
    "screws": "pins", "port": "port", "ports": "port", "hole": "port", "position": "port", "line": "line",
    "lines": "line", "station": "port",
}  # fmt: skip
ORDINALS = {"first": 1, "1st": 1, "second": 2, "2nd": 2, "third": 3, "3rd": 3, "fourth": 4, "4th": 4, "fifth": 5}
_AND = {"and", ",", "to", "through", "thru", "&"}
_UNTIL = {"to", "through", "thru"}
_LONGEST = 48  # a list longer than this is no list of rows
_BLOCKS = {"block", "blocks", "split", "punch"}
_LABELED = {"set", "jack", "device", "block"}
_SINGLE = {"pair", "line", "port"}


@dataclass(frozen=True, slots=True)
class Place:
    """A spoken place over tokens ``first`` up to ``last``: its kind if said, and the details said with it."""

    first: int
    last: int
    kind: str | None = None
    details: dict[str, Any] = field(default_factory=dict)
    noun: str = ""


class PlaceFinder:
    """Finds places in the talk from the tables of a ``Trade``."""

    def __init__(self, trade: Trade) -> None:
        self._trade = trade
        kinds = grouped((name, point) for point in trade.points for name in _forms(point))
        details: list[tuple[str, Any]] = [(d.say, d) for d in trade.details]
        hidden: list[tuple[str, Any]] = [(s, None) for s in trade.words["places", "hidden"]]
        self._phrases: Phrases[Any] = Phrases([*hidden, *details, *kinds])
        self._ambiguous = set(trade.words["places", "ambiguous"])
        self._no_label = {*trade.words["word_set", "no_label"], *trade.words["word_set", "determiners"]}
        self._named_cables = set(trade.words["places", "named_cables"])
        self._determiners = set(trade.words["word_set", "determiners"])
        self._said_as = {name: color_words(trade, name) for name in ("tip", "ring")}

    def find(self, talk: Talk, doc: Any, numbers: Sequence[Number]) -> tuple[list[Place], set[int]]:
        """The places in order, and the tokens of numbers that belong to places (no readings)."""
        by_start = {number.first: number for number in numbers}
        places: list[Place] = []
        used: set[int] = set()
        hits = [hit for hit in self._phrases.find(doc) if self._is_noun(talk, hit, by_start)]
        self._mentioned = {
            entry[0].kind for _, _, entry in ((h.first, h.last, h.entry) for h in hits) if _is_plain(entry)
        }
        covered = {i for hit in hits for i in range(hit.first, hit.last)}
        for hit in hits:
            used.update(i for i in range(hit.first, hit.last) if i in by_start)
            if hit.entry is not None:
                place = self._place(talk, hit, by_start)
                used.update(range(hit.last, place.last))
                places.append(place)
        places += self._numbered(talk, by_start, covered, used)
        places += self._colors(talk)
        return sorted(places, key=lambda place: place.first), used

    def _place(self, talk: Talk, hit: Hit[Any], by_start: dict[int, Number]) -> Place:
        entry = hit.entry
        noun = " ".join(talk.norms[hit.first : hit.last])
        if isinstance(entry, Detail):
            details = {
                k: v for k, v in (("side", entry.side), ("label", entry.label), ("block_type", entry.block_type)) if v
            }
            return Place(hit.first, hit.last, entry.kind, details, noun)
        entry = next((kind for kind in entry if {kind.kind, *kind.near} & self._mentioned), entry[-1])
        number = by_start.get(hit.last)
        if entry.numbered and number is not None and number.value == int(number.value) > 0:
            letter = _letter(talk, number.last)
            said = number.digits + letter.upper()
            value: Any = int(number.value) if entry.numbered in ("port", "pair") and not letter else said
            return Place(hit.first, number.last + bool(letter), entry.kind, {entry.numbered: value}, noun)
        letter = _letter(talk, hit.last, capital=True)
        label = self._label(talk, hit.first) if entry.kind in _LABELED else None
        if letter and entry.numbered:
            return Place(hit.first, hit.last + 1, entry.kind, {"label": letter.upper()}, noun)
        if entry.kind == "cable" and noun in self._named_cables:
            return Place(hit.first, hit.last, entry.kind, {"label": noun}, noun)
        return Place(hit.first - bool(label), hit.last, entry.kind, {"label": label} if label else {}, noun)

    def _label(self, talk: Talk, first: int) -> str | None:
        """The word before a thing that tells it from others of its kind: "the kitchen phone"."""
        if first == 0 or talk.tokens[first - 1].kind != "word":
            return None
        word = talk.norms[first - 1]
        return None if word in self._no_label or len(word) < 3 else word

    def _is_noun(self, talk: Talk, hit: Hit[Any], by_start: dict[int, Number]) -> bool:
        """Whether a name that is also a verb or a common word stands here as a thing."""
        if isinstance(hit.entry, Detail) and hit.entry.block_type:
            return not _BLOCKS.isdisjoint(talk.norms[hit.last : hit.last + 3])
        if not isinstance(hit.entry, tuple) or hit.last - hit.first > 1 or talk.norms[hit.first] not in self._ambiguous:
            return True
        if hit.last in by_start or hit.first == 0:
            return True
        before = talk.tokens[hit.first - 1]
        return before.is_stop or before.norm in self._determiners or before.cue != talk.tokens[hit.first].cue

    def _numbered(self, talk: Talk, by_start: dict[int, Number], covered: set[int], used: set[int]) -> list[Place]:
        """ "pair 7", "rows three and four", "port 22", "second line"."""
        places = []
        for at, norm in enumerate(talk.norms):
            what = NUMBERED.get(norm)
            if what is None or at in covered:
                continue
            values, last = _list_of_numbers(talk, at + 1, by_start, single=what in _SINGLE and not norm.endswith("s"))
            if values:
                used.update(range(at, last))
                places.append(Place(at, last, None, {what: _detail_value(what, values)}, norm))
            elif what in ("line", "pair", "port") and at > 0 and talk.norms[at - 1] in ORDINALS:
                count = ORDINALS[talk.norms[at - 1]]
                places.append(Place(at - 1, at + 1, None, {what: str(count) if what == "line" else count}, norm))
        return places

    def _colors(self, talk: Talk) -> list[Place]:
        """ "white blue", "blue-white": a pair by its colors, tip named first in the point."""
        tips, rings = self._said_as["tip"], self._said_as["ring"]
        places, at = [], 0
        while at + 1 < len(talk.norms):
            one, two = talk.norms[at], talk.norms[at + 1]
            tip, ring = tips.get(one) or tips.get(two), rings.get(two) or rings.get(one)
            if tip and ring and {one, two} <= tips.keys() | rings.keys():
                places.append(Place(at, at + 2, None, {"color": f"{tip}/{ring}"}, "pair"))
                at += 1
            at += 1
        return places


def _is_plain(entry: Any) -> bool:
    return isinstance(entry, tuple) and len(entry) == 1


def _forms(point: PointKind) -> list[str]:
    """The names of a kind and their plurals."""
    plurals = [name + "s" for name in point.said if not name.endswith("s")]
    return [*point.said, *plurals]


def color_words(trade: Trade, side: str) -> dict[str, str]:
    words = {color: color for color in trade.words["pair_colors", side]}
    return words | {said: color for color in words for said in trade.words.get(("color_said", color), ())}


def _letter(talk: Talk, at: int, *, capital: bool = False) -> str:
    """A single letter at that token, as in "jack 4B" or "pedestal C"; a lone "a" or "i" is a word."""
    if at >= len(talk.tokens):
        return ""
    token = talk.tokens[at]
    if len(token.norm) != 1 or not token.norm.isalpha():
        return ""
    heard = talk.cues[token.cue].text[token.first : token.last]
    glued = at > 0 and talk.tokens[at - 1].cue == token.cue and talk.tokens[at - 1].last == token.first
    if capital:
        return heard if heard.isupper() and heard not in "IA" else ""
    return heard if glued or (heard.isupper() and heard != "I") else ""


def _list_of_numbers(talk: Talk, at: int, by_start: dict[int, Number], *, single: bool) -> tuple[list[int], int]:
    """Numbers joined by "and" or commas from ``at`` on, and the token behind them."""
    values: list[int] = []
    last = at
    until = False
    while number := by_start.get(at):
        if number.value != int(number.value) or number.value < 0:
            break
        if until and values and 0 < number.value - values[-1] <= _LONGEST:
            values += range(values[-1] + 1, int(number.value) + 1)
        elif number.loose and len(number.digits) <= 4 and not single:
            values += [int(digit) for digit in number.digits]
        else:
            values.append(int(number.value))
        last = at = number.last
        if single:
            break
        if at < len(talk.norms) and talk.norms[at] in _AND:
            until = talk.norms[at] in _UNTIL
            at += 1
            if at < len(talk.norms) and talk.norms[at] == "and":
                at += 1
    return values, last


def _detail_value(what: str, values: list[int]) -> Any:
    if what in ("row", "pins"):
        return tuple(values)
    return str(values[0]) if what == "line" else values[0]
