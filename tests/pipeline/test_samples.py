"""The three samples, from what was said to the conclusion: it is the one that their scripts were written around."""

from __future__ import annotations

from pathlib import Path

import pytest

from callnotes.pipeline.one import make_timeline, read_transcript
from callnotes.settings import Settings

SAMPLES = Path(__file__).parent.parent.parent / "samples"


@pytest.mark.parametrize(
    ("name", "status", "fault", "kind"),
    [
        ("01-split-block", "repaired", "bad_termination", "block"),
        ("02-alarm-jack", "referred", "line_held", "alarm_panel"),
        ("03-data-cable", "repaired", "cross", "jack"),
    ],
)
def test_the_conclusion_of_a_sample(name: str, status: str, fault: str, kind: str) -> None:
    timeline = make_timeline(read_transcript(SAMPLES / f"{name}.vtt"), Settings())
    found = timeline.diagnosis
    assert found is not None
    point = timeline.point(found.element)
    assert (found.status, found.fault, found.side, point.kind if point else None) == (status, fault, "customer", kind)


@pytest.mark.parametrize(
    ("name", "value", "unit"),
    [("01-split-block", 51.4, "V"), ("02-alarm-jack", 7.0, "V"), ("03-data-cable", -9.4, "dB")],
)
def test_a_number_that_the_case_turns_on(name: str, value: float, unit: str) -> None:
    timeline = make_timeline(read_transcript(SAMPLES / f"{name}.vtt"), Settings())
    assert (value, unit) in {(event.value, event.unit) for event in timeline.events}
