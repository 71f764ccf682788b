"""Finished timelines written by hand, and small ones built in a test."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from callnotes.records import Condition, Diagnosis, Event, Made, Point, Timeline
from callnotes.trade import Trade, load_trade

HERE = Path(__file__).resolve().parent
TIMELINES = HERE.parent / "cases" / "timelines"
GOLDENS = HERE.parent / "goldens"
NAMES = sorted(path.stem for path in TIMELINES.glob("*.json"))


@pytest.fixture(scope="session")
def trade() -> Trade:
    return load_trade()


def finished(name: str) -> Timeline:
    """One of the hand-written timelines."""
    return Timeline.model_validate_json((TIMELINES / f"{name}.json").read_text(encoding="utf-8"))


def event(number: int, kind: str = "reading", **fields: Any) -> Event:
    """An event at ``number`` minutes; conditions as a dict."""
    conditions = tuple(Condition(what=what, is_=is_) for what, is_ in fields.pop("conditions", {}).items())
    start = number * 60.0
    given = {"id": f"E{number}", "kind": kind, "start": start, "end": start + 2, "text": "words", "confidence": 0.9}
    return Event(**given, conditions=conditions, **fields)


def tone(number: int, point: str, state: str = "present") -> Event:
    """Dial tone or none at a point."""
    verdict = "pass" if state == "present" else "fail"
    return event(number, point=point, quantity="dial_tone", state=state, verdict=verdict, verdict_from="state")


def timeline(*events: Event, status: str | None = None, **fields: Any) -> Timeline:
    """A timeline of a network interface P1, a block P2 and a jack P3, with an open in the block."""
    points = (Point(id="P1", kind="demarc"), Point(id="P2", kind="block", block_type="66", order=1))
    points += (Point(id="P3", kind="jack", label="kitchen", order=2),)
    concluded = None
    if status:
        fault = "none" if status == "not_found" else "open"
        concluded = Diagnosis(status=status, fault=fault, element=None if fault == "none" else "P2", side="customer")
    given: dict[str, Any] = {"made": Made(version="1"), "points": points, "diagnosis": concluded} | fields
    return Timeline(events=events, **given)
