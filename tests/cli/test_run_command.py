"""``callnotes run`` from the outside: what it makes, says and leaves alone."""

from __future__ import annotations

import errno
import json
import os
import random
import shutil
import wave
from pathlib import Path

import pytest

from callnotes.pipeline import one

from .conftest import RECORDING, WORDS, Command

FILES = ["report.docx", "report.html", "report.md", "timeline.json", "transcript.json", "transcript.vtt"]


def one_line(text: str) -> str:
    """The only line of the text."""
    assert text.count("\n") == 1, text
    return text.strip()


def copy(to: str, source: Path = RECORDING) -> Path:
    Path(to).parent.mkdir(parents=True, exist_ok=True)
    return Path(shutil.copy(source, to))


def test_a_recording_becomes_a_call_folder_and_a_summary(callnotes: Command) -> None:
    said = callnotes("run", RECORDING)
    assert said.status == 0
    folder = Path("split-block-short")
    assert sorted(p.name for p in folder.iterdir() if not p.name.startswith(".")) == sorted(
        [*FILES, "corrections.jsonl", RECORDING.name]
    )
    assert said.out.splitlines()[0] == "split-block-short"
    assert "Report: split-block-short/report.docx, report.html, report.md" in said.out
    assert "readings, " in said.out
    stages = ["decoding", "speech", "finding readings and actions", "writing report.docx"]
    places = [said.err.find(stage) for stage in stages]
    assert -1 not in places
    assert places == sorted(places)


def test_nothing_that_steers_a_terminal_goes_into_a_pipe(callnotes: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    said = callnotes("run", WORDS, "-v")
    assert "\x1b" not in said.out + said.err
    assert "\r" not in said.out + said.err


def test_control_characters_in_a_name_do_not_reach_the_terminal(callnotes: Command) -> None:
    said = callnotes("run", copy("evil\x1b[31mred.vtt", WORDS))
    assert said.status == 0
    assert "\x1b" not in said.out + said.err


def test_json_holds_what_a_program_needs(callnotes: Command) -> None:
    said = callnotes("run", RECORDING, "--json", "--out", "calls")
    told = json.loads(said.out)
    assert told["format"] == "callnotes.run/1"
    assert told["failed"] == []
    (call,) = told["calls"]
    assert call["folder"] == str(Path("calls/split-block-short"))
    assert {Path(path).name for path in call["files"]} == {*FILES, RECORDING.name}
    assert call["readings"] >= 5
    assert set(call) >= {"diagnosis", "open_items", "cautions", "may_close", "reused", "kept", "input"}


def test_more_is_said_when_asked(callnotes: Command) -> None:
    said = callnotes("run", WORDS, "-v")
    assert "judged by no limits" in said.err
    assert "took" in said.err


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("gone.opus", None, "no such file"),
        ("empty.opus", b"", "gone|empty|decode|audio|sound"),
        ("empty.vtt", b"", "empty|no cue|nothing"),
        ("noise.opus", random.Random(7).randbytes(4000), "decode|audio|sound|recording"),
        ("picture.wav", b"\x89PNG\r\n\x1a\n" + bytes(500), "decode|audio|sound|recording"),
        ("broken.vtt", b"WEBVTT\n\n00:00:01.000 --> what\nhello\n", "cue|time|nothing"),
        ("broken.json", b'{"segments": [', "JSON|json"),
        ("other.json", b'{"rows": []}', "transcript|segments"),
    ],
)
def test_an_input_that_cannot_be_used_is_one_line_and_leaves_nothing(
    callnotes: Command, name: str, content: bytes | None, says: str
) -> None:
    if content is not None:
        Path(name).write_bytes(content)
    said = callnotes("run", name, "--out", "calls")
    assert said.status == 2
    line = said.err.splitlines()[-1]
    assert line.startswith("callnotes: ")
    assert name in line
    assert any(word in line for word in says.split("|")), line
    assert "Traceback" not in said.err
    assert said.out == ""
    assert not Path("calls").exists() or list(Path("calls").iterdir()) == []


def test_a_silent_recording_is_refused(callnotes: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    with wave.open("silence.wav", "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(16000)
        file.writeframes(bytes(2 * 16000 * 3))
    Path("nothing.vtt").write_text("WEBVTT\n\n00:01.000 --> 00:02.000\n \n")
    said = callnotes("run", "silence.wav", "--model", "nothing.vtt")
    assert said.status == 2
    assert "silence.wav" in said.err.splitlines()[-1] or "nothing.vtt" in said.err.splitlines()[-1]
    assert not Path("silence").exists()


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--engine", "parrot"], "parrot"),
        (["--engine", "faster-whisper", "--model", "parrot"], "there is no speech model 'parrot'; known are"),
        (["--engine", "faster-whisper", "--device", "abacus"], "there is no device 'abacus'; devices are cpu, cuda"),
        (["--profile", "atlantis"], "'atlantis'; choose from"),
        (["--vocabulary", "none.toml"], "none.toml: cannot be read"),
        (["--vocabulary", "bad.toml"], "bad.toml: is not valid TOML"),
        (["--vocabulary", "odd.toml"], "odd.toml: entry 1 (dance): name: Field required"),
        (["--templates", "none"], "none: no such folder of templates"),
    ],
)
def test_a_setting_that_does_not_hold_is_one_line_before_any_work(
    callnotes: Command, options: list[str], says: str
) -> None:
    Path("bad.toml").write_text("[[quantity]\n")
    Path("odd.toml").write_text('[[quantity]]\nquantity = "dance"\n')
    said = callnotes("run", RECORDING, RECORDING, *options, "--out", "calls")
    assert said.status == 2
    assert says in said.err.splitlines()[-1]
    assert "Traceback" not in said.err
    assert not Path("calls").exists() or list(Path("calls").iterdir()) == []


def test_a_file_where_the_folder_should_go_is_one_line(callnotes: Command) -> None:
    Path("calls").write_text("mine")
    said = callnotes("run", WORDS, "--out", "calls")
    assert said.status == 2
    assert "a file stands where a folder is needed; choose another folder" in one_line(said.err)
    assert Path("calls").read_text() == "mine"


def test_a_full_disk_is_one_line_and_loses_nothing(callnotes: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    assert callnotes("run", WORDS).status == 0
    folder = Path("split-block-short")
    before = {p.name: p.read_bytes() for p in folder.iterdir()}

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "replace", full)
    said = callnotes("run", WORDS)
    assert said.status == 2
    assert "the disk is full; make room" in said.err.splitlines()[-1]
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == before


def test_an_interrupt_is_130_and_the_next_run_goes_on(callnotes: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(one, "make_timeline", interrupted)
        said = callnotes("run", RECORDING)
    assert said.status == 130
    assert said.err.splitlines()[-1].startswith("callnotes: stopped; what was finished is kept")
    assert Path("split-block-short/transcript.json").is_file()
    again = callnotes("run", RECORDING, "-v")
    assert again.status == 0
    assert "used again: transcript" in again.err
    assert "speech" not in again.err


def test_equal_names_get_a_number(callnotes: Command) -> None:
    other = WORDS.with_name("split-block-short-changed.vtt")
    copy("a/memo.vtt", WORDS), copy("b/memo.vtt", other)
    assert callnotes("run", "a/memo.vtt", "b/memo.vtt").status == 0
    assert callnotes("run", "b/memo.vtt").status == 0
    assert sorted(p.name for p in Path().iterdir()) == ["a", "b", "memo", "memo-2"]


def test_a_report_changed_by_hand_is_kept(callnotes: Command) -> None:
    callnotes("run", WORDS)
    report = Path("split-block-short/report.docx")
    report.write_bytes(report.read_bytes() + b"by hand")
    changed = report.read_bytes()
    said = callnotes("run", "split-block-short")
    assert "report.docx was changed by hand and is kept; the new one is report-2.docx" in said.err
    assert "report-2.docx, report.html" in said.out
    assert report.read_bytes() == changed


def test_one_bad_input_of_several_does_not_stop_the_others(callnotes: Command) -> None:
    said = callnotes("run", "gone.opus", WORDS, "also-gone.opus")
    assert said.status == 1
    assert "callnotes: gone.opus: no such file; check the path" in said.err.splitlines()
    assert said.err.splitlines()[-1] == "callnotes: 2 of 3 could not be used: gone.opus, also-gone.opus"
    assert Path("split-block-short/report.docx").is_file()
    told = json.loads(callnotes("run", "gone.opus", WORDS, "--json").out)
    assert [failure["input"] for failure in told["failed"]] == ["gone.opus"]
    assert len(told["calls"]) == 1


def test_what_nobody_expected_is_one_line_with_a_log(
    callnotes: Command, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def broken(*_: object) -> None:
        raise KeyError("pair\nseven")

    monkeypatch.setattr(one, "make_timeline", broken)
    said = callnotes("run", WORDS)
    assert said.status == 2
    line = said.err.splitlines()[-1]
    assert line.startswith("callnotes: something went wrong that should not have (KeyError: ")
    assert "Traceback" not in said.err
    (log,) = (tmp_path / "state").rglob("*.log")
    assert line.endswith(f"the details are in {log}")
    assert "in broken" in log.read_text()
    several = callnotes("run", WORDS, "gone.vtt")
    assert several.status == 1
    assert several.err.splitlines()[-1].startswith("callnotes: 2 of 2 could not be used")


def test_a_folder_of_recordings_is_no_call_folder(callnotes: Command) -> None:
    copy("calls/one.opus")
    said = callnotes("run", "calls")
    assert said.status == 2
    assert one_line(said.err).startswith("callnotes: calls: is not a call folder; give a recording")
    assert [p.name for p in Path("calls").iterdir()] == ["one.opus"]
