"""Scores the extractor, in one line of figures a set.

    python tests/bench/score_talk.py                         the practice calls, and both halves of tests/cases/talk
    python tests/bench/score_talk.py FOLDER [--misses]       a folder of NAME.vtt + NAME.gold.json
    python tests/bench/score_talk.py FILE.jsonl [--misses]   a file of annotated talk

``--keep DIR`` keeps the timelines. A set that is there to check with is never listed miss by miss.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from pathlib import Path
from typing import Any

sys.path.append(str(Path(__file__).resolve().parents[1]))
import score
from rough import roughened

from callnotes import timed_text
from callnotes.diagnose import diagnose
from callnotes.extract import extract
from callnotes.extract.hearing import FOLDER
from callnotes.judge import judge
from callnotes.records import to_json
from callnotes.trade import Trade, load_trade

TESTS = Path(__file__).resolve().parents[1]
SECONDS_A_CUE = 4.0


def unpack(file: Path, folder: Path) -> None:
    """Annotated talk as a folder of transcripts and annotations, the cues evenly in time."""
    for line in file.read_text(encoding="utf-8").splitlines():
        item = json.loads(line)
        cues = "\n".join(
            f"{_stamp(n * SECONDS_A_CUE)} --> {_stamp((n + 1) * SECONDS_A_CUE)}\n{text}\n"
            for n, text in enumerate(item["cues"])
        )
        (folder / f"{item['id']}.vtt").write_text(f"WEBVTT\n\n{cues}", encoding="utf-8")
        gold = {
            "set_aside": [],
            "call": {},
            "diagnosis": {},
            **{k: v for k, v in item.items() if k not in ("id", "style", "cues")},
        }
        (folder / f"{item['id']}.gold.json").write_text(json.dumps(gold), encoding="utf-8")


def _stamp(seconds: float) -> str:
    return f"00:{int(seconds // 60):02d}:{seconds % 60:06.3f}"


def make(folder: Path, out: Path, trade: Trade, listener: Path, *, rough: bool) -> None:
    """A timeline for every transcript of the folder; ``rough``: from bare words in cues of five seconds."""
    for file in sorted(folder.glob("*.vtt")):
        transcript = roughened(timed_text.read(file)) if rough else timed_text.read(file)
        timeline = diagnose(judge(extract(transcript, trade, listener), trade), trade)
        (out / f"{file.stem}.timeline.json").write_text(to_json(timeline), encoding="utf-8")


def figures(
    source: Path,
    trade: Trade,
    *,
    misses: bool = False,
    keep: Path | None = None,
    listener: Path = FOLDER,
    rough: bool = False,
) -> dict[str, Any]:
    """All figures of a folder or a file of annotated talk."""
    with tempfile.TemporaryDirectory() as scratch:
        folder, out = source, keep or Path(scratch) / "timelines"
        out.mkdir(parents=True, exist_ok=True)
        if source.is_file():
            folder = Path(scratch) / "talk"
            folder.mkdir()
            unpack(source, folder)
        make(folder, out, trade, listener, rough=rough)
        return score.score_folder(folder, out, misses)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("source", type=Path, nargs="?")
    parser.add_argument("--misses", action="store_true")
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--listener", type=Path, default=FOLDER, help="another trained listener's folder")
    parser.add_argument("--rough", action="store_true", help="without case, marks, speakers; cues of five seconds")
    options = parser.parse_args()
    trade = load_trade()
    usual = [TESTS / "calls", *(TESTS / f"cases/talk/{name}.jsonl" for name in ("build", "check", "fresh"))]
    for source in [options.source] if options.source else usual:
        if options.misses and ("check" in source.name or "fresh" in source.name):
            parser.error(f"{source.name} is there to check with: figures only")
        got = figures(
            source, trade, misses=options.misses, keep=options.keep, listener=options.listener, rough=options.rough
        )
        short = {k: v["f1"] if isinstance(v, dict) else v for k, v in got.items() if v not in (None, [])}
        print(source.name, json.dumps(short))


if __name__ == "__main__":
    main()
