"""Finds the phrases of a table in the talk, with spaCy's phrase matcher over our own tokens."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any, Generic, TypeVar

from callnotes.extract.normal import Talk, norms

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Hit(Generic[T]):
    """An entry found over tokens ``first`` up to ``last`` (half-open)."""

    first: int
    last: int
    entry: T


@cache
def _vocab() -> Any:
    import spacy

    return spacy.blank("en").vocab


def doc_of(talk: Talk) -> Any:
    """The talk as a spaCy ``Doc`` whose words are the normalized tokens."""
    from spacy.tokens import Doc

    return Doc(_vocab(), words=list(talk.norms))


def grouped(pairs: Iterable[tuple[str, T]]) -> list[tuple[str, tuple[T, ...]]]:
    """Phrases that stand more than once, with all their entries in order."""
    found: dict[tuple[str, ...], tuple[str, list[T]]] = {}
    for phrase, entry in pairs:
        found.setdefault(norms(phrase), (phrase, []))[1].append(entry)
    return [(phrase, tuple(entries)) for phrase, entries in found.values()]


class Phrases(Generic[T]):
    """A table of phrases to look for. Of phrases that overlap the longest wins, then the first of the table."""

    def __init__(self, phrases: Iterable[tuple[str, T]]) -> None:
        from spacy.matcher import PhraseMatcher
        from spacy.tokens import Doc

        self._entries: list[T] = []
        self._matcher = PhraseMatcher(_vocab(), attr="ORTH")
        known: set[tuple[str, ...]] = set()
        for phrase, entry in phrases:
            words = norms(phrase)
            if words and words not in known:
                known.add(words)
                self._matcher.add(str(len(self._entries)), [Doc(_vocab(), words=list(words))])
                self._entries.append(entry)

    def find(self, doc: Any) -> list[Hit[T]]:
        """The hits in order of place, none overlapping another."""
        strings = doc.vocab.strings
        found = sorted(
            ((first, last, int(strings[key])) for key, first, last in self._matcher(doc)),
            key=lambda hit: (hit[0] - hit[1], hit[0], hit[2]),
        )
        taken: set[int] = set()
        hits = []
        for first, last, number in found:
            if taken.isdisjoint(range(first, last)):
                taken.update(range(first, last))
                hits.append(Hit(first, last, self._entries[number]))
        return sorted(hits, key=lambda hit: hit.first)
