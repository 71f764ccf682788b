"""The trained listener itself: its files, and running it over a text in overlapping windows."""

from __future__ import annotations

import csv
import json
from collections.abc import Sequence
from pathlib import Path

import numpy as np

_WINDOW, _STEP = 480, 400
# So many pieces from its end a window counts in full.
_EDGE = 96
# What each output is (see tests/training/listener_model.py): several things at once, one choice, or half of a tie.
_SEVERAL = ("event", "condition", "place", "detail", "has", "fact")
_CHOICES = ("kind", "side", "verdict")
_TIES = ("seeks", "offers")
_NAMES = {
    "event": "labels", "kind": "kinds", "side": "sides", "verdict": "verdicts", "condition": "conditions",
    "detail": "details", "has": "details", "fact": "facts",
}  # fmt: skip


class Listener:
    """A model folder, loaded: ``listener.onnx``, ``tokenizer.json`` and ``labels.json``."""

    def __init__(self, folder: Path) -> None:
        import onnxruntime
        from tokenizers import Tokenizer

        onnxruntime.set_default_logger_severity(3)
        self._session = onnxruntime.InferenceSession(str(folder / "listener.onnx"), providers=["CPUExecutionProvider"])
        self._outputs = [*_SEVERAL, *_CHOICES, *_TIES]
        self._tokenizer = Tokenizer.from_file(str(folder / "tokenizer.json"))
        named = json.loads((folder / "labels.json").read_text(encoding="utf-8"))
        self.names: dict[str, list[str]] = {head: named[name] for head, name in _NAMES.items()}
        self.edges = np.array(named["edges"])
        self.nearness = np.array(named["nearness"])
        self.confidence = _confidence(folder / "confidence.csv")
        self._ends = [self._tokenizer.token_to_id(name) or 0 for name in ("[CLS]", "[SEP]")]

    def rows(self, text: str, spans: Sequence[tuple[int, int]]) -> dict[str, np.ndarray]:
        """For each span of letters a row of probabilities a head: of events its greatest piece, else their mean."""
        pieces = self._tokenizer.encode(text, add_special_tokens=False)
        of_span = _within(spans, pieces.offsets)
        rows = {"at": np.array([first for first, _ in of_span])}
        for name, out in self._run(np.array(pieces.ids, dtype=np.int64)).items():
            made = _sigmoid(out) if name in _SEVERAL else _softmax(out) if name in _CHOICES else out
            rows[name] = _joined(made, of_span, greatest=name == "event")
        return rows

    def _run(self, ids: np.ndarray) -> dict[str, np.ndarray]:
        """The model over overlapping windows; a piece takes the mean of its windows, weighted to their middle."""
        starts = list(range(0, max(1, len(ids) - _WINDOW + _STEP), _STEP))
        sums: dict[str, np.ndarray] = {}
        weights = np.zeros((len(ids), 1), dtype=np.float32)
        for start in starts:
            window = ids[start : start + _WINDOW]
            given = np.array([[self._ends[0], *window, self._ends[1]]], dtype=np.int64)
            weight = _weight(len(window))
            here = slice(start, start + len(window))
            weights[here] += weight
            made = self._session.run(self._outputs, {"ids": given, "mask": np.ones_like(given)})
            for name, out in zip(self._outputs, made, strict=True):
                total = sums.setdefault(name, np.zeros((len(ids), out.shape[2]), dtype=np.float32))
                total[here] += weight * out[0, 1:-1]
        return {name: total / weights for name, total in sums.items()}


def _weight(length: int) -> np.ndarray:
    """How much a window counts for each of its pieces: least at its ends, where it hears only one side."""
    places = np.arange(1, length + 1, dtype=np.float32)
    return np.minimum(np.minimum(places, places[::-1]), _EDGE)[:, None]


def _confidence(file: Path) -> dict[str, tuple[list[float], list[float]]]:
    """For each sort of event what was heard, in order, and the share of such events that were right."""
    found: dict[str, tuple[list[float], list[float]]] = {}
    if file.is_file():
        with file.open(encoding="utf-8", newline="") as lines:
            for row in csv.DictReader(lines):
                heard, right = found.setdefault(row["sort"], ([], []))
                heard.append(float(row["heard"]))
                right.append(float(row["right"]))
    return found


def _within(spans: Sequence[tuple[int, int]], offsets: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """For each span the offsets (half-open) that lie in its letters; both come in order."""
    found, at = [], 0
    for first, last in spans:
        while at < len(offsets) and offsets[at][1] <= first:
            at += 1
        end = at
        while end < len(offsets) and offsets[end][0] < last:
            end += 1
        found.append((at, end))
    return found


def _joined(pieces: np.ndarray, of_span: Sequence[tuple[int, int]], *, greatest: bool) -> np.ndarray:
    """One row a span: the greatest of its pieces' rows or their mean; zeros for a span without pieces."""
    ends = np.array(of_span, dtype=np.int64).reshape(-1, 2)
    counts = (ends[:, 1] - ends[:, 0])[:, None]
    padded = np.vstack([pieces, np.zeros((1, pieces.shape[1]), dtype=pieces.dtype)])
    # reduceat takes each stretch between two following indices; every second of them is a span.
    over = np.maximum if greatest else np.add
    rows = over.reduceat(padded, ends.ravel(), axis=0)[::2]
    return np.where(counts > 0, rows if greatest else rows / np.maximum(counts, 1), 0).astype(pieces.dtype)


def _sigmoid(logits: np.ndarray) -> np.ndarray:
    odds: np.ndarray = np.exp(-logits)
    return 1.0 / (1.0 + odds)


def _softmax(logits: np.ndarray) -> np.ndarray:
    powers = np.exp(logits - logits.max(axis=-1, keepdims=True))
    shares: np.ndarray = powers / powers.sum(axis=-1, keepdims=True)
    return shares
