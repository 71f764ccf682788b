"""How long extraction takes over an hour of talk, start-up included: ``python tests/bench/speed_talk.py [WORDS]``.

The practice calls are repeated to the number of words asked for (9,000 are an hour). Prints seconds and memory.
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


def main() -> None:
    words = int(sys.argv[1]) if len(sys.argv) > 1 else 9000
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "talk.txt"
        file.write_text(talk_of(words), encoding="utf-8")
        print(
            f"{words} words:",
            subprocess.run(
                [sys.executable, "-c", PROGRAM, str(file)], capture_output=True, text=True, check=True
            ).stdout.strip(),
        )


if __name__ == "__main__":
    main()
