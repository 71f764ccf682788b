"""What the format promises, on every call we have: no number with a unit is lost, nothing is invented."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes.extract import extract
from callnotes.extract.findings import Finder
from callnotes.extract.normal import talk_of
from callnotes.records import Cue, Made, Transcript
from callnotes.timed_text import read
from callnotes.trade import load_trade

TESTS = Path(__file__).parent.parent
CALLS = sorted([*(TESTS / "calls").glob("*.vtt"), *(TESTS.parent / "samples").glob("*.vtt")])
TRADE = load_trade()
FINDER = Finder(TRADE)


def spoken(transcript: Transcript) -> str:
    return squeeze(" ".join(cue.text for cue in transcript.cues))


def squeeze(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip()


def lost_numbers(transcript: Transcript) -> list[str]:
    """The numbers with a unit that are in no event, no set-aside stretch and no material."""
    talk = talk_of(transcript.cues)
    timeline = extract(transcript, TRADE)
    kept = [(e.start, e.end) for e in timeline.events] + [(s.start, s.end) for s in timeline.set_aside]
    goods = {m.quantity for m in timeline.call.materials}
    lost = []
    for measure in FINDER.find(talk).measures:
        start, end, _ = talk.times(measure.first, measure.last)
        if (
            measure.unit
            and measure.value not in goods
            and not any(a < end + 0.01 and start < b + 0.01 for a, b in kept)
        ):
            lost.append(talk.text(measure.first, measure.last))
    return lost


@pytest.mark.parametrize("path", CALLS, ids=lambda path: path.stem)
def test_no_number_with_a_unit_is_lost(path: Path) -> None:
    assert lost_numbers(read(path)) == []


@pytest.mark.parametrize("path", CALLS, ids=lambda path: path.stem)
def test_every_event_quotes_the_talk_and_lies_in_its_time(path: Path) -> None:
    transcript = read(path)
    said = spoken(transcript)
    timeline = extract(transcript, TRADE)
    for event in timeline.events:
        assert squeeze(event.text) in said
        assert transcript.cues[0].start <= event.start <= event.end <= transcript.cues[-1].end
    points = {point.id for point in timeline.points}
    assert {event.point for event in timeline.events} <= points | {None}
    assert [event.start for event in timeline.events] == sorted(event.start for event in timeline.events)


CUES = [cue for path in CALLS for cue in read(path).cues]


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.lists(st.sampled_from(CUES), min_size=1, max_size=25), st.booleans())
def test_any_splice_of_calls_keeps_the_promise(cues: list[Cue], bare: bool) -> None:
    """Cues in any order; ``bare`` strips case and punctuation, as some engines do."""
    texts = [re.sub(r"[^\w\s'.-]", "", cue.text).lower() if bare else cue.text for cue in cues]
    spliced = tuple(Cue(start=5.0 * n, end=5.0 * n + 5, text=text) for n, text in enumerate(texts) if text.strip())
    transcript = Transcript(made=Made(version="0"), cues=spliced)
    assert lost_numbers(transcript) == []


def test_a_doubted_stretch_makes_no_event_but_an_open_item() -> None:
    cue = Cue(start=280, end=284, text="fifty one volts", marks=("unsure",))
    timeline = extract(Transcript(made=Made(version="0"), cues=(cue,)), TRADE)
    assert not timeline.events
    assert [(item.code, item.text[:5]) for item in timeline.open_items] == [("listen", "4:40:")]
