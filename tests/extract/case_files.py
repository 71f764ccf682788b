"""Cases of extraction as plain files: talk, a line ``# expect``, then what must come of it, a line each.

``python -m tests.extract.case_files`` writes what came out into the files, for a person to read in the diff.
"""

from __future__ import annotations

from pathlib import Path

from callnotes.extract import extract
from callnotes.records import Cue, Event, Made, Timeline, Transcript
from callnotes.trade import Trade, load_trade

CASES = Path(__file__).parent.parent / "cases" / "extract"
MARK = "# expect"
SECONDS = 5.0


def transcript_of(talk: list[str]) -> Transcript:
    """One cue a line, five seconds each."""
    cues = tuple(Cue(start=n * SECONDS, end=(n + 1) * SECONDS, text=line) for n, line in enumerate(talk))
    return Transcript(made=Made(version="0"), cues=cues)


def read_case(path: Path) -> tuple[list[str], list[str]]:
    """(talk, expected lines) of a case file."""
    talk, _, expected = path.read_text(encoding="utf-8").partition(MARK)
    return talk.strip().splitlines(), expected.strip().splitlines()


def lines_of(timeline: Timeline) -> list[str]:
    """What came of the talk, one line an event or set-aside stretch."""
    return [_event_line(event, timeline) for event in timeline.events] + [
        f"aside {aside.reason}: {aside.text}" for aside in timeline.set_aside
    ]


def _event_line(event: Event, timeline: Timeline) -> str:
    if event.kind == "note":
        return f"note: {event.text}"
    what = event.action or f"{event.quantity} " + (event.state or f"{event.value:g} {event.unit}")
    point = timeline.point(event.point)
    parts = [event.kind, what, "at", point.kind if point else "nowhere"]
    if point:
        parts += [f"{k}={v}" for k, v in point if k not in ("id", "kind", "order") and v not in (None, ())]
    parts += [f"[{c.what} {c.is_}]" for c in event.conditions]
    return " ".join([*parts, event.verdict or ""]).strip()


def case_result(path: Path, trade: Trade) -> list[str]:
    return lines_of(extract(transcript_of(read_case(path)[0]), trade))


if __name__ == "__main__":
    shipped = load_trade()
    for file in sorted(CASES.glob("*.txt")):
        talk, _ = read_case(file)
        file.write_text("\n".join([*talk, MARK, *case_result(file, shipped)]) + "\n", encoding="utf-8")
