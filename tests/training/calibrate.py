"""Measures what the listener's confidence is worth, on annotated talk that it was not taught.

    python tests/training/calibrate.py LISTENER SOURCE...      writes LISTENER/confidence.csv

SOURCE is a folder of ``NAME.vtt`` with ``NAME.gold.json`` or a file of annotated talk. Events are sorted by how likely
they were heard; over steps of equally many events the share that was right is taken and made to rise (pool adjacent
violators), so that a higher confidence is never worth less.
"""

from __future__ import annotations

import csv
import json
import sys
import tempfile
from pathlib import Path

import numpy as np

sys.path.append(str(Path(__file__).resolve().parents[1] / "bench"))
import score
import score_talk

from callnotes.trade import load_trade

STEPS = 6


def judged(source: Path, listener: Path) -> list[tuple[str, float, bool]]:
    """Every reading and action made: its sort, its confidence, and whether the annotation has it."""
    with tempfile.TemporaryDirectory() as scratch:
        folder, out = source, Path(scratch) / "made"
        if source.is_file():
            folder = Path(scratch) / "talk"
            folder.mkdir()
            score_talk.unpack(source, folder)
        score_talk.figures(folder, load_trade(), keep=out, listener=listener)
        return [item for gold in sorted(folder.glob("*.gold.json")) for item in _matched(gold, out)]


def _matched(file: Path, made: Path) -> list[tuple[str, float, bool]]:
    name = file.name.removesuffix(".gold.json")
    cues = score.read_vtt(file.with_name(f"{name}.vtt"))
    events = [e for e in json.loads((made / f"{name}.timeline.json").read_text())["events"] if e["kind"] != "note"]
    wanted = [e for e in json.loads(file.read_text())["events"] if e["kind"] != "note"]
    taken: set[int] = set()
    for gold in sorted(wanted, key=lambda event: bool(event.get("optional"))):
        same = score.same_reading if gold["kind"] == "reading" else score.same_action
        near = [
            (off, at)
            for at, event in enumerate(events)
            if at not in taken and same(event, gold)
            if (off := abs(score.cue_of(event["start"], cues) - gold["cue"])) <= 1
        ]
        if near:
            taken.add(min(near)[1])
    return [(_sort(event), event["confidence"], at in taken) for at, event in enumerate(events)]


def _sort(event: dict[str, object]) -> str:
    return "action" if event["kind"] == "action" else "number" if event["value"] is not None else "state"


def rising(heard: np.ndarray, right: np.ndarray) -> list[tuple[float, float]]:
    """(heard, share right) of steps of equal size, made to rise."""
    order = np.argsort(heard)
    blocks = [
        [float(heard[part].mean()), float(right[part].mean()), len(part)]
        for part in np.array_split(order, STEPS)
        if len(part)
    ]
    at = 1
    while at < len(blocks):
        if blocks[at][1] < blocks[at - 1][1]:
            (h1, r1, n1), (h2, r2, n2) = blocks[at - 1 : at + 1]
            n = n1 + n2
            blocks[at - 1 : at + 1] = [[(h1 * n1 + h2 * n2) / n, (r1 * n1 + r2 * n2) / n, n]]
            at = max(1, at - 1)
        else:
            at += 1
    return [(round(h, 3), round(r, 3)) for h, r, _ in blocks]


def main() -> None:
    listener, *sources = map(Path, sys.argv[1:])
    (listener / "confidence.csv").unlink(missing_ok=True)
    found = [item for source in sources for item in judged(source, listener)]
    with (listener / "confidence.csv").open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(["sort", "heard", "right"])
        for sort in ("action", "number", "state"):
            mine = [(confidence, right) for name, confidence, right in found if name == sort]
            steps = rising(np.array([c for c, _ in mine]), np.array([r for _, r in mine], dtype=float))
            rows.writerows([sort, *step] for step in steps)
            print(sort, len(mine), steps)


if __name__ == "__main__":
    main()
