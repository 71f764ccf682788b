"""The details of an event's point, by the ties that the listener hears between the event and words said near it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import zip_longest
from typing import Any

from callnotes.extract.hearing import Hearing, Mention
from callnotes.extract.materials import NUMBERED_NAMES
from callnotes.extract.measures import retracted, retracting
from callnotes.extract.normal import Talk
from callnotes.extract.numbers import Number
from callnotes.extract.places import NUMBERED, ORDINALS, color_words
from callnotes.trade import Trade

# How far ahead of an event, in tokens, its place may still be named: "dial tone on the left side of pair seven".
_AHEAD = 14
# Numbers of one list stand no farther apart, in tokens: "rows thirteen and fourteen".
_LIST = 4
_LISTED = ("row", "pins")
_WHOLE = ("pair", "port")
# A correction comes within so many tokens.
_CORRECTED = 8
# A further number of a list is as likely as this share of the first.
_ALSO = 0.3
# Between the numbers of one list.
_JOINED = {"and", ",", "or", "through", "to"}


class Ties:
    """Reads the values of the details that events rest on."""

    def __init__(self, hearing: Hearing, talk: Talk, numbers: Sequence[Number], trade: Trade) -> None:
        self._hearing, self._talk = hearing, talk
        self._number_at = {i: number for number in numbers for i in range(number.first, number.last)}
        self._retracting = retracting(trade)
        self._names = {name: point.kind for point in trade.points for name in point.said}
        self._tips, self._rings = color_words(trade, "tip"), color_words(trade, "ring")

    def details(self, first: int, last: int, kind: str) -> dict[str, Any]:
        """The details said for the point, of that kind, of the event in those tokens."""
        found = {}
        for key, mentions in self._hearing.details(first, last, last + _AHEAD).items():
            named = [mention for mention in mentions if self._noun(mention) in (None, key)]
            named = [mention for mention in named if not self._in_name(mention, kind)]
            named = [mention for mention in named if not self._sentence_on(last, mention)] or named
            named = [one for one, two in zip_longest(named, named[1:]) if not (two and self._taken_back(one, two))]
            value = self._value(key, named, first)
            if value not in (None, ()) and not (key == "label" and self._other_kind(value, kind)):
                found[key] = value
        return found

    def _other_kind(self, label: str, kind: str) -> bool:
        """Whether a label is only the cable at a thing, "patch cord", and so tells no jack from another."""
        return kind != "cable" and self._names.get(label) == "cable"

    def _sentence_on(self, last: int, mention: Mention) -> bool:
        """Whether the words stand in a sentence behind the event: "It passes. Port ten fails." """
        return any(word in (".", "?", "!") for word in self._talk.norms[last : mention.first])

    def _taken_back(self, one: Mention, two: Mention) -> bool:
        """Whether the first of two mentions is corrected by the second: "pair two, no, make that pair six"."""
        gap = self._talk.norms[one.last : two.first]
        return len(gap) <= _CORRECTED and retracted(tuple(word for word in gap if word != "."), self._retracting)

    def _in_name(self, mention: Mention, kind: str) -> bool:
        """Whether the words are in the name of a sort of thing ("category six") or of another kind ("patch panel")."""
        whole = " ".join(self._talk.norms[mention.first : mention.last + 1])
        if mention.key == "label" and self._names.get(whole, kind) != kind:
            return True
        return mention.first > 0 and self._talk.norms[mention.first - 1] in NUMBERED_NAMES

    def _noun(self, mention: Mention) -> str | None:
        """The detail that the noun before the words names, "row" in "row five", "pins" in "pins three and five"."""
        at = mention.first - 1
        while at > 0 and (at in self._number_at or self._talk.norms[at] in _JOINED):
            at -= 1
        return NUMBERED.get(self._talk.norms[at]) if at >= 0 else None

    def _value(self, key: str, mentions: list[Mention], at: int) -> Any:
        """The value that most of the shares say; of a list also its other numbers."""
        shares: dict[Any, float] = defaultdict(float)
        for mention in mentions:
            value = self._read(key, mention)
            if value is not None:
                shares[value] += mention.probability
        if not shares:
            return None
        value = max(shares, key=lambda value: shares[value])
        if key not in _LISTED:
            return value
        said = [m for m in mentions if self._read(key, m) == value]
        best = max(said, key=lambda m: (round(m.probability, 1), -abs(m.first - at)))
        near = [m for m in mentions if abs(m.first - best.first) <= _LIST and m.probability > _ALSO * best.probability]
        return tuple(sorted({number for m in near for number in self._numbers(m)}))

    def _read(self, key: str, mention: Mention) -> Any:
        """The value that a mention says; None where it cannot be read."""
        if key == "color":
            return self._color(mention)
        texts = self._digits(mention)
        if key in _WHOLE:
            return int(texts[0]) if texts and texts[0].isdigit() else None
        if key in _LISTED:
            return self._numbers(mention) or None
        return "".join(texts) or None if key in ("line", "block_type") else self._label(mention, texts)

    def _numbers(self, mention: Mention) -> tuple[int, ...]:
        return tuple(int(text) for text in self._digits(mention) if text.isdigit())

    def _digits(self, mention: Mention) -> list[str]:
        """The numbers of the words, as digits, each with the letter that follows it ("4B")."""
        found: list[str] = []
        at = mention.first
        while at < mention.last:
            number = self._number_at.get(at)
            if number is None:
                at += 1
                if self._talk.norms[at - 1] in ORDINALS:
                    found.append(str(ORDINALS[self._talk.norms[at - 1]]))
                continue
            found.append(number.digits)
            at = number.last
        return found

    def _label(self, mention: Mention, digits: list[str]) -> str | None:
        words = self._talk.norms[mention.first : mention.last]
        numbered = all(i in self._number_at for i in range(mention.first, mention.last))
        if numbered and digits:
            return "".join(digits)
        return " ".join(word for word in words if word[:1].isalnum()) or None

    def _color(self, mention: Mention) -> str | None:
        words = self._talk.norms[max(0, mention.first - 1) : mention.last + 1]
        tip = next((self._tips[word] for word in words if word in self._tips), None)
        ring = next((self._rings[word] for word in words if word in self._rings), None)
        return f"{tip or 'white'}/{ring}" if ring else None
