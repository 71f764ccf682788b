"""Stand-ins for the slow stages: an engine that counts how often it is asked, and papers of a few bytes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from callnotes.pipeline import one
from callnotes.records import Cue, Event, Made, Recording, Timeline, Transcript


class Ear:
    """A speech engine that hears the text of the file, whatever it holds, and counts."""

    def __init__(self) -> None:
        self.heard: list[str | None] = []
        self.cues: tuple[Cue, ...] | None = None

    def transcribe(self, recording: Path, settings: Any, progress: Any) -> Transcript:
        self.heard.append(settings.model)
        cues = (Cue(start=0, end=2, text=recording.read_bytes().decode()),) if self.cues is None else self.cues
        made = Made(version="0", engine=settings.engine, model=settings.model or "any")
        return Transcript(
            recordings=(Recording(name=recording.name, sha256="0" * 64, duration_s=2),), made=made, cues=cues
        )


def _timeline(transcript: Transcript, settings: Any, trade: Any = None) -> Timeline:
    said = [
        Event(id=f"E{number}", kind="note", start=cue.start, end=cue.end, text=cue.text, confidence=1)
        for number, cue in enumerate(transcript.cues, 1)
    ]
    return Timeline(recordings=transcript.recordings, made=transcript.made, events=tuple(said))


def _paper(timeline: Timeline, settings: Any, kind: str, trade: Any = None) -> bytes:
    return f"{kind}: {[event.text for event in timeline.events]}".encode()


@pytest.fixture
def ear(monkeypatch: pytest.MonkeyPatch) -> Ear:
    engine = Ear()
    monkeypatch.setattr(one, "_engine", lambda name: engine)
    monkeypatch.setattr(one, "make_timeline", _timeline)
    monkeypatch.setattr(one, "render", _paper)
    return engine


@pytest.fixture
def sound(tmp_path: Path) -> Callable[..., Path]:
    """Makes a recording that the stand-in engine can hear."""

    def make(name: str = "memo.opus", *, says: str = "dial tone at the demarc") -> Path:
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True, parents=True)
        path.write_bytes(says.encode())
        return path

    return make
