"""What goes into the four paragraphs: reported, found, done, proof. The sentences are the templates'."""

from __future__ import annotations

from collections.abc import Sequence

from callnotes.records import Diagnosis, Event, Timeline
from callnotes.render.clock import Clock
from callnotes.render.context import PlaceRead, Story
from callnotes.render.deeds import Deeds
from callnotes.render.names import Names
from callnotes.render.path import Path, Station
from callnotes.render.readings import ReadingWords
from callnotes.render.remedies import remedies

MOST_PHRASES = 4
MOST_PLACES = 3
TOLD = frozenset({"notify", "refer", "label"})


def story_of(timeline: Timeline, path: Path, names: Names, wording: ReadingWords, deeds: Deeds, clock: Clock) -> Story:
    """The story of a call, from its events and nothing else."""
    diagnosis = timeline.diagnosis
    mends = remedies(timeline)
    good, bad = _boundary(path, diagnosis)
    clauses = _clauses(timeline, mends, deeds)
    left = sorted((s for s in path.stations if s.left_events), key=lambda s: s.left_events[-1].start)

    def place_read(station: Station, events: Sequence[Event], first: Sequence[str | None] = ()) -> PlaceRead:
        ranked = sorted(events, key=lambda e: e.quantity not in first)[:MOST_PHRASES]
        kept = sorted(ranked, key=lambda e: (e.quantity not in first, e.start))
        return PlaceRead(names.prose(station.point), wording.phrases(kept), clock.at(events[-1].start))

    failing = [e for e in bad.found_events if e.verdict == "fail"] if bad else []
    passing = [e for e in good.found_events if e.verdict != "fail"] if good else []
    proof = [(s, [e for e in s.left_events if e.verdict != "fail"]) for s in left]
    still = [(s, [e for e in s.left_events if e.verdict == "fail"]) for s in left]
    return Story(
        quotes=_quotes(timeline),
        status=diagnosis.status if diagnosis else None,
        cause=_cause(diagnosis, timeline, names) if diagnosis else None,
        side=diagnosis.side if diagnosis else "unknown",
        last_good=place_read(good, passing, [e.quantity for e in failing]) if good and passing else None,
        first_bad=place_read(bad, failing) if bad else None,
        seen=tuple(dict.fromkeys(_seen(timeline)))[:MOST_PLACES],
        done=clauses[:6],
        more_done=max(len(clauses) - 6, 0),
        repaired_at=clock.at(mends[-1].start) if mends else None,
        proof=tuple(place_read(s, events) for s, events in proof if events)[-MOST_PLACES:],
        still_bad=tuple(place_read(s, events) for s, events in still if events)[-MOST_PLACES:],
        read_count=sum(e.kind == "reading" for e in timeline.events),
    )


def _quotes(timeline: Timeline) -> tuple[str, ...]:
    """What was quoted before the first reading; else the first thing quoted; else nothing."""
    quoted = [(s.start, s.text) for s in timeline.set_aside if s.reason == "quoted"]
    if not quoted:
        quoted = [(e.start, e.text) for e in timeline.events if e.kind == "note"]
        return tuple(text for start, text in quoted if start < _first_reading(timeline))[:1]
    early = [text for start, text in quoted if start < _first_reading(timeline)]
    return tuple(dict.fromkeys(early))[:2] or (quoted[0][1],)


def _first_reading(timeline: Timeline) -> float:
    return next((e.start for e in timeline.events if e.kind == "reading"), float("inf"))


def _boundary(path: Path, diagnosis: Diagnosis | None) -> tuple[Station | None, Station | None]:
    """The last station good and the first bad, as found: the diagnosis's own pair, else read off the path."""
    stations = path.stations
    named = [s for end in (diagnosis.between or () if diagnosis else ()) for s in stations if s.point.id == end]
    good = next((s for s in named if s.found.name in ("pass", "none")), None)
    bad = next((s for s in named if s.found.name == "fail"), None)
    bad = bad or next((s for s in stations if s.found.name == "fail"), None)
    if good is None:
        before = stations[: stations.index(bad)] if bad else stations
        good = next((s for s in reversed(before) if s.found.name == "pass"), None)
    return good, bad


def _cause(diagnosis: Diagnosis, timeline: Timeline, names: Names) -> str | None:
    words = names.words
    entry = words.at("faults", diagnosis.fault)
    element = timeline.point(diagnosis.element)
    if isinstance(entry, list) and entry:
        entry = entry[0] if element else entry[-1]
    if not isinstance(entry, str):
        entry = f"the fault {{be}}: {diagnosis.fault.replace('_', ' ')}{{where}}"
    past = diagnosis.status in ("mended", "repaired")
    values = {
        "{be}": "was" if past else "is",
        "{are}": "were" if past else "are",
        "{thing}": names.prose(element) if element else "",
        "{where}": _where(diagnosis, timeline, names),
    }
    for key, value in values.items():
        entry = entry.replace(key, value)
    return entry


def _where(diagnosis: Diagnosis, timeline: Timeline, names: Names) -> str:
    element = timeline.point(diagnosis.element)
    if element:
        inside = element.kind in (names.words.at("in", "kinds") or ())
        return f" {'in' if inside else 'at'} {names.prose(element)}"
    first, second = (timeline.point(end) for end in diagnosis.between or (None, None))
    if not first or not second:
        return ""
    if names.whole(first) == names.whole(second):
        return f" between the two sides of {names.whole(first)}"
    return f" between {names.prose(first)} and {names.prose(second)}"


def _seen(timeline: Timeline) -> list[str]:
    """Defects seen by eye, in words."""
    seen = [e for e in timeline.events if e.quantity == "inspection" and e.state == "defect" and e.object]
    return [str(e.object) for e in seen]


def _clauses(timeline: Timeline, mends: Sequence[Event], deeds: Deeds) -> tuple[str, ...]:
    """Mends, hand-overs, notices and what was left off, in order; a place named once in a row."""
    left_off = {line.disturbed_by for line in timeline.ledger if line.restored_by is None}
    wanted = {m.id for m in mends} | left_off
    acts = [e for e in timeline.events if e.kind == "action" and (e.id in wanted or e.action in TOLD)]
    clauses: list[str] = []
    for act, following in zip(acts, [*acts[1:], None], strict=True):
        same = following is not None and following.point == act.point and following.action not in ("notify", "refer")
        clauses.append(deeds.clause(act, timeline, place=not same))
    return tuple(dict.fromkeys(clauses))
