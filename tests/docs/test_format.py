"""The page on the format is true: its schema comes from the records, and it names every word of the tables."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from callnotes.extract import extract
from callnotes.records import to_json
from callnotes.resources import GUIDES
from callnotes.timed_text import read
from callnotes.trade import load_trade
from tests.write_schema import FILE, schema

ROOT = Path(__file__).parent.parent.parent
PAGE = (GUIDES / "format.md").read_text(encoding="utf-8")
TRADE = load_trade()


def test_the_schema_is_the_one_of_the_records() -> None:
    assert FILE.read_text(encoding="utf-8") == schema()


def test_a_timeline_made_from_talk_fits_the_schema() -> None:
    timeline = extract(read(ROOT / "samples" / "01-split-block.vtt"), TRADE)
    jsonschema.validate(json.loads(to_json(timeline)), json.loads(FILE.read_text(encoding="utf-8")))


@pytest.mark.parametrize(
    "word", [q.quantity for q in TRADE.quantities] + [p.kind for p in TRADE.points] + [a.action for a in TRADE.actions]
)
def test_the_page_names_every_word(word: str) -> None:
    assert f"`{word}`" in PAGE


@pytest.mark.parametrize(("quantity", "state"), [(q.quantity, s.state) for q in TRADE.quantities for s in q.states])
def test_the_page_names_every_state(quantity: str, state: str) -> None:
    assert state in PAGE.split("With states:")[1].split("### Conditions")[0]
