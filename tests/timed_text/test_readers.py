"""Each file in cases/timed_text is read as the file beside it says: a line a cue, then ``!`` lines for warnings."""

from __future__ import annotations

import hashlib
import json
import time
from pathlib import Path

import pytest
import webvtt

import callnotes
from callnotes import timed_text
from callnotes.errors import InputError
from callnotes.records import Transcript, to_json

CASES = Path(__file__).parent.parent / "cases" / "timed_text"
INPUTS = sorted(path for path in CASES.iterdir() if path.suffix != ".expect")


def as_lines(transcript: Transcript) -> list[str]:
    lines = []
    for cue in transcript.cues:
        line = f"{round(cue.start, 3)} {round(cue.end, 3)} | {cue.speaker or ''} | {cue.text}".replace("|  |", "| |")
        lines.append(line + (f" | {' '.join(cue.marks)}" if cue.marks else ""))
    return lines + [f"! {warning}" for warning in transcript.warnings]


def test_there_is_a_case_for_every_reader() -> None:
    assert {path.suffix for path in INPUTS} == set(timed_text.READERS)


@pytest.mark.parametrize("path", INPUTS, ids=lambda path: path.name)
def test_case(path: Path) -> None:
    expected = path.with_suffix(".expect").read_text(encoding="utf-8").splitlines()
    assert as_lines(timed_text.read(path)) == expected


@pytest.mark.parametrize("name", ["head-notes-settings.vtt", "labels.vtt", "colons-in-speech.vtt"])
def test_webvtt_py_reads_the_same_cues(name: str) -> None:
    ours = timed_text.read(CASES / name).cues
    theirs = webvtt.read(str(CASES / name)).captions
    assert len(ours) == len(theirs)
    for cue, caption in zip(ours, theirs, strict=True):
        assert cue.start == pytest.approx(caption.start_time.in_seconds() + caption.start_time.milliseconds / 1000)
        assert cue.end == pytest.approx(caption.end_time.in_seconds() + caption.end_time.milliseconds / 1000)
        if caption.voice:
            assert cue.speaker == caption.voice


def test_recording_carries_name_hash_and_last_end(tmp_path: Path) -> None:
    path = tmp_path / "call.vtt"
    path.write_bytes(b"WEBVTT\n\n00:00.000 --> 00:09.000\nlong\n\n00:01.000 --> 00:02.000\nshort\n")
    transcript = timed_text.read(path)
    (recording,) = transcript.recordings
    assert (recording.name, recording.duration_s) == ("call.vtt", 9.0)
    assert recording.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert (transcript.made.version, transcript.made.engine, transcript.made.model) == (
        callnotes.__version__,
        "replay",
        None,
    )


def test_words_keep_times_and_probabilities_and_fill_gaps() -> None:
    words = timed_text.read(CASES / "engine.json").cues[0].words
    assert [(word.text, word.start, word.end, word.probability) for word in words] == [
        ("Off", 0.5, 0.7, 0.9),
        ("hook,", 0.7, 1.0, 0.8),
        ("26", 1.0, 1.4, None),
        ("milliamps.", 1.4, 2.0, None),
    ]


def test_own_json_comes_back_whole(tmp_path: Path) -> None:
    transcript = timed_text.read(CASES / "engine.json")
    path = tmp_path / "transcript.json"
    path.write_text(to_json(transcript), encoding="utf-8")
    assert timed_text.read(path) == transcript


@pytest.mark.parametrize(
    ("name", "content", "complaint"),
    [
        ("a.vtt", b"", "is empty"),
        ("a.vtt", b"\xef\xbb\xbf \r\n", "is empty"),
        ("a.vtt", b"WEBVTT\n\nNOTE nothing else\n", "holds no timed text"),
        ("a.vtt", b"WEBVTT\n\n00:zz --> 00:01\nwords\n", "line 3: the times of this cue cannot be read"),
        ("a.srt", b"1\n2\n3\n", "holds no timed text"),
        ("a.txt", b"no marks here\n", "line 1: text before the first time mark"),
        ("a.json", b'{"segments": [', "is not whole JSON (line 1, column 15"),
        ("a.json", b"[1, 2]", "is JSON, but no transcript"),
        ("a.json", b'{"text": "words"}', 'has no list of "segments"'),
        ("a.json", b'{"segments": []}', "holds no timed text"),
        ("a.json", b'{"segments": ' + b"[" * 100_000, "JSON"),
        ("a.json", b'{"segments": [{"start": NaN, "end": 1e999, "text": "x"}]}', "segment 1 has no times"),
        ("a.json", b'{"segments": ' + b"9" * 5000 + b"}", "cannot be read"),
        ("a.json", b'{"format": "callnotes.transcript/2", "cues": []}', "has the format 'callnotes.transcript/2'"),
        ("a.json", b'{"format": "callnotes.transcript/1", "cues": []}', "holds no cue"),
        ("a.json", b'{"format": "callnotes.transcript/1", "cues": [{"start": 0}]}', "does not hold at cues.0.end"),
        (
            "a.json",
            b'{"format": "callnotes.transcript/1", "cues": [{"start": 2, "end": 1, "text": "x"}]}',
            "cue 1 has times that cannot be",
        ),
        ("a.json", b'{"format": "callnotes.timeline/1"}', "is a timeline, not a transcript"),
        ("a.vtt", b"RIFF\x00\x00\x00\x00WAVE" + b"\x00" * 100, "is no text"),
        ("a.xyz", b"just words", "is no transcript that callnotes knows"),
    ],
)
def test_nothing_readable_is_one_clear_line(tmp_path: Path, name: str, content: bytes, complaint: str) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(InputError) as caught:
        timed_text.read(path)
    line = str(caught.value)
    assert complaint in line
    assert line.startswith(f"{path}: ")
    assert "\n" not in line


def test_missing_file_and_folder(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no such file"):
        timed_text.read(tmp_path / "none.vtt")
    with pytest.raises(InputError, match="is a folder"):
        timed_text.read(tmp_path)


@pytest.mark.parametrize(
    ("name", "content", "is_one"),
    [
        ("call.vtt", b"WEBVTT\n", True),
        ("call.mp3", b"WEBVTT\n\n00:00.000 --> 00:01.000\nx\n", True),
        ("call.txt", b"[0:00] x", True),
        ("call.txt", b"OggS\x00\x02" + b"\x00" * 60, False),
        ("call.json", b'{"format": "callnotes.timeline/1"}', False),
        ("call.unknown", b'{"text": "", "segments": [', True),
        ("call.opus", b"OggS\x00\x02" + b"\x00" * 60, False),
        ("call.wav", b"", False),
    ],
)
def test_is_transcript(tmp_path: Path, name: str, content: bytes, is_one: bool) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    assert timed_text.is_transcript(path) is is_one


def test_is_transcript_of_what_is_not_there_goes_by_its_name(tmp_path: Path) -> None:
    assert timed_text.is_transcript(tmp_path / "none.srt")
    assert not timed_text.is_transcript(tmp_path / "none.wav")


@pytest.mark.parametrize("encoding", ["utf-16", "cp1252"])
def test_other_encodings(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "a.vtt"
    path.write_bytes("WEBVTT\n\n00:00.000 --> 00:01.000\nNiño’s closet\n".encode(encoding))
    transcript = timed_text.read(path)
    assert transcript.cues[0].text == "Niño’s closet"
    assert any("Windows-1252" in warning for warning in transcript.warnings) is (encoding == "cp1252")


def test_a_third_same_sentence_marks_all_three(tmp_path: Path) -> None:
    path = tmp_path / "a.json"
    said = ["Thank you.", "no tone", "No tone.", "No tone", "Fine.", "Fine."]
    segments = [{"start": n, "end": n + 1, "text": text} for n, text in enumerate(said)]
    path.write_text(json.dumps({"segments": segments}), encoding="utf-8")
    assert [cue.marks for cue in timed_text.read(path).cues] == [(), ("repeat",), ("repeat",), ("repeat",), (), ()]


def test_warnings_stay_bounded(tmp_path: Path) -> None:
    path = tmp_path / "a.vtt"
    path.write_text("WEBVTT\n\n00:00.000 --> 00:01.000\nx\n\n" + "stray\n\n" * 2000, encoding="utf-8")
    warnings = timed_text.read(path).warnings
    assert len(warnings) == 501
    assert warnings[-1] == "and 1500 more such places"


@pytest.mark.parametrize(
    "hostile",
    [
        "<" * 200_000,
        "<v " * 100_000,
        "<c " + "a" * 200_000,
        "&" * 200_000,
        "&#" + "9" * 200_000,
        "A " * 100_000 + ":",
        "{\\" * 100_000,
        "0:" * 100_000 + " --> ",
        "00:00.000 --> " * 20_000,
        " " * 200_000 + "-->",
    ],
    ids=lambda text: text[:6],
)
def test_hostile_text_takes_no_long_time(tmp_path: Path, hostile: str) -> None:
    path = tmp_path / "a.vtt"
    path.write_text(f"WEBVTT\n\n00:00.000 --> 00:01.000\nx\n\n00:01.000 --> 00:02.000\n{hostile}\n", encoding="utf-8")
    began = time.perf_counter()
    timed_text.read(path)
    assert time.perf_counter() - began < 2.0


def test_twenty_thousand_cues(tmp_path: Path) -> None:
    path = tmp_path / "a.vtt"
    cue = "{0:02d}:{1:02d}:{2:02d}.000 --> {0:02d}:{1:02d}:{2:02d}.900\nwords & words\n"
    times = ((n // 3600, n // 60 % 60, n % 60) for n in range(20_000))
    path.write_text("WEBVTT\n\n" + "\n".join(cue.format(*t) for t in times), encoding="utf-8")
    began = time.perf_counter()
    assert len(timed_text.read(path).cues) == 20_000
    assert time.perf_counter() - began < 10.0
