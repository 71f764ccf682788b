"""The trained listener as shipped: its size, its parts, its confidence; and the extractor without it."""

from __future__ import annotations

import csv
import itertools
import json
from pathlib import Path

import pytest

from callnotes.extract import extract
from callnotes.extract.hearing import FOLDER, hear
from callnotes.extract.normal import talk_of
from callnotes.records import Cue, Made, Transcript
from callnotes.timed_text import read
from callnotes.trade import load_trade
from tests.rough import roughened

CALLS = sorted((Path(__file__).parent.parent / "calls").glob("*.vtt"))
TRADE = load_trade()


def said(*lines: str) -> Transcript:
    cues = tuple(Cue(start=5.0 * n, end=5.0 * n + 5, text=line) for n, line in enumerate(lines))
    return Transcript(made=Made(version="0"), cues=cues)


def test_it_is_shipped_small() -> None:
    assert sum(file.stat().st_size for file in FOLDER.iterdir()) < 15_000_000


def test_its_labels_are_words_of_the_trade() -> None:
    states = {f"r:{q.quantity}={state.state}" for q in TRADE.quantities for state in q.states}
    numbers = {f"r:{q.quantity}" for q in TRADE.quantities if q.units}
    actions = {f"a:{action.action}" for action in TRADE.actions}
    named = json.loads((FOLDER / "labels.json").read_text())
    assert set(named["labels"]) <= states | numbers | actions
    assert set(named["kinds"]) == {"none", *(point.kind for point in TRADE.points)}


def test_more_confidence_is_never_worth_less() -> None:
    with (FOLDER / "confidence.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["sort"] for row in rows} == {"action", "number", "state"}
    for sort in ("action", "number", "state"):
        steps = [(float(row["heard"]), float(row["right"])) for row in rows if row["sort"] == sort]
        assert steps == sorted(steps)
        assert all(before[1] <= after[1] for before, after in itertools.pairwise(steps))


def test_the_place_is_the_one_named_for_each_reading() -> None:
    talk = said(
        "At the sixty six block now.", "Pair four, left side: dial tone.", "Pair nine, left side: nothing there."
    )
    timeline = extract(talk, TRADE)
    tones = {e.state: timeline.point(e.point) for e in timeline.events if e.quantity == "dial_tone" and e.point}
    assert {state: point.pair for state, point in tones.items() if point} == {"present": 4, "absent": 9}


def test_the_shares_of_a_detail_sum_to_one() -> None:
    talk = talk_of(said("At the block, pair four has tone and pair nine has none.").cues)
    hearing = hear(talk, FOLDER)
    assert hearing is not None
    shares = hearing.details(0, 3, len(talk.tokens))
    assert len(shares["pair"]) == 2
    for mentions in shares.values():
        assert sum(mention.probability for mention in mentions) == pytest.approx(1.0, abs=1e-5)


def test_without_its_files_the_rules_stand_alone(tmp_path: Path) -> None:
    timeline = extract(said("At the jack I have dial tone."), TRADE, tmp_path)
    assert [(event.quantity, event.state) for event in timeline.events] == [("dial_tone", "present")]


@pytest.mark.parametrize("path", CALLS[:4], ids=lambda path: path.stem)
def test_bare_words_in_cut_up_cues_tell_much_the_same(path: Path) -> None:
    whole, rough = (extract(transcript, TRADE).events for transcript in (read(path), roughened(read(path))))
    mine = {(e.quantity or e.action, e.value, e.state) for e in whole if e.kind != "note"}
    theirs = {(e.quantity or e.action, e.value, e.state) for e in rough if e.kind != "note"}
    assert len(mine & theirs) >= 0.7 * max(len(mine), len(theirs))
