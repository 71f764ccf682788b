"""Annotated talk as streams of text with labeled stretches, for training the listener.

An item's cues are joined by blanks into one stream, so that nothing depends on where cues are cut. Each
event labels the letters of its ``words``; its place, side, verdict and conditions go with it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

KINDS = [
    "none",
    "demarc",
    "protector",
    "terminal",
    "block",
    "cable",
    "jack",
    "line_seizure_jack",
    "alarm_panel",
    "filter",
    "pbx",
    "set",
    "patch_panel",
    "switch",
    "device",
    "ont",
    "other",
]
SIDES = ["none", "provider", "customer", "in", "out", "left", "right", "top", "bottom"]
VERDICTS = ["none", "pass", "fail", "marginal"]
REASONS = [
    "hypothetical",
    "instruction",
    "question",
    "planned",
    "conversation",
    "retracted",
    "recap",
    "quoted",
    "comment",
]
CONDITIONS = [
    "hook=on",
    "hook=off",
    "plug=in",
    "plug=out",
    "clips=in",
    "clips=out",
    "leads=tip-ring",
    "leads=tip-ground",
    "leads=ring-ground",
    "direction=down",
    "direction=up",
    "test=NEXT",
    "test=return_loss",
    "test=insertion_loss",
    "panel=seized",
    "strap=on",
    "load=on",
    "conductor=tip",
    "conductor=ring",
    "digit=breaks",
    "far_end=shorted",
    "far_end=open",
    "bound=>",
    "bound=<",
]


@dataclass
class Stretch:
    """An event over letters ``first`` up to ``last`` of a stream."""

    first: int
    last: int
    label: str
    kind: str
    side: str
    verdict: str
    conditions: list[str]
    asks_place: bool = True


@dataclass
class Stream:
    """One item: its text, its events, the words that name places, and the cues that were set aside."""

    id: str
    text: str
    stretches: list[Stretch] = field(default_factory=list)
    places: list[tuple[int, int, str, str]] = field(default_factory=list)
    asides: list[tuple[int, int, str]] = field(default_factory=list)
    lost: int = 0


def label_of(event: dict[str, Any]) -> str | None:
    """The label of an event: "r:dial_tone=absent", "r:dc_voltage", "a:disconnect"; None for a note."""
    if event["kind"] == "action":
        return f"a:{event['action']}"
    if event["kind"] != "reading":
        return None
    state = event.get("state")
    return f"r:{event['quantity']}={state}" if state is not None else f"r:{event['quantity']}"


def streams_of(path: Path) -> Iterable[Stream]:
    """The items of a file of annotated talk whose events carry their words."""
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.strip():
            yield stream_of(json.loads(line))


def stream_of(item: dict[str, Any]) -> Stream:
    cues = [re.sub(r"<v [^>]*>", "", cue).strip() for cue in item["cues"]]
    starts, at = [], 0
    for cue in cues:
        starts.append(at)
        at += len(cue) + 1
    stream = Stream(item["id"], " ".join(cues))
    taken: dict[int, int] = {}
    for event in item["events"]:
        label, words = label_of(event), event.get("words")
        if label is None:
            continue
        cue = event["cue"] - 1
        found = cues[cue].find(words, taken.get((cue, words), 0)) if words else -1  # type: ignore[call-overload]
        if found < 0 and words:
            found = cues[cue].lower().find(words.lower())
        if found < 0:
            stream.lost += 1
            continue
        point = event.get("point")
        given = [f"{c['what']}={str(c['is']).replace(' ', '_')}" for c in event.get("conditions") or []]
        stream.stretches.append(
            Stretch(
                first=starts[cue] + found,
                last=starts[cue] + found + len(words),
                label=label,
                kind=(point or {}).get("kind", "none"),
                side=(point or {}).get("side") or "none",
                verdict=event.get("verdict") or "none",
                conditions=[c for c in given if c in CONDITIONS],
                asks_place="point" in event,
            )
        )
        place = event.get("place_words")
        where = cues[cue].find(place) if place else -1
        if place and where >= 0 and point:
            first = starts[cue] + where
            stream.places.append((first, first + len(place), point["kind"], point.get("side") or "none"))
    busy = {event["cue"] for event in item["events"] if event["kind"] != "note"}
    for aside in item.get("set_aside", []):
        cue = aside["cue"] - 1
        if aside["cue"] not in busy:
            stream.asides.append((starts[cue], starts[cue] + len(cues[cue]), aside["reason"]))
    return stream
