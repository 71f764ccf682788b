"""What the format promises, on every call we have: no number with a unit is lost, nothing is invented."""

from __future__ import annotations

import re
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes.extract import extract
from callnotes.extract.findings import Finder
from callnotes.extract.normal import talk_of
from callnotes.extract.numbers import find_numbers
from callnotes.records import Cue, Made, Timeline, Transcript
from callnotes.timed_text import read
from callnotes.trade import load_trade
from tests.rough import bare, recut

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
    timeline = extract(transcript, TRADE)
    nothing_invented(transcript, timeline)
    for event in timeline.events:
        assert transcript.cues[0].start <= event.start <= event.end <= transcript.cues[-1].end
    points = {point.id for point in timeline.points}
    assert {event.point for event in timeline.events} <= points | {None}
    assert [event.start for event in timeline.events] == sorted(event.start for event in timeline.events)


CUES = [cue for path in CALLS for cue in read(path).cues]


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    cues=st.lists(st.sampled_from(CUES), min_size=1, max_size=25),
    bared=st.booleans(),
    cuts=st.randoms(use_true_random=False),
    seconds=st.sampled_from([0.0, 2.0, 5.0, 11.0]),
)
def test_any_splice_of_calls_keeps_the_promise(cues: list[Cue], bared: bool, cuts: Random, seconds: float) -> None:
    """Cues in any order, split and joined anywhere between words, with or without case and punctuation."""
    texts = [text for cue in cues if (text := bare(cue.text) if bared else cue.text).strip()]
    spliced = tuple(Cue(start=5.0 * n, end=5.0 * n + 5, text=text) for n, text in enumerate(texts))
    transcript = Transcript(made=Made(version="0"), cues=_split(spliced, cuts))
    if seconds:
        transcript = recut(transcript, seconds)
    assert lost_numbers(transcript) == []
    nothing_invented(transcript, extract(transcript, TRADE))


def _split(cues: tuple[Cue, ...], cuts: Random) -> tuple[Cue, ...]:
    """Every third cue or so comes apart between two of its words."""
    made: list[Cue] = []
    for cue in cues:
        words = cue.text.split()
        if len(words) < 2 or cuts.random() > 0.3:
            made.append(cue)
            continue
        at, middle = cuts.randrange(1, len(words)), (cue.start + cue.end) / 2
        made.append(cue.model_copy(update={"end": middle, "text": " ".join(words[:at])}))
        made.append(cue.model_copy(update={"start": middle, "text": " ".join(words[at:])}))
    return tuple(made)


def nothing_invented(transcript: Transcript, timeline: Timeline) -> None:
    """Words are quoted, and every value is a number of the talk, the middle of a range, or one said before."""
    said = spoken(transcript)
    talk = talk_of(transcript.cues)
    numbers = {measure.value for measure in FINDER.find(talk).measures} | {n.value for n in find_numbers(talk.norms)}
    for event in timeline.events:
        assert squeeze(event.text) in said
        if event.value is not None:
            assert any(abs(abs(event.value) - abs(number)) < 1e-6 for number in numbers), event
    for held in timeline.set_aside:
        assert squeeze(held.text) in said


def test_a_doubted_stretch_makes_no_event_but_an_open_item() -> None:
    cue = Cue(start=280, end=284, text="fifty one volts", marks=("unsure",))
    timeline = extract(Transcript(made=Made(version="0"), cues=(cue,)), TRADE)
    assert not timeline.events
    assert [(item.code, item.text[:5]) for item in timeline.open_items] == [("listen", "4:40:")]
