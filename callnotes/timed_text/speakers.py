"""Tells ``Lead: clip on here`` from ``Note: clip on here``.

The rule: a label is one or two capitalized words (or one and a number, ``Speaker 2``) before a colon and
a space at the start of a cue. It names a speaker only if

* none of its words heads a remark in ordinary speech (``Note``, ``Result``, ``Pair`` ...: ``remark_heads``
  in ``data/small_words.toml``), and
* the first cue of the file has a label (or a voice tag): who labels speakers begins with the first, while
  a list in running speech ("Blue: lit. Orange: dark.") begins somewhere in the middle, and
* it stands before two cues at least, or another such label stands in the same file.

A label that does not pass stays in the text, so nothing is lost either way.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from functools import cache

from callnotes.records import Cue
from callnotes.resources import DATA
from callnotes.trade.tables import read_toml

_LABEL = re.compile(r"([A-Z][A-Za-z.'\u2019-]{0,29}(?: (?:[A-Z][A-Za-z.'\u2019-]{0,29}|[0-9]{1,3}))?) ?: +(?=\S)")


def with_labels(cues: Sequence[Cue], allowed: Sequence[bool]) -> tuple[Cue, ...]:
    """The cues with leading labels turned into speakers where the rule holds.

    ``allowed`` has one truth value a cue: False where the source says that its colon is no label.
    """
    found = [_label(cue) if may else None for cue, may in zip(cues, allowed, strict=True)]
    counts = Counter(label for label in found if label)
    from_the_first = bool(cues) and (found[0] is not None or cues[0].speaker is not None)
    if not from_the_first or counts.total() < 2:
        return tuple(cues)
    return tuple(_split(cue) if label else cue for cue, label in zip(cues, found, strict=True))


def looks_labelled(text: str) -> bool:
    """Whether the text begins with what this rule may take for a label."""
    match = _LABEL.match(text)
    return match is not None and _may_name(match.group(1))


def _label(cue: Cue) -> str | None:
    match = _LABEL.match(cue.text) if cue.speaker is None else None
    return match.group(1) if match and _may_name(match.group(1)) else None


@cache
def _remark_heads() -> frozenset[str]:
    return frozenset(read_toml(DATA / "small_words.toml")["word_set"]["remark_heads"])


def _may_name(label: str) -> bool:
    return not any(word.casefold().strip(".") in _remark_heads() for word in label.split())


def _split(cue: Cue) -> Cue:
    match = _LABEL.match(cue.text)
    if match is None:
        return cue
    return cue.model_copy(update={"speaker": match.group(1), "text": cue.text[match.end() :]})
