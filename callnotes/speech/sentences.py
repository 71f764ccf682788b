"""Joins and cuts an engine's segments so that a cue holds a sentence or so.

Engines end a segment where their window ends, often in the middle of a sentence, and put several
sentences into another. Words keep their order, text, times and probabilities.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from callnotes.records import Cue, Word

# A sentence end closes a cue that is this long already, or that a breath follows.
LONG_ENOUGH_SECONDS = 1.5
BREATH_SECONDS = 0.35
# A silence this long closes a cue whatever was said; so does this length, at the next comma or at once.
PAUSE_SECONDS = 1.5
COMMA_SECONDS = 15.0
LONGEST_SECONDS = 25.0

_ENDS = (".", "?", "!")
_CLOSERS = "\"'”’)]"


@dataclass(frozen=True)
class Heard:
    """A word as an engine gave it, with the blank before it, and the marks of its segment."""

    word: Word
    marks: tuple[str, ...] = ()


def cues_of(heard: Iterable[Heard]) -> list[Cue]:
    """The cues; text is the words as they came, blanks and punctuation included."""
    cues: list[Cue] = []
    held: list[Heard] = []
    for item in heard:
        if held and _closes(held, item):
            cues.append(_cue(held))
            held = []
        held.append(item)
    if held:
        cues.append(_cue(held))
    # Over noise engines write lone full stops; there nothing was said.
    return [cue for cue in cues if any(map(str.isalnum, cue.text))]


def _closes(held: list[Heard], following: Heard) -> bool:
    last = held[-1]
    if last.marks != following.marks:
        return True
    gap = following.word.start - last.word.end
    length = last.word.end - held[0].word.start
    said = last.word.text.rstrip(_CLOSERS)
    if said.endswith(_ENDS):
        return length >= LONG_ENOUGH_SECONDS or gap >= BREATH_SECONDS
    return gap >= PAUSE_SECONDS or length >= LONGEST_SECONDS or (length >= COMMA_SECONDS and said.endswith((",", ";")))


def _cue(held: list[Heard]) -> Cue:
    words = tuple(item.word.model_copy(update={"text": item.word.text.strip()}) for item in held)
    end = max(word.end for word in words)
    return Cue(
        start=words[0].start,
        end=max(end, words[0].start + 0.01),
        text=" ".join("".join(item.word.text for item in held).split()),
        words=tuple(word for word in words if word.text),
        marks=held[0].marks,
    )
