"""The whole job with a real speech model: one spoken number changed changes that number on paper, and no other.

Needs the speech model packages of the project's lock file. Where they are not installed these tests are
skipped, with the reason; with ``CI=true`` they never are.
"""

from __future__ import annotations

import os
import re
import wave
from collections import Counter
from pathlib import Path

import pytest

from callnotes.errors import InputError
from callnotes.pipeline import one
from callnotes.settings import Settings
from callnotes.speech.models import inspect_models

AUDIO = Path(__file__).parent.parent / "audio"
# The smaller of the two that are packaged: quicker, and right on these recordings.
SETTINGS = Settings(model="tiny.en")
SAID, CHANGED = 51.4, 49.6

pytestmark = [
    pytest.mark.model,
    pytest.mark.skipif(
        os.environ.get("CI") != "true"
        and not any(model.name == SETTINGS.model and model.state == "intact" for model in inspect_models()),
        reason=f"the speech model {SETTINGS.model} is not installed: pip install -r requirements-dev.lock",
    ),
]


@pytest.fixture(scope="module")
def outcomes(tmp_path_factory: pytest.TempPathFactory) -> list[one.Outcome]:
    """The call as it was spoken, and with one number spoken otherwise."""
    out = tmp_path_factory.mktemp("calls")
    return [one.run(AUDIO / f"split-block-short{ending}.opus", out, SETTINGS) for ending in ("", "-changed")]


def readings(outcome: one.Outcome) -> list[tuple[object, ...]]:
    found = [event for event in outcome.timeline.events if event.kind == "reading"]
    return [(event.quantity, event.value, event.unit, event.state) for event in found]


def amounts(outcome: one.Outcome) -> Counter[str]:
    """Every number with an electrical unit in the report."""
    text = (outcome.folder / "report.md").read_text(encoding="utf-8")
    return Counter(re.sub(r"\s", " ", amount) for amount in re.findall(r"[−-]?\d[\d.]*\s(?:V|mA)\b", text))


def test_the_readings_differ_in_the_number_that_was_spoken_otherwise(outcomes: list[one.Outcome]) -> None:
    said, changed = map(readings, outcomes)
    assert len(said) >= 6
    assert ("dc_voltage", SAID, "V", None) in said
    swapped = [("dc_voltage", CHANGED, "V", None) if row == ("dc_voltage", SAID, "V", None) else row for row in said]
    assert changed == swapped


def test_the_reports_differ_in_that_number(outcomes: list[one.Outcome]) -> None:
    said, changed = map(amounts, outcomes)
    assert {*(said - changed)} == {f"{SAID} V"}
    assert {*(changed - said)} == {f"{CHANGED} V"}
    assert said["26 mA"] == changed["26 mA"] > 0


def test_the_conclusion_is_the_same(outcomes: list[one.Outcome]) -> None:
    said, changed = (outcome.timeline.diagnosis for outcome in outcomes)
    assert said is not None
    assert changed is not None
    assert (said.status, said.fault, said.side) == (changed.status, changed.fault, changed.side)


def test_the_transcript_says_what_heard_it(outcomes: list[one.Outcome]) -> None:
    made = outcomes[0].timeline.made
    assert (made.engine, made.model) == ("faster-whisper", "tiny.en")
    assert outcomes[0].timeline.recordings[0].duration_s == pytest.approx(66, abs=2)


def test_in_silence_nobody_speaks(tmp_path: Path) -> None:
    silence = tmp_path / "silence.wav"
    with wave.open(str(silence), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(16000)
        file.writeframes(bytes(2 * 16000 * 5))
    with pytest.raises(InputError, match=r"silence\.wav: (nobody|no)"):
        one.run(silence, tmp_path / "out", SETTINGS)
    assert list((tmp_path / "out").iterdir()) == []
