"""The talk that the listener is taught from: well formed, in the words of the trade, and none of it checked with."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from callnotes.trade import load_trade
from tests.training.plain_calls import Amiss, calls_of

TESTS = Path(__file__).parent.parent

FILES = sorted((TESTS / "training/talk").glob("*.txt"))
TRADE = load_trade()


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_file_of_calls_is_sound(path: Path) -> None:
    for item in calls_of(path.read_text(encoding="utf-8")):
        assert item["cues"], item["id"]
        assert item["events"], item["id"]
        for event in item["events"]:
            if event["kind"] == "action":
                assert TRADE.action(event["action"]), event
                continue
            quantity = TRADE.quantity(event["quantity"])
            assert quantity, event
            assert event.get("state") is None or quantity.state(event["state"]), event


def test_nothing_to_check_with_is_taught() -> None:
    def squeezed(text: str) -> str:
        return re.sub(r"\W+", " ", text.lower()).strip()

    names = ("check", "fresh")
    check = [line for n in names for line in (TESTS / f"cases/talk/{n}.jsonl").read_text(encoding="utf-8").splitlines()]
    long = {squeezed(cue) for line in check for cue in json.loads(line)["cues"] if len(cue.split()) > 8}
    taught = [cue for path in FILES for item in calls_of(path.read_text(encoding="utf-8")) for cue in item["cues"]]
    assert not long & {squeezed(cue) for cue in taught}


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("== a | b\nTalk.\n  r dial_tone=absent | block | | fail | no tone", "line 3"),
        ("Talk.", "line 1"),
        ("== a | b\nTalk.\n  ? because", "line 3"),
        ("== a | b\nNo tone.\n  r dial_tone=absent | block color_of=red | | fail | No tone", "line 3"),
    ],
)
def test_what_is_amiss_is_told_with_its_line(text: str, where: str) -> None:
    with pytest.raises(Amiss, match=where):
        list(calls_of(text))
