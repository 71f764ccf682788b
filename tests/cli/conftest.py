"""The command line called as a user calls it, in a folder of its own, hearing by ``replay``."""

from __future__ import annotations

import io
import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from callnotes.cli import main
from callnotes.records import CautionGiven, Event, Made, OpenItem, Timeline, to_json

AUDIO = Path(__file__).parent.parent / "audio"
RECORDING = AUDIO / "split-block-short.opus"
WORDS = AUDIO / "split-block-short.vtt"


@dataclass(frozen=True)
class Said:
    """What a command left: its exit status and both streams."""

    status: int
    out: str
    err: str


Command = Callable[..., Said]


@pytest.fixture
def callnotes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfdbinary: pytest.CaptureFixture[bytes]) -> Command:
    """Runs one command in an empty folder; ``given`` is what stands on standard input."""
    for name in os.environ:
        if name.startswith("CALLNOTES_"):
            monkeypatch.delenv(name)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("CALLNOTES_ENGINE", "replay")
    monkeypatch.setenv("CALLNOTES_MODEL", str(WORDS))
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)

    def command(*arguments: object, given: bytes = b"") -> Said:
        capfdbinary.readouterr()
        monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(given)))
        status = main([str(argument) for argument in arguments])
        out, err = capfdbinary.readouterr()
        return Said(status, out.decode(), err.decode())

    return command


@pytest.fixture
def timeline_of(tmp_path: Path) -> Callable[..., Path]:
    """Writes a timeline with open items of the levels given."""

    def make(*levels: str, caution: str | None = None) -> Path:
        items = [OpenItem(code=f"item-{n}", text=f"Item {n}", level=at, because="E1") for n, at in enumerate(levels)]
        cautions = (CautionGiven(code="care", text=caution),) if caution else ()
        event = Event(id="E1", kind="note", start=200, end=203, text="left it", confidence=1)
        timeline = Timeline(made=Made(version="0"), events=(event,), open_items=tuple(items), cautions=cautions)
        path = tmp_path / "call.timeline.json"
        path.write_text(to_json(timeline))
        return path

    return make
