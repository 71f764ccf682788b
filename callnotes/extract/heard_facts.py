"""Facts of the call as the listener hears them: which words are the site, the people, the order, the times."""

from __future__ import annotations

import re

from callnotes.extract.hearing import Hearing
from callnotes.extract.names import capitals
from callnotes.extract.normal import Talk

_GAP = 2
_LEAST = 2
_SENTENCE = re.compile(r"(?<!Mr)(?<!Ms)(?<!Mrs)(?<!Dr)(?<!St)[.!?]\s+")
_PEOPLE = ("contact", "technician")
_NEARLY = 0.85
_TITLES = {"mister": "Mr.", "missus": "Mrs.", "miz": "Ms.", "doctor": "Dr.", "mr": "Mr.", "mrs": "Mrs.", "ms": "Ms."}


class HeardFacts:
    """Asks the listener for facts; without one nothing is heard."""

    def __init__(self, hearing: Hearing | None, talk: Talk) -> None:
        self._hearing, self._talk = hearing, talk

    def runs(self, name: str) -> list[tuple[int, int, float]]:
        """The stretches of tokens that say that fact, likeliest first; two that nearly touch are one."""
        if self._hearing is None:
            return []
        joined: list[tuple[int, int, float]] = []
        for first, last, probability in self._hearing.facts(name):
            if joined and first - joined[-1][1] < _GAP:
                joined[-1] = (joined[-1][0], last, max(joined[-1][2], probability))
            else:
                joined.append((first, last, probability))
        return sorted(joined, key=lambda run: -run[2])

    def name(self, name: str, other: str | None = None) -> str | None:
        """The words of the likeliest stretch, as a name is written; of people the one whom the call brings in first.

        A stretch that holds the ``other`` name, the technician's say, is not this one.
        """
        runs = self.runs(name)
        if name in _PEOPLE:
            likely = [run for run in runs if run[2] >= _NEARLY * runs[0][2]]
            runs = sorted(likely, key=lambda run: run[0])
        for first, last, _ in runs:
            for part in _SENTENCE.split(self._talk.text(first, last)):
                text = re.sub(r"['’]s$", "", part.strip(" ,.;:"))
                if len(text) > _LEAST and not (other and _bare(other) in _bare(text)):
                    return _written(text)
        return None

    def tokens(self, name: str) -> set[int]:
        """All tokens of such stretches."""
        return {i for first, last, _ in self.runs(name) for i in range(first, last)}


def fuller(heard: str | None, ruled: str | None) -> str | None:
    """What the listener heard, or the rules' name where it is the same one, told more fully: first and last name."""
    if heard and ruled and _bare(heard) in _bare(ruled):
        return ruled
    return heard or ruled


def _bare(name: str) -> str:
    return re.sub(r"\W", "", name.lower())


def _written(text: str) -> str:
    """With the title in its short form, and with capitals where an engine wrote none."""
    first, *others = text.split()
    first = _TITLES.get(first.lower().rstrip("."), first)
    written = " ".join([first, *others])
    return written if any(letter.isupper() for letter in " ".join(others) or text) else capitals(written)
