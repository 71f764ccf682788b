"""What a trained listener makes of the talk: which words carry an event, where it is, what was said of it.

A small transformer (see ``tests/training``) reads the talk as one stream, in overlapping windows, so that
nothing depends on where cues are cut, and gives every word piece a probability for each kind of event, for what goes
with an event, and for the words that say the details of places; ties say which event rests on which of those words.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from callnotes.extract.normal import Talk
from callnotes.resources import DATA

if TYPE_CHECKING:
    import numpy as np

    from callnotes.extract.listener import Listener

FOLDER = DATA / "listener"
_THRESHOLD = 0.5
# How far back, in tokens, an event may rest on the words that name its place: about as far as the model was taught.
_REACH = 320


@dataclass(frozen=True, slots=True)
class Heard:
    """An event that the listener hears over tokens ``first`` up to ``last``, with its probability."""

    first: int
    last: int
    label: str
    probability: float

    @property
    def subject(self) -> str:
        """What rivals share: two actions over the same words, or two states of one quantity, are one event."""
        return "action" if self.label.startswith("a:") else self.label.partition("=")[0]


@dataclass(frozen=True, slots=True)
class Traits:
    """What goes with an event, each with its probability; ``kinds`` of point, "none" for no place, sum to one.

    ``has`` tells for each detail of a point ("pair", "label", ...) how likely this event's point has one.
    """

    kinds: dict[str, float]
    side: tuple[str, float]
    verdicts: dict[str, float]
    conditions: dict[str, float]
    has: dict[str, float]

    @property
    def kind(self) -> tuple[str, float]:
        """The likeliest kind of point."""
        return max(self.kinds.items(), key=lambda item: item[1])


@dataclass(frozen=True, slots=True)
class Mention:
    """Words over tokens ``first`` up to ``last`` that say a detail of a place, and how likely they are meant."""

    first: int
    last: int
    key: str
    probability: float


class Hearing:
    """The listener's probabilities over the tokens of one talk, one row a token."""

    def __init__(self, listener: Listener, rows: dict[str, np.ndarray]) -> None:
        names = listener.names
        self._names, self._rows = names, rows
        self._nearness, self._edges, self._confidence = listener.nearness, listener.edges, listener.confidence
        self._labels = {label: i for i, label in enumerate(names["event"])}
        self._mentions = {key: self._runs("detail", at) for at, key in enumerate(names["detail"])}

    def _runs(self, head: str, at: int) -> list[tuple[int, int]]:
        """The stretches where that output is likelier than not, in order."""
        import numpy as np

        over = np.concatenate(([False], self._rows[head][:, at] > _THRESHOLD, [False]))
        edges = np.flatnonzero(over[1:] != over[:-1]).tolist()
        return list(zip(edges[::2], edges[1::2], strict=True))

    # --- events

    def probability(self, label: str, first: int, last: int) -> float:
        """How likely an event of that label lies in those tokens; 1 for a label it was never taught."""
        at = self._labels.get(label)
        return 1.0 if at is None else float(self._rows["event"][first:last, at].max(initial=0.0))

    def best(self, labels: Iterable[str], first: int, last: int) -> tuple[str | None, float]:
        """The likeliest of some labels over those tokens."""
        found = [(self.probability(label, first, last), label) for label in labels if label in self._labels]
        probability, label = max(found, default=(0.0, None))
        return label, probability

    def runs(self) -> list[Heard]:
        """The stretches where an event is likelier than not, in order; of rivals over the same words the likeliest."""
        found = [
            Heard(first, last, label, float(self._rows["event"][first:last, at].max()))
            for label, at in self._labels.items()
            for first, last in self._runs("event", at)
        ]
        kept: list[Heard] = []
        for heard in sorted(found, key=lambda heard: -heard.probability):
            rivals = (other for other in kept if other.first < heard.last and heard.first < other.last)
            if not any(other.subject == heard.subject for other in rivals):
                kept.append(heard)
        return sorted(kept, key=lambda heard: (heard.first, heard.last))

    def traits(self, first: int, last: int) -> Traits:
        """What goes with an event in those tokens."""

        def top(name: str) -> tuple[str, float]:
            mean = self._rows[name][first:last].mean(axis=0)
            return self._names[name][int(mean.argmax())], float(mean.max())

        def each(name: str, least: float) -> dict[str, float]:
            mean = self._rows[name][first:last].mean(axis=0)
            return {key: float(p) for key, p in zip(self._names[name], mean, strict=True) if p > least}

        return Traits(each("kind", 0.0), top("side"), each("verdict", 0.0), each("condition", 0.0), each("has", 0.0))

    # --- places

    def place(self, first: int, last: int) -> float:
        """How likely those tokens name a place where something is read or done."""
        return float(self._rows["place"][first:last].max(initial=0.0))

    def place_runs(self, first: int, last: int) -> list[tuple[int, int]]:
        """The stretches among those tokens that likelier than not name such a place."""
        found: list[tuple[int, int]] = []
        for token in range(first, last):
            if self._rows["place"][token, 0] <= _THRESHOLD:
                continue
            if found and found[-1][1] == token:
                found[-1] = (found[-1][0], token + 1)
            else:
                found.append((token, token + 1))
        return found

    def detail(self, first: int, last: int) -> float:
        """How likely those tokens say a detail of a place: its port, pair, label ..."""
        return float(self._rows["detail"][first:last].max(initial=0.0))

    def details(self, first: int, last: int, ahead: int) -> dict[str, list[Mention]]:
        """For each detail of a place the words within reach that say one, each with the share that it is meant here.

        ``ahead`` is the last token that may still say it. The shares of one detail sum to one.
        """
        import numpy as np

        seeking = self._rows["seeks"][first:last].mean(axis=0)
        found = {}
        for number, (key, runs) in enumerate(self._mentions.items()):
            near = runs[bisect_left(runs, (first - _REACH, 0)) : bisect_left(runs, (ahead, 0))]
            if not near:
                continue
            offers = np.stack([self._rows["offers"][a:b].mean(axis=0) for a, b in near])
            distance = self._rows["at"][first] - self._rows["at"][[a for a, _ in near]]
            score = offers @ seeking / len(seeking) ** 0.5 + self._nearness[number][np.digitize(distance, self._edges)]
            shares = np.exp(score - score.max())
            shares /= shares.sum()
            found[key] = [Mention(a, b, key, float(share)) for (a, b), share in zip(near, shares, strict=True)]
        return found

    # --- what else is told

    def confidence(self, sort: str, heard: float) -> float:
        """The share of events of that sort (action, state, number), heard so likely, that were right on new talk."""
        import numpy as np

        if sort not in self._confidence:
            return heard
        return float(np.interp(heard, *self._confidence[sort]))

    def facts(self, name: str) -> list[tuple[int, int, float]]:
        """The stretches that likelier than not say that fact of the call, with their probability."""
        at = self._names["fact"].index(name)
        rows = self._rows["fact"]
        return [(first, last, float(rows[first:last, at].mean())) for first, last in self._runs("fact", at)]


def hear(talk: Talk, folder: Path) -> Hearing | None:
    """The listener's view of a talk; None where no trained listener is installed or nothing is said."""
    listener = _listener(folder) if talk.tokens else None
    if listener is None:
        return None
    text, starts = _stream(talk)
    spans = [(starts[token.cue] + token.first, starts[token.cue] + token.last) for token in talk.tokens]
    return Hearing(listener, listener.rows(text, spans))


@cache
def _listener(folder: Path) -> Listener | None:
    if not (folder / "listener.onnx").is_file():
        return None
    from callnotes.extract.listener import Listener

    return Listener(folder)


def _stream(talk: Talk) -> tuple[str, dict[int, int]]:
    """The talk as one text, and where each cue starts in it."""
    starts: dict[int, int] = {}
    parts: list[str] = []
    at = 0
    for cue in dict.fromkeys(token.cue for token in talk.tokens):
        starts[cue] = at
        parts.append(talk.cues[cue].text)
        at += len(parts[-1]) + 1
    return " ".join(parts), starts
