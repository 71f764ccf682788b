"""Annotated talk as streams of text with labeled stretches, for training the listener.

    python tests/training/streams.py OUT.jsonl FILE...      FILE: *.jsonl or *.txt (see plain_calls.py)

An item's cues are joined by blanks into one stream, so that nothing depends on where cues are cut. Each event labels
the letters of its ``words``; its place, side, verdict and conditions go with it, and it is tied to the words that
say the details of its point (``mentions.py``), wherever in the talk they stand.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from mentions import Words, facts_of
from plain_calls import calls_of
from told import DETAILS

# Conditions said in more than one way, as this project writes them.
_AS_WRITTEN = {
    "strap=in": "strap=on", "strap=out": "strap=off", "far_end=short": "far_end=shorted", "test=next": "test=NEXT",
    "test=RL": "test=return loss", "bound=>=": "bound=>", "bound=<=": "bound=<", "plug=pulled": "plug=out",
}  # fmt: skip
_REACH = 12


@dataclass
class Stretch:
    """An event over letters ``first`` up to ``last`` of a stream; ``details`` are the mentions its point rests on."""

    first: int
    last: int
    label: str
    kind: str
    side: str
    verdict: str
    conditions: list[str]
    asks_place: bool = True
    has: list[str] = field(default_factory=list)
    details: list[int] = field(default_factory=list)


@dataclass
class Stream:
    """One item: its text, its events, the words that name places and their details, what was set aside, call facts."""

    id: str
    text: str
    stretches: list[Stretch] = field(default_factory=list)
    places: list[tuple[int, int, str, str]] = field(default_factory=list)
    asides: list[tuple[int, int, str]] = field(default_factory=list)
    mentions: list[tuple[int, int, str]] = field(default_factory=list)
    facts: list[tuple[int, int, str]] | None = None
    lost: int = 0
    untied: int = 0


def label_of(event: dict[str, Any]) -> str | None:
    """The label of an event: "r:dial_tone=absent", "r:dc_voltage", "a:disconnect"; None for a note."""
    if event["kind"] == "action":
        return f"a:{event['action']}"
    if event["kind"] != "reading":
        return None
    state = event.get("state")
    return f"r:{event['quantity']}={state}" if state is not None else f"r:{event['quantity']}"


def condition_of(given: dict[str, Any]) -> str:
    """A condition as "what=is", in this project's words."""
    value = re.sub(r"\s*nm$", "", str(given["is"])) if given["what"] == "wavelength" else str(given["is"])
    name = f"{given['what']}={value.replace('_', ' ')}"
    return _AS_WRITTEN.get(name, name)


def items_of(path: Path) -> Iterable[dict[str, Any]]:
    """The items of a file of annotated talk."""
    text = path.read_text(encoding="utf-8")
    return calls_of(text) if path.suffix == ".txt" else (json.loads(line) for line in text.splitlines() if line.strip())


def stream_of(item: dict[str, Any]) -> Stream:
    """The stream of an item."""
    return _Maker(item).make()


class _Maker:
    def __init__(self, item: dict[str, Any]) -> None:
        self.item = item
        self.cues = [re.sub(r"<v [^>]*>", "", cue).strip() for cue in item["cues"]]
        self.starts = [0]
        for cue in self.cues:
            self.starts.append(self.starts[-1] + len(cue) + 1)
        self.stream = Stream(item["id"], " ".join(self.cues))
        self.words = Words(self.stream.text)
        self.known: dict[tuple[str, str], list[int]] = {}
        self.at: dict[tuple[int, int, str], int] = {}

    def make(self) -> Stream:
        wanted: list[tuple[Stretch, list[tuple[str, str]]]] = []
        for event in self.item["events"]:
            made = self._stretch(event)
            if made is not None:
                stretch, place = made
                self.stream.stretches.append(stretch)
                pairs = _details(event.get("point"))
                stretch.has = sorted({key for key, _ in pairs})
                wanted.append((stretch, pairs))
                for key, value in pairs:
                    self._tie(key, value, event["cue"] - 1, stretch, place)
        self._all_said()
        for stretch, pairs in wanted:
            stretch.details = [index for pair in pairs for index in self.known.get(pair, ())]
            self.stream.untied += sum(not self.known.get(pair) for pair in pairs)
        busy = {event["cue"] for event in self.item["events"] if event["kind"] != "note"}
        for aside in self.item.get("set_aside", []):
            cue = aside["cue"] - 1
            if aside["cue"] not in busy:
                self.stream.asides.append((self.starts[cue], self.starts[cue] + len(self.cues[cue]), aside["reason"]))
        if self.item.get("call"):
            self.stream.facts = facts_of(self.words, self.item["call"])
        return self.stream

    def _stretch(self, event: dict[str, Any]) -> tuple[Stretch, tuple[int, int] | None] | None:
        label, words, cue = label_of(event), event.get("words"), event["cue"] - 1
        if label is None:
            return None
        found = self.cues[cue].lower().find(words.lower()) if words else -1
        if found < 0:
            self.stream.lost += 1
            return None
        point, first = event.get("point"), self.starts[cue] + found
        stretch = Stretch(
            first=first,
            last=first + len(words),
            label=label,
            kind=(point or {}).get("kind", "none"),
            side=(point or {}).get("side") or "none",
            verdict=event.get("verdict") or "none",
            conditions=[condition_of(c) for c in event.get("conditions") or []],
            asks_place="point" in event,
        )
        place = event.get("place_words")
        where = self.cues[cue].lower().find(place.lower()) if place else -1
        if not place or where < 0 or not point:
            return stretch, None
        span = (self.starts[cue] + where, self.starts[cue] + where + len(place))
        self.stream.places.append((*span, point["kind"], point.get("side") or "none"))
        return stretch, span

    def _tie(self, key: str, value: str, cue: int, stretch: Stretch, place: tuple[int, int] | None) -> None:
        """Notes where a detail of a point is said: in the words of its place, near them, or earlier."""
        spans = self.words.detail(key, value, place) if place else []
        if not spans and (key, value) in self.known:
            return
        for back in range(_REACH if not spans else 0):
            here = cue - back
            if here < 0:
                break
            within = (self.starts[here], self.starts[here] + len(self.cues[here]))
            spans = [s for s in self.words.detail(key, value, within) if not self._is_reading(s, stretch)]
            if spans:
                spans = spans[-1:]
                break
        for span in spans:
            self._mention(key, value, span)

    def _is_reading(self, span: tuple[int, int], stretch: Stretch) -> bool:
        others = [stretch, *self.stream.stretches]
        return any(
            s.first <= span[0] and span[1] <= s.last and s.label[:2] == "r:" and "=" not in s.label for s in others
        )

    def _mention(self, key: str, value: str, span: tuple[int, int]) -> None:
        spot = (*span, key)
        if spot not in self.at:
            self.at[spot] = len(self.stream.mentions)
            self.stream.mentions.append(spot)
        if self.at[spot] not in self.known.setdefault((key, value), []):
            self.known[key, value].append(self.at[spot])

    def _all_said(self) -> None:
        """Every other place in the talk where such a detail is plainly said again."""
        everywhere = (0, len(self.stream.text))
        for key, value in list(self.known):
            for span in self.words.detail(key, value, everywhere):
                plain = key in ("color", "block_type") or (key == "label" and not value.isdigit())
                if plain or self.words.near_noun(key, span):
                    self._mention(key, value, span)


def _details(point: dict[str, Any] | None) -> list[tuple[str, str]]:
    pairs = []
    for key in DETAILS:
        value = (point or {}).get(key)
        for one in value if isinstance(value, list) else [] if value in (None, "") else [value]:
            pairs.append((key, str(one)))
    return pairs


def main() -> None:
    out, *files = map(Path, sys.argv[1:])
    streams = [stream_of(item) for file in files for item in items_of(file)]
    out.write_text("".join(json.dumps(asdict(stream)) + "\n" for stream in streams), encoding="utf-8")
    ties = sum(len(stretch.has) for stream in streams for stretch in stream.stretches)
    print(
        f"{len(streams)} streams, {sum(len(s.stretches) for s in streams)} events,"
        f" {sum(s.lost for s in streams)} without words,"
        f" {ties} details, {sum(s.untied for s in streams)} not found in the talk"
    )


if __name__ == "__main__":
    main()
