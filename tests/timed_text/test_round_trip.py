"""What is written as WebVTT comes back the same; stamps come back to the millisecond; no text gets lost."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes import timed_text
from callnotes.records import Cue, Made, Transcript
from callnotes.timed_text.markup import clean
from callnotes.timed_text.stamps import seconds_of, stamp_of

LONGEST_MS = 100 * 3600 * 1000
TEXTS = st.one_of(
    st.text(max_size=60),
    st.lists(
        st.sampled_from(
            ["Lead: ", "Note: ", "<v Bob>", "</v>", "&amp;", "&#58;", "-->", "00:01", "WEBVTT", "NOTE", "\n"]
        ),
        max_size=6,
    ).map(" ".join),
    st.sampled_from(["Lead: yes", "Ana: no", "Lead: no: wait", "NOTE that", "STYLE", "12"]),
).map(clean)
CUES = st.builds(
    lambda start, length, text, speaker: Cue(
        start=start / 1000, end=(start + length) / 1000, text=text, speaker=speaker or None
    ),
    st.integers(0, LONGEST_MS),
    st.integers(1, 60_000),
    TEXTS.filter(bool),
    st.one_of(st.none(), st.text(max_size=20).map(clean)),
)


@given(st.integers(0, LONGEST_MS))
def test_stamp_and_back(milliseconds: int) -> None:
    assert seconds_of(stamp_of(milliseconds)) == milliseconds / 1000


@given(st.text(max_size=20))
def test_seconds_of_anything_is_a_time_or_none(text: str) -> None:
    seconds = seconds_of(text)
    assert seconds is None or 0 <= seconds < 10_001 * 3600


def test_stamps_that_are_none() -> None:
    for stamp in ("", "5", "1:60", "1:60:00", "-1:00", "1:00.", "1:00:00:00", "\u0661:00", "1:00.0000000000"):
        assert seconds_of(stamp) is None, stamp


@settings(deadline=None, max_examples=150, derandomize=True)
@given(st.lists(CUES, min_size=1, max_size=8))
def test_cues_to_webvtt_and_back(cues: list[Cue]) -> None:
    cues.sort(key=lambda cue: cue.start)
    written = timed_text.write_vtt(Transcript(made=Made(version="0"), cues=tuple(cues)))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.vtt"
        path.write_text(written, encoding="utf-8", newline="")
        back = timed_text.read(path)
    assert back.cues == tuple(cues)
    assert back.warnings == ()


def test_markup_in_text_is_escaped_on_write() -> None:
    cue = Cue(start=0, end=0, text="a <b> & c -->\nd", speaker="X > Y")
    written = timed_text.write_vtt(Transcript(made=Made(version="0"), cues=(cue,)))
    assert written == ("WEBVTT\n\n00:00:00.000 --> 00:00:00.001\n<v X &gt; Y>a &lt;b&gt; &amp; c --&gt; d</v>\n")


@settings(deadline=None, max_examples=150, derandomize=True)
@given(st.lists(st.text(st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"]), max_size=30), max_size=12))
def test_no_word_gets_lost_silently(lines: list[str]) -> None:
    """Every word of a SubRip file is in a cue or in a warning, however bent the file is."""
    body = ["1", "00:00:00,000 --> 00:00:01,000", "anchor", *(line.replace("<", "").replace("{", "") for line in lines)]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.srt"
        path.write_text("\n".join(body), encoding="utf-8", newline="")
        read = timed_text.read(path)
    kept = clean(" ".join([*(cue.text for cue in read.cues), *read.warnings]))
    for line in body[2:]:
        if "-->" not in line and "&" not in line:
            assert all(word in kept for word in clean(line).split()), line
