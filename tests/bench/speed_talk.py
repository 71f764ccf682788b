"""How long extraction takes over an hour of talk, start-up included.

    python tests/bench/speed_talk.py [WORDS] [PIPELINE]

The practice calls are repeated to the number of words asked for (9,000 are an hour). Prints seconds and memory; with
the folder of a spaCy pipeline (its small English one, say) also how long that takes over the same text, and the ratio.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

CALLS = Path(__file__).resolve().parents[1] / "calls"
PROGRAM = """
import resource, sys, time
started = time.perf_counter()
from pathlib import Path
from callnotes.extract import extract
from callnotes.timed_text import read
from callnotes.trade import load_trade
timeline = extract(read(Path(sys.argv[1])), load_trade())
memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(f"{time.perf_counter() - started:.2f} s, {memory:.0f} MB, {len(timeline.events)} events")
"""
PLAIN_PROGRAM = """
import sys, time
started = time.perf_counter()
from pathlib import Path
import spacy
from callnotes.timed_text import read
cues = [cue.text for cue in read(Path(sys.argv[1])).cues]
found = sum(len(doc.ents) for doc in spacy.load(sys.argv[2]).pipe(cues))
print(f"{time.perf_counter() - started:.2f} s, {found} entities")
"""


def talk_of(words: int) -> str:
    """Marked text of at least so many words, 2.5 words a second."""
    lines: list[str] = []
    said = 0
    while said < words:
        for file in sorted(CALLS.glob("*.vtt")):
            for line in file.read_text(encoding="utf-8").splitlines():
                if line and "-->" not in line and line != "WEBVTT" and said < words:
                    seconds = int(said / 2.5)
                    lines.append(f"[{seconds // 3600}:{seconds % 3600 // 60:02d}:{seconds % 60:02d}] {line}")
                    said += len(line.split())
    return "\n".join(lines)


def timed(program: str, *arguments: str) -> tuple[float, str]:
    """Seconds by the program's own clock, from before its first import, and what it said."""
    command = [sys.executable, "-c", program, *arguments]
    said = subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip()
    return float(said.split(" s,")[0]), said


def main() -> None:
    words = int(sys.argv[1]) if len(sys.argv) > 1 else 9000
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "talk.txt"
        file.write_text(talk_of(words), encoding="utf-8")
        ours, said = timed(PROGRAM, str(file))
        print(f"{words} words: {said}")
        if len(sys.argv) > 2:
            theirs, said = timed(PLAIN_PROGRAM, str(file), sys.argv[2])
            print(f"the pipeline alone: {said}; ours takes {ours / theirs:.2f} times as long")


if __name__ == "__main__":
    main()
