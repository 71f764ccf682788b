"""What a trained listener makes of the talk: which words carry an event, where it is, what was said of it.

A small transformer (see ``tests/training``) reads the talk as one stream, in overlapping windows, so that
nothing depends on where cues are cut, and gives every word piece a probability for each kind of event. The
rules use it to confirm, to hold back and to add; values, details of places and times stay theirs.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from callnotes.extract.normal import Talk
from callnotes.resources import DATA

if TYPE_CHECKING:
    import numpy as np

FOLDER = DATA / "listener"
_WINDOW, _STEP, _BATCH = 160, 106, 16
_THRESHOLD = 0.5
_TRAITS = ("kind", "side", "verdict", "condition", "place", "aside")


@dataclass(frozen=True, slots=True)
class Heard:
    """An event that the listener hears over tokens ``first`` up to ``last``, with its probability."""

    first: int
    last: int
    label: str
    probability: float


@dataclass(frozen=True, slots=True)
class Traits:
    """What goes with an event, each with its probability: kind of point, side, verdict, and conditions."""

    kind: tuple[str, float]
    side: tuple[str, float]
    verdict: tuple[str, float]
    conditions: dict[str, float]


class Hearing:
    """The listener's probabilities over the tokens of one talk."""

    def __init__(
        self, labels: Sequence[str], names: dict[str, list[str]], events: np.ndarray, traits: dict[str, np.ndarray]
    ) -> None:
        self._labels = {label: i for i, label in enumerate(labels)}
        self._names, self._events, self._traits = names, events, traits

    def probability(self, label: str, first: int, last: int) -> float:
        """How likely an event of that label lies in those tokens; 1 for a label it was never taught."""
        at = self._labels.get(label)
        return 1.0 if at is None else float(self._events[first:last, at].max(initial=0.0))

    def best(self, labels: Iterable[str], first: int, last: int) -> tuple[str | None, float]:
        """The likeliest of some labels over those tokens."""
        found = [(self.probability(label, first, last), label) for label in labels if label in self._labels]
        probability, label = max(found, default=(0.0, None))
        return label, probability

    def runs(self) -> list[Heard]:
        """The stretches where an event is likelier than not, in order."""
        found = []
        for label, at in self._labels.items():
            over = self._events[:, at] > _THRESHOLD
            first = None
            for token in range(len(over) + 1):
                inside = token < len(over) and bool(over[token])
                if inside and first is None:
                    first = token
                elif not inside and first is not None:
                    found.append(Heard(first, token, label, float(self._events[first:token, at].max())))
                    first = None
        return sorted(found, key=lambda heard: (heard.first, heard.last))

    def place(self, first: int, last: int) -> float:
        """How likely those tokens name a place where something is read or done."""
        return float(self._traits["place"][first:last].max(initial=0.0))

    def place_runs(self, first: int, last: int) -> list[tuple[int, int]]:
        """The stretches among those tokens that likelier than not name such a place."""
        found: list[tuple[int, int]] = []
        for token in range(first, last):
            if self._traits["place"][token, 0] <= _THRESHOLD:
                continue
            if found and found[-1][1] == token:
                found[-1] = (found[-1][0], token + 1)
            else:
                found.append((token, token + 1))
        return found

    def aside(self, first: int, last: int) -> tuple[str, float]:
        """The likeliest reason to set those tokens aside."""
        mean = self._traits["aside"][first:last].mean(axis=0)
        return self._names["aside"][int(mean.argmax())], float(mean.max())

    def traits(self, first: int, last: int) -> Traits:
        """What goes with an event in those tokens."""

        def top(name: str) -> tuple[str, float]:
            mean = self._traits[name][first:last].mean(axis=0)
            return self._names[name][int(mean.argmax())], float(mean.max())

        conditions = self._traits["condition"][first:last].mean(axis=0)
        likely = {
            name: float(p) for name, p in zip(self._names["condition"], conditions, strict=True) if p > _THRESHOLD
        }
        return Traits(top("kind"), top("side"), top("verdict"), likely)


def hear(talk: Talk, folder: Path = FOLDER) -> Hearing | None:
    """The listener's view of a talk; None where no trained listener is installed or nothing is said."""
    listener = _listener(folder)
    return listener.hear(talk) if listener and talk.tokens else None


@cache
def _listener(folder: Path) -> _Listener | None:
    return _Listener(folder) if (folder / "listener.onnx").is_file() else None


class _Listener:
    def __init__(self, folder: Path) -> None:
        import onnxruntime
        from tokenizers import Tokenizer

        onnxruntime.set_default_logger_severity(3)
        self._session = onnxruntime.InferenceSession(str(folder / "listener.onnx"), providers=["CPUExecutionProvider"])
        self._tokenizer = Tokenizer.from_file(str(folder / "tokenizer.json"))
        named = json.loads((folder / "labels.json").read_text(encoding="utf-8"))
        self._labels: list[str] = named["labels"]
        self._names = {
            "kind": named["kinds"], "side": named["sides"], "verdict": named["verdicts"],
            "condition": named["conditions"], "aside": named["reasons"],
        }  # fmt: skip
        self._ends = [self._tokenizer.token_to_id(name) or 0 for name in ("[CLS]", "[SEP]")]

    def hear(self, talk: Talk) -> Hearing:
        """Probabilities a token: of events the greatest among its word pieces, of traits their mean."""
        import numpy as np

        text, starts = _stream(talk)
        pieces = self._tokenizer.encode(text, add_special_tokens=False)
        outputs = self._run(np.array(pieces.ids, dtype=np.int64))
        spans = [(starts[t.cue] + t.first, starts[t.cue] + t.last) for t in talk.tokens]
        of_token = _pieces_of(spans, pieces.offsets)
        event = _sigmoid(outputs[0])
        made = [*(_softmax(out) for out in outputs[1:4]), *(_sigmoid(out) for out in outputs[4:])]
        events = np.stack([event[a:b].max(axis=0) if b > a else np.zeros(event.shape[1]) for a, b in of_token])
        traits = {
            name: np.stack([out[a:b].mean(axis=0) if b > a else np.zeros(out.shape[1]) for a, b in of_token])
            for name, out in zip(_TRAITS, made, strict=True)
        }
        return Hearing(self._labels, self._names, events, traits)

    def _run(self, ids: np.ndarray) -> list[np.ndarray]:
        """The model over windows; each piece takes the window in which it stands most in the middle."""
        import numpy as np

        starts = list(range(0, max(1, len(ids) - _WINDOW + _STEP), _STEP))
        results: list[list[np.ndarray]] = []
        for at in range(0, len(starts), _BATCH):
            chunk = [ids[start : start + _WINDOW] for start in starts[at : at + _BATCH]]
            longest = max(map(len, chunk)) + 2
            batch = np.zeros((len(chunk), longest), dtype=np.int64)
            mask = np.zeros_like(batch)
            for row, window in enumerate(chunk):
                batch[row, 0], batch[row, 1 : len(window) + 1], batch[row, len(window) + 1] = (
                    self._ends[0],
                    window,
                    self._ends[1],
                )
                mask[row, : len(window) + 2] = 1
            outputs = self._session.run(None, {"ids": batch, "mask": mask})
            results += [[out[row, 1 : len(window) + 1] for out in outputs] for row, window in enumerate(chunk)]
        margin = (_WINDOW - _STEP) // 2
        joined: list[list[np.ndarray]] = [[] for _ in results[0]]
        for number, (start, outputs) in enumerate(zip(starts, results, strict=True)):
            first = 0 if number == 0 else margin
            last = len(outputs[0]) if number + 1 == len(starts) else starts[number + 1] + margin - start
            for parts, out in zip(joined, outputs, strict=True):
                parts.append(out[first:last])
        return [np.concatenate(parts) for parts in joined]


def _stream(talk: Talk) -> tuple[str, dict[int, int]]:
    """The talk as one text, and where each cue starts in it."""
    starts: dict[int, int] = {}
    parts, at = [], 0
    for cue in dict.fromkeys(token.cue for token in talk.tokens):
        starts[cue] = at
        parts.append(talk.cues[cue].text)
        at += len(parts[-1]) + 1
    return " ".join(parts), starts


def _pieces_of(spans: Sequence[tuple[int, int]], offsets: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """For each token the pieces (half-open) that lie in its letters; both come in order."""
    found, at = [], 0
    for first, last in spans:
        while at < len(offsets) and offsets[at][1] <= first:
            at += 1
        end = at
        while end < len(offsets) and offsets[end][0] < last:
            end += 1
        found.append((at, end))
    return found


def _sigmoid(logits: Any) -> Any:
    import numpy as np

    return 1.0 / (1.0 + np.exp(-logits))


def _softmax(logits: Any) -> Any:
    import numpy as np

    powers = np.exp(logits - logits.max(axis=-1, keepdims=True))
    return powers / powers.sum(axis=-1, keepdims=True)
