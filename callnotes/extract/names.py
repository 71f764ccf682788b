"""Who and where: the technician, the person on site and the site, by the words around their names.

Where the text has capitals, a name is a run of capital words; where an engine wrote none, it is the next
few words up to one that ends a name, put in capitals.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from callnotes.extract.clock import TimeOfDay
from callnotes.extract.matching import Hit
from callnotes.extract.normal import Talk
from callnotes.extract.numbers import Number

_BEFORE_NAME = {"is", "'s", "here", "today", "will", "be", "the", "a", "and"}
_SMALL = {"on", "of", "the", "at", "and", "in", "for"}


class NameFinder:
    """Finds names in the opening of a call. ``words`` and ``cues`` are those of ``data/call.toml``.

    ``placed`` are the tokens of test points, which are no names where no capital says so ("I'm at the block").
    """

    def __init__(
        self,
        talk: Talk,
        words: Mapping[str, Sequence[str]],
        cues: Mapping[str, Sequence[Hit[Any]]],
        numbers: Sequence[Number],
        times: Sequence[TimeOfDay],
        opening: int,
        placed: set[int],
    ) -> None:
        self._talk, self._words, self._cues, self._opening, self._placed = talk, words, cues, opening, placed
        self._numbered = {i for number in numbers for i in range(number.first, number.last)}
        self._number_starts = {number.first for number in numbers}
        self._timed = {time.first for time in times}
        self._ends, self._streets = set(words["name_ends"]), set(words["streets"])
        self._titles = set(words["titles"])
        self._speaks, self._nobody = set(words["speaks"]), set(words["nobody"])
        self._written = any(c.isupper() for cue in talk.cues for c in cue.text[1:] if c != "I")

    def technician(self) -> str | None:
        """Behind "this is", else a name that opens one of the first cues by itself ("NAME NAME, order ...")."""
        return self._behind_cue("technician") or self._opening_name()

    def contact(self) -> str | None:
        """Behind "my contact is", else a titled name, else whoever says something first."""
        return self._behind_cue("contact") or self._before_cue() or self._titled() or self._speaking()

    def site(self) -> str | None:
        """Behind "I'm at", with its street; a name in capitals first, else one that an engine wrote small."""
        return self._behind_cue("site", address=True) or self._behind_cue("site", address=True, small=True)

    # --- by the words around

    def _behind_cue(self, what: str, *, address: bool = False, small: bool = False) -> str | None:
        for hit in self._cues[what]:
            if hit.first < self._opening and (name := self._name_at(hit.last, address=address, small=small)):
                return name
        return None

    def _before_cue(self) -> str | None:
        """ "NAME in administration is my contact"."""
        hit = next((h for h in self._cues["contact_behind"] if h.first < self._opening), None)
        if hit is None:
            return None
        first = hit.first
        while (
            first > 0 and self._talk.tokens[first - 1].cue == self._talk.tokens[hit.first].cue and hit.first - first < 8
        ):
            first -= 1
            if self._is_name(first) and not self._is_name(first - 1):
                return self._name_at(first)
        return None

    def _titled(self) -> str | None:
        """ "Mrs. NAME": a title and a name anywhere in the opening."""
        for at in range(self._opening - 1):
            if self._talk.norms[at] in self._titles and (self._is_name(at + 1) or not self._written):
                return self._name_at(at)
        return None

    def _speaking(self) -> str | None:
        """ "NAME says": a name right before a word of speaking."""
        for at in range(1, self._opening):
            before = self._talk.norms[at - 1]
            if self._talk.norms[at] in self._speaks and self._is_name(at - 1) and before not in self._nobody:
                return self._name_at(at - 2 if at > 1 and self._is_name(at - 2) else at - 1)
        return None

    def _opening_name(self) -> str | None:
        """Two capital words and a comma or stop at the start of one of the first three cues."""
        if not self._written:
            return None
        starts = [
            i
            for i, t in enumerate(self._talk.tokens)
            if t.cue < 3 and (i == 0 or self._talk.tokens[i - 1].cue != t.cue)
        ]
        for at in starts:
            words = self._talk.tokens[at : at + 3]
            if len(words) == 3 and self._is_name(at) and self._is_name(at + 1) and words[2].norm in (",", "."):
                return self._talk.text(at, at + 2)
        return None

    # --- the name itself

    def _is_name(self, at: int) -> bool:
        if not 0 <= at < len(self._talk.tokens) or self._talk.tokens[at].kind != "word":
            return False
        return self._talk.text(at, at + 1)[:1].isupper() and self._talk.norms[at] not in self._ends | {"i"}

    def _name_at(self, at: int, *, address: bool = False, small: bool = False) -> str | None:
        """The name that starts at a token, in capitals; None if no name does. ``small``: it may be written small."""
        tokens = self._talk.tokens
        while at < len(tokens) and self._talk.norms[at] in _BEFORE_NAME:
            at += 1
        if at in self._timed:
            return None
        first, words = at, 0
        while at < len(tokens) and words < (9 if address else 4) and self._goes_on(at, address=address):
            words += tokens[at].kind != "mark"
            at += 1
        text = self._talk.text(first, at).strip(" ,.").removesuffix("'s").removesuffix("’s") if words else ""
        named = any(self._is_name(i) or tokens[i].kind == "number" for i in range(first, at))
        if len(text) < 4 or (not named and not self._placed.isdisjoint(range(first, at))):
            return None
        if self._written and not named and not (small and words > 1):
            return None
        return text if named and not address else capitals(text)

    def _goes_on(self, at: int, *, address: bool) -> bool:
        """Whether the name still goes on with that token."""
        token = self._talk.tokens[at]
        street = address and not self._streets.isdisjoint(self._talk.norms[at + 1 : at + 6])
        if token.kind == "mark":
            joins = at + 1 in self._number_starts or self._talk.norms[at + 1 : at + 2] == ("on",)
            return token.norm == "," and street and joins
        if token.norm == "on":
            return street
        if token.norm in self._ends or token.norm == "'s":
            return False
        if address:
            return True
        # A person's name in written text is capital words; a title counts even where it is written small.
        return at not in self._numbered and (not self._written or self._is_name(at) or token.norm in self._titles)


def capitals(text: str) -> str:
    """A name that an engine wrote small, with capitals, small words left small."""
    return " ".join(word if word in _SMALL else word[:1].upper() + word[1:] for word in text.split())
