"""The whole job on one call: what is done again, what is used again, what a person changed."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from callnotes.errors import InputError, OptionError
from callnotes.pipeline import one
from callnotes.pipeline.timelines import read_timeline
from callnotes.progress import Silent
from callnotes.records import Cue
from callnotes.settings import Settings

from .conftest import Ear

Sound = Callable[..., Path]
EVERYTHING = {
    "memo.opus",
    "transcript.json",
    "transcript.vtt",
    "timeline.json",
    "corrections.jsonl",
    "report.docx",
    "report.html",
    "report.md",
}


class Notes(Silent):
    def __init__(self) -> None:
        self.lines: list[str] = []

    def warn(self, line: str) -> None:
        self.lines.append(line)


def run(source: Path, tmp_path: Path, **settings: object) -> tuple[one.Outcome, list[str]]:
    notes = Notes()
    return one.run(source, tmp_path / "out", Settings(**settings), notes), notes.lines  # type: ignore[arg-type]


def test_everything_of_a_call_lies_in_its_folder(tmp_path: Path, ear: Ear, sound: Sound) -> None:
    outcome, _ = run(sound(), tmp_path)
    assert {path.name for path in outcome.folder.iterdir() if not path.name.startswith(".")} == EVERYTHING
    assert (outcome.folder / "memo.opus").read_bytes() == sound().read_bytes()
    assert {path.name for path in outcome.files} == EVERYTHING - {"corrections.jsonl"}


def test_a_second_run_does_not_hear_again(tmp_path: Path, ear: Ear, sound: Sound) -> None:
    first, _ = run(sound(), tmp_path)
    before = {path.name: path.stat().st_mtime_ns for path in first.folder.iterdir()}
    second, notes = run(sound(), tmp_path)
    assert ear.heard == [None]
    assert (second.folder, second.reused, notes) == (first.folder, ("transcript",), [])
    written = {p.name for p in first.folder.iterdir() if p.stat().st_mtime_ns != before[p.name]}
    assert written <= {".callnotes.json", ".callnotes.lock"}


def test_another_model_hears_again_and_no_model_goes_on_with_what_is_there(
    tmp_path: Path, ear: Ear, sound: Sound
) -> None:
    first, _ = run(sound(), tmp_path)
    run(sound(), tmp_path, model="base")
    run(sound(), tmp_path, model="base")
    assert run(first.folder, tmp_path)[0].reused == ("transcript",)
    assert ear.heard == [None, "base"]


def test_another_vocabulary_hears_again(tmp_path: Path, ear: Ear, sound: Sound) -> None:
    words = tmp_path / "words.toml"
    for text in ("", "# more\n"):
        words.write_text(text)
        run(sound(), tmp_path, vocabulary=(words,))
        run(sound(), tmp_path, vocabulary=(words,))
    assert len(ear.heard) == 2


def test_a_transcript_changed_by_hand_is_used_as_it_is(tmp_path: Path, ear: Ear, sound: Sound) -> None:
    folder = run(sound(), tmp_path)[0].folder
    transcript = folder / "transcript.json"
    transcript.write_text(transcript.read_text().replace("dial tone", "no dial tone"))
    outcome, notes = run(folder, tmp_path, model="base")
    assert outcome.timeline.events[0].text == "no dial tone at the demarc"
    assert notes == ["transcript.json was changed by hand and is used as it is"]
    assert "no dial tone" in (folder / "transcript.vtt").read_text()
    assert "no dial tone" in (folder / "report.md").read_text()
    assert len(ear.heard) == 1


def test_a_timeline_changed_by_hand_is_used_as_it_is(tmp_path: Path, ear: Ear, sound: Sound) -> None:
    folder = run(sound(), tmp_path)[0].folder
    timeline = folder / "timeline.json"
    changed = timeline.read_text().replace("dial tone", "loud hum")
    timeline.write_text(changed)
    _, notes = run(folder, tmp_path)
    assert notes == ["timeline.json was changed by hand and is used as it is"]
    assert timeline.read_text() == changed
    assert "loud hum" in (folder / "report.html").read_text()


def test_a_report_changed_by_hand_is_kept(tmp_path: Path, ear: Ear, sound: Sound) -> None:
    folder = run(sound(), tmp_path)[0].folder
    (folder / "report.md").write_text("by hand")
    outcome, notes = run(folder, tmp_path)
    assert notes == ["report.md was changed by hand and is kept; the new one is report-2.md"]
    assert (folder / "report.md").read_text() == "by hand"
    assert (folder / "report-2.md").read_text().startswith("md: ")
    assert [path.name for path in outcome.kept] == ["report.md"]
    assert [path.name for path in outcome.files[:3]] == ["report.docx", "report.html", "report-2.md"]


def test_an_interrupted_run_keeps_what_it_has_and_goes_on(
    tmp_path: Path, ear: Ear, sound: Sound, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(one, "make_timeline", interrupted)
        with pytest.raises(KeyboardInterrupt):
            run(sound(), tmp_path)
    folder = tmp_path / "out" / "memo"
    assert {p.name for p in folder.iterdir() if not p.name.startswith(".")} == {
        "memo.opus",
        "transcript.json",
        "transcript.vtt",
    }
    assert run(folder, tmp_path)[0].reused == ("transcript",)
    assert len(ear.heard) == 1


@pytest.mark.parametrize(
    "cues",
    [
        (),
        (Cue(start=0, end=2, text="Thank you.", marks=("no_speech",)),),
        (Cue(start=0, end=2, text="  "), Cue(start=2, end=4, text="Bye.", marks=("repeat",))),
    ],
)
def test_a_recording_in_which_nobody_speaks_leaves_nothing_behind(
    tmp_path: Path, ear: Ear, sound: Sound, cues: tuple[Cue, ...]
) -> None:
    ear.cues = cues
    with pytest.raises(InputError, match=r"memo\.opus: nobody speaks in it"):
        run(sound(), tmp_path)
    assert list((tmp_path / "out").iterdir()) == []


def test_words_that_the_engine_doubts_are_still_speech(tmp_path: Path, ear: Ear, sound: Sound) -> None:
    ear.cues = (Cue(start=0, end=2, text="Forty nine volts.", marks=("unsure",)),)
    assert run(sound(), tmp_path)[0].timeline.events[0].text == "Forty nine volts."


def test_a_setting_that_does_not_hold_is_refused_before_anything_is_heard(
    tmp_path: Path, ear: Ear, sound: Sound
) -> None:
    with pytest.raises(OptionError, match="atlantis"):
        run(sound(), tmp_path, profile="atlantis")
    with pytest.raises(OptionError, match="no such folder of templates"):
        run(sound(), tmp_path, templates=tmp_path / "none")
    assert ear.heard == []
    assert not (tmp_path / "out").exists()


def test_a_transcript_makes_a_call_folder_without_a_recording(tmp_path: Path, ear: Ear) -> None:
    source = tmp_path / "call.txt"
    source.write_text("[0:01] dial tone at the demarc\n[0:05] that is all\n")
    outcome, _ = run(source, tmp_path)
    assert {p.name for p in outcome.folder.iterdir() if not p.name.startswith(".")} == EVERYTHING - {"memo.opus"}
    assert run(source, tmp_path)[0].folder == outcome.folder
    assert run(outcome.folder, tmp_path)[0].timeline == outcome.timeline
    assert ear.heard == []


def test_another_transcript_under_the_same_path_is_another_call(tmp_path: Path, ear: Ear) -> None:
    source = tmp_path / "call.txt"
    source.write_text("[0:01] dial tone at the demarc\n")
    first, _ = run(source, tmp_path)
    source.write_text("[0:01] no dial tone at the demarc\n")
    second, _ = run(source, tmp_path)
    assert (first.folder.name, second.folder.name) == ("call", "call-2")
    assert read_timeline(first.folder / "timeline.json") == first.timeline


def test_a_timeline_is_no_input_to_run(tmp_path: Path, ear: Ear, sound: Sound) -> None:
    folder = run(sound(), tmp_path)[0].folder
    with pytest.raises(InputError, match="is a timeline"):
        run(folder / "timeline.json", tmp_path)


def test_what_is_no_timeline_is_named_with_its_place(tmp_path: Path) -> None:
    path = tmp_path / "timeline.json"
    path.write_text(json.dumps({"format": "callnotes.timeline/1", "made": {"version": "1"}, "events": [{"id": "E1"}]}))
    with pytest.raises(InputError, match=r"timeline\.json: is not a timeline: events\.0\.kind: Field required"):
        read_timeline(path)


def test_the_package_itself_is_light_and_gives_the_stages() -> None:
    code = (
        "import sys, callnotes; print('pydantic' in sys.modules)\n"
        "from callnotes import Outcome, make_timeline, render, run, transcribe; print('spacy' in sys.modules)"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.split() == ["False", "False"]
    with pytest.raises(AttributeError, match="no attribute 'dance'"):
        _ = __import__("callnotes").dance
