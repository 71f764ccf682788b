"""One tokenization for the whole of extraction: cues become tokens that know their words and times.

Speech and vocabulary phrases pass through the same ``split``, so a phrase that a technician writes into
a table matches however an engine spells it: ``forty-nine``, ``66-block``, ``isn't`` and ``49.8V`` come
apart into the same tokens as ``forty nine``, ``66 block``, ``is not`` and ``49.8 volts``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from callnotes.records import Cue

_PIECE = re.compile(
    r"""(?P<time>\d{1,2}:\d{2}(?!\d))
      | (?P<phone>(?:\d{3}[-.\ ])?\d{3}[-.]\d{4}(?!\d))
      | (?P<number>\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d*\.\d+|\d+)
      | (?P<code>[^\W\d_]+\d\w*)
      | (?P<word>['’](?:s|re|ve|ll|d|m)\b|[^\W\d_]+(?:['’][^\W\d_]+)*)
      | (?P<mark>\.\.+|[.,;:?!…—–-])""",
    re.VERBOSE,
)
_JOINED = {
    "can't": ("can", "n't"), "cannot": ("can", "n't"), "won't": ("will", "n't"), "ain't": ("is", "n't"),
    "shan't": ("shall", "n't"), "gonna": ("going", "to"), "gotta": ("got", "to"), "wanna": ("want", "to"),
    "lemme": ("let", "me"), "gimme": ("give", "me"), "dunno": ("do", "n't", "know"), "let's": ("let", "us"),
    "dont": ("do", "n't"), "isnt": ("is", "n't"), "didnt": ("did", "n't"), "doesnt": ("does", "n't"),
    "wasnt": ("was", "n't"), "aint": ("is", "n't"), "cant": ("can", "n't"), "wont": ("will", "n't"),
    "hasnt": ("has", "n't"), "havent": ("have", "n't"), "im": ("i", "'m"), "thats": ("that", "'s"),
}  # fmt: skip
_ENDING = re.compile(r"(.+?)(n't|'s|'re|'ve|'ll|'d|'m)$")
_SPELLED = {
    "metres": "meters",
    "metre": "meter",
    "fibre": "fiber",
    "colour": "color",
    "nought": "zero",
    "naught": "zero",
}
_TITLES = {"mr", "mrs", "ms", "dr", "st"}  # a full stop behind these ends nothing
_STOPS = {".", "?", "!", "..", "…"}


@dataclass(frozen=True, slots=True)
class Token:
    """One token. ``norm`` is what matches; ``first``/``last`` are its letters in the cue's text (half-open)."""

    norm: str
    kind: str
    cue: int
    first: int
    last: int

    @property
    def is_stop(self) -> bool:
        return self.kind == "mark" and self.norm in _STOPS


def split(text: str) -> Iterator[tuple[str, str, int, int]]:
    """Normalized pieces of a text as (norm, kind, first letter, behind last letter)."""
    before = ""
    for match in _PIECE.finditer(text):
        kind, piece = str(match.lastgroup), match.group()
        first, last = match.span()
        title, before = before in _TITLES, piece.lower()
        if kind == "mark":
            if piece == "." and title:
                continue
            if piece in "-–—":
                if piece == "-" and _is_minus(text, first):
                    yield "minus", "word", first, last
                elif piece == "—" or (piece == "–" and text[first - 1 : first].isspace()):
                    yield ",", kind, first, last
                continue
            yield ("..." if piece.startswith("..") or piece == "…" else piece), kind, first, last
        elif kind == "word":
            for part in _parts(piece.lower().replace("’", "'")):
                yield part, kind, first, last
        else:
            yield piece.lower().replace(",", ""), kind, first, last


def _is_minus(text: str, at: int) -> bool:
    before, after = text[at - 1 : at], text[at + 1 : at + 2]
    return (not before or before.isspace() or before in "(,") and (after.isdigit() or after == ".")


def _parts(word: str) -> tuple[str, ...]:
    if word in _JOINED:
        return _JOINED[word]
    match = _ENDING.match(word)
    if match:
        return (*_parts(match.group(1)), match.group(2))
    return (_SPELLED.get(word, word),)


def norms(phrase: str) -> tuple[str, ...]:
    """A phrase of a table as the tokens that speech would give."""
    return tuple(norm for norm, kind, _, _ in split(phrase) if kind != "mark")


@dataclass(frozen=True)
class Talk:
    """The tokens of all cues in order, with the way back to the words and their times."""

    cues: tuple[Cue, ...]
    tokens: tuple[Token, ...]

    @cached_property
    def norms(self) -> tuple[str, ...]:
        return tuple(token.norm for token in self.tokens)

    def text(self, first: int, last: int) -> str:
        """The words as heard of tokens ``first`` up to ``last`` (half-open), cues joined by a blank."""
        parts = []
        while first < last:
            cue = self.tokens[first].cue
            end = first
            while end < last and self.tokens[end].cue == cue:
                end += 1
            parts.append(self.cues[cue].text[self.tokens[first].first : self.tokens[end - 1].last])
            first = end
        return " ".join(parts)

    def times(self, first: int, last: int) -> tuple[float, float, bool]:
        """Start and end in seconds of those tokens, and whether they rest on word times."""
        start, _, exact = self._moment(first)
        _, end, exact_end = self._moment(last - 1)
        return start, max(end, start), exact and exact_end

    def probability(self, first: int, last: int) -> float:
        """The least word probability among those tokens, 1.0 where the source gave none."""
        found = [p for p in (self._word(i)[2] for i in range(first, last)) if p is not None]
        return min(found, default=1.0)

    def _moment(self, index: int) -> tuple[float, float, bool]:
        start, end, _ = self._word(index)
        if start is not None and end is not None:
            return start, end, True
        token = self.tokens[index]
        cue = self.cues[token.cue]
        scale = (cue.end - cue.start) / max(len(cue.text), 1)
        return cue.start + token.first * scale, cue.start + token.last * scale, False

    def _word(self, index: int) -> tuple[float | None, float | None, float | None]:
        token = self.tokens[index]
        for first, last, start, end, probability in self._words(token.cue):
            if token.first < last and first < token.last:
                return start, end, probability
        return None, None, None

    def _words(self, cue: int) -> list[tuple[int, int, float, float, float | None]]:
        """The cue's words with the letters that they take, found in order; kept once worked out."""
        if cue not in self._found:
            spans, at = [], 0
            text = self.cues[cue].text
            for word in self.cues[cue].words:
                piece = word.text.strip()
                first = text.find(piece, at)
                if piece and first >= 0:
                    at = first + len(piece)
                    spans.append((first, at, word.start, word.end, word.probability))
            self._found[cue] = spans
        return self._found[cue]

    @cached_property
    def _found(self) -> dict[int, list[tuple[int, int, float, float, float | None]]]:
        return {}


def talk_of(cues: tuple[Cue, ...]) -> Talk:
    """The talk in those cues; cues that the engine itself doubts (marked) say nothing here."""
    tokens = [
        Token(norm, kind, number, first, last)
        for number, cue in enumerate(cues)
        if not cue.marks
        for norm, kind, first, last in split(cue.text)
    ]
    return Talk(cues, tuple(tokens))
