"""The path of test points as a list of stations, each with its mark as found and as left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from callnotes.records import Event, Point, Timeline
from callnotes.render.names import Names
from callnotes.render.readings import ReadingWords
from callnotes.render.remedies import before_and_after, remedies

MOST_STATIONS = 12
# What tells most at a glance, first.
TELLING = [
    "dial_tone",
    "link",
    "sync",
    "cable_test",
    "wire_map",
    "operation",
    "power",
    "incoming_call",
    "outgoing_call",
    "continuity",
    "short",
    "ground_fault",
    "foreign_voltage",
    "polarity",
    "line_sound",
]


@dataclass(frozen=True)
class Mark:
    """What the readings of one station come to. ``name``: pass, fail, marginal, none (read, not judged), unread."""

    name: str
    word: str
    phrase: str = ""


@dataclass(frozen=True)
class Station:
    """One point of the path. ``fault``: the fault is here; ``fault_after``: between it and the next.

    ``branch``: one of several of a kind side by side, hanging on the same line. ``twin``: the next station is the
    other side of the same point.
    """

    point: Point
    noun: str
    details: tuple[str, ...]
    side: str | None
    found: Mark
    left: Mark
    found_events: tuple[Event, ...]
    left_events: tuple[Event, ...]
    fault: bool = False
    fault_after: bool = False
    branch: bool = False
    twin: bool = False

    @property
    def only(self) -> Mark:
        """The one mark where as found and as left are not told apart."""
        return self.found if self.found_events else self.left


@dataclass(frozen=True)
class Path:
    """All stations in order, provider first. ``both``: as found and as left are told apart."""

    stations: tuple[Station, ...]
    both: bool
    left_out: int = 0


def path_of(timeline: Timeline, names: Names, wording: ReadingWords) -> Path:
    """The path of a call: every point with a reading, and the point of the fault."""
    mends = remedies(timeline)
    read: dict[str, list[Event]] = {}
    for event in timeline.events:
        if event.kind == "reading" and event.point:
            read.setdefault(event.point, []).append(event)
    element = timeline.diagnosis.element if timeline.diagnosis else None
    ordered = sorted(timeline.points, key=lambda p: p.order)
    shown = [p for p in ordered if p.id in read or p.id == element]
    kept = _most_telling(shown, read, element)
    stations = []
    for place, point in enumerate(kept):
        found, left = before_and_after(read.get(point.id, []), point, mends, timeline)
        neighbors = [kept[i] for i in (place - 1, place + 1) if 0 <= i < len(kept)]
        stations.append(
            Station(
                point=point,
                noun=names.noun(point),
                details=names.details(point)[:1],
                side=names.side(point),
                found=mark_of(found, wording),
                left=mark_of(left, wording),
                found_events=found,
                left_events=left,
                fault=point.id == element,
                fault_after=_fault_after(timeline, point, kept[place + 1 :]),
                branch=any(_side_by_side(point, other) for other in neighbors),
                twin=place + 1 < len(kept) and _twins(point, kept[place + 1]),
            )
        )
    both = bool(mends) and any(s.found.name != "unread" for s in stations)
    return Path(tuple(stations), both, len(shown) - len(kept))


def mark_of(readings: Sequence[Event], wording: ReadingWords) -> Mark:
    """The worst verdict among the readings, and the reading that tells it best."""
    words = wording.words
    verdicts = {r.verdict for r in readings}
    name = next((v for v in ("fail", "marginal", "pass") if v in verdicts), "none" if readings else "unread")
    deciding = [r for r in readings if r.verdict == (None if name == "none" else name)]
    best = min(deciding, key=_telling, default=None)
    return Mark(name, words.text("verdicts", name) or name, wording.brief(best) if best else "")


def _telling(reading: Event) -> int:
    return TELLING.index(reading.quantity) if reading.quantity in TELLING else len(TELLING)


def _most_telling(shown: list[Point], read: dict[str, list[Event]], element: str | None) -> list[Point]:
    """At most ``MOST_STATIONS`` points: the fault's, then failing ones, then those read most."""

    def weight(point: Point) -> tuple[bool, bool, int]:
        readings = read.get(point.id, [])
        return point.id == element, any(r.verdict == "fail" for r in readings), len(readings)

    kept = {p.id for p in sorted(shown, key=weight, reverse=True)[:MOST_STATIONS]}
    return [p for p in shown if p.id in kept]


def _fault_after(timeline: Timeline, point: Point, later: list[Point]) -> bool:
    """Whether the gap between this station and the next lies between the two points of the diagnosis."""
    diagnosis = timeline.diagnosis
    if not later or diagnosis is None or diagnosis.between is None or diagnosis.element is not None:
        return False
    return (point.id, later[0].id) in (diagnosis.between, diagnosis.between[::-1])


def _twins(a: Point, b: Point) -> bool:
    """Two sides of one block, jack or interface."""
    return a.side is not None and b.side is not None and a.side != b.side and _identity(a) == _identity(b)


def _side_by_side(a: Point, b: Point) -> bool:
    """Points of one kind with different names or numbers: branches, not steps of one path."""
    return a.kind == b.kind and _identity(a) != _identity(b)


def _identity(point: Point) -> tuple[object, ...]:
    return (point.kind, point.label, point.line, point.block_type, point.row, point.pair, point.column, point.port)
