"""What goes into the four paragraphs: reported, found, done, proof. The sentences are the templates'."""

from __future__ import annotations

from collections.abc import Sequence

from callnotes.records import Diagnosis, Event, Ranked, Timeline
from callnotes.render.clock import Clock
from callnotes.render.context import PlaceRead, Story
from callnotes.render.deeds import Deeds
from callnotes.render.names import Names
from callnotes.render.path import Path, Station
from callnotes.render.readings import ReadingWords, lowered
from callnotes.render.remedies import remedies

MOST_PHRASES = 4
MOST_PLACES = 3
MOST_CLAUSES = 6
MOST_OTHERS = 2
# Probabilities from which a cause is told as certain or likely, and from which another is named beside it.
CERTAIN, LIKELY, NEAR = 0.9, 0.5, 0.15
TOLD = frozenset({"notify", "refer", "label"})


def story_of(timeline: Timeline, path: Path, names: Names, wording: ReadingWords, deeds: Deeds, clock: Clock) -> Story:
    """The story of a call, from its events and nothing else."""
    diagnosis, mends = timeline.diagnosis, remedies(timeline)
    good, bad = _boundary(path, diagnosis)
    clauses = _clauses(timeline, mends, deeds)
    seen = tuple(dict.fromkeys(_seen(timeline)))[:MOST_PLACES]

    def read(station: Station, events: Sequence[Event], first: Sequence[str | None] = ()) -> PlaceRead:
        kept = sorted(events, key=lambda e: (e.quantity not in first, e.start))[:MOST_PHRASES]
        point, last = station.point, max(e.start for e in events)
        return PlaceRead(names.prose(point), names.located(point), wording.phrases(kept), clock.at(last))

    failing = _told(_bad(bad.found_events)) if bad else []
    passing = _not_bad(good.found_events) if good else []
    part = next((s for s in path.stations if s.fault and s not in (good, bad)), None)
    part_bad = _measured(_bad(part.found_events or part.left_events)) if part else []
    left = _left(path, repaired=diagnosis is not None and diagnosis.status in ("mended", "repaired"))
    return Story(
        quotes=_quotes(timeline),
        status=diagnosis.status if diagnosis else None,
        cause=_cause(diagnosis, timeline, names) if diagnosis else None,
        sure=_sure(diagnosis) if diagnosis else "possible",
        others=_others(diagnosis, timeline, names) if diagnosis else (),
        side=diagnosis.side if diagnosis else "unknown",
        last_good=read(good, passing, [e.quantity for e in failing]) if good and passing else None,
        first_bad=read(bad, failing) if bad else None,
        element_bad=read(part, part_bad) if part and part_bad else None,
        seen=() if any(e.quantity == "inspection" for e in failing) else seen,
        done=clauses[:MOST_CLAUSES],
        more_done=max(len(clauses) - MOST_CLAUSES, 0),
        repaired_at=clock.at(mends[-1].start) if mends else None,
        proof=tuple(read(s, proving) for s in left if (proving := _measured(_not_bad(s.left_events))))[-MOST_PLACES:],
        still_bad=tuple(read(s, standing) for s in left if (standing := _measured(_bad(s.left_events))))[-MOST_PLACES:],
        read_count=sum(e.kind == "reading" for e in timeline.events),
    )


def _bad(events: Sequence[Event]) -> list[Event]:
    return [e for e in events if e.verdict == "fail"]


def _not_bad(events: Sequence[Event]) -> list[Event]:
    return [e for e in events if e.verdict != "fail"]


def _told(events: list[Event]) -> list[Event]:
    """Without what was seen by eye, which has a sentence of its own, unless there is nothing else."""
    return _measured(events) or events


def _measured(events: list[Event]) -> list[Event]:
    return [e for e in events if e.quantity != "inspection"]


def _left(path: Path, *, repaired: bool) -> list[Station]:
    """Stations read after the last mend, in order of time. A part that stays faulty proves nothing."""
    stations = [s for s in path.stations if s.left_events and (repaired or not s.fault)]
    return sorted(stations, key=lambda s: s.left_events[0].start)


def _quotes(timeline: Timeline) -> tuple[str, ...]:
    """What a person filled in; else what was quoted before the first reading, the first thing quoted, or nothing."""
    if timeline.call.complaint:
        return (timeline.call.complaint,)
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


def _sure(diagnosis: Diagnosis) -> str:
    """In words how sure the conclusion is: a repair that was read again proves it, else its probability tells."""
    if diagnosis.status in ("repaired", "referred"):
        return "proved"
    first = next((r for r in diagnosis.ranked if (r.fault, r.element) == (diagnosis.fault, diagnosis.element)), None)
    p = first.p if first else 0.0
    return "certain" if p >= CERTAIN else "likely" if p >= LIKELY else "possible"


def _others(diagnosis: Diagnosis, timeline: Timeline, names: Names) -> tuple[str, ...]:
    """What else comes near to being as likely, the fault of another kind or place."""
    if diagnosis.fault == "none" or _sure(diagnosis) in ("proved", "certain"):
        return ()
    told = _cause(diagnosis, timeline, names)
    near = [r for r in diagnosis.ranked if r.p >= NEAR and r.fault not in ("none", "other")]
    clauses = (_cause(diagnosis.model_copy(update=_place(r)), timeline, names) for r in near)
    return tuple(dict.fromkeys(clause for clause in clauses if clause and clause != told))[:MOST_OTHERS]


def _place(ranked: Ranked) -> dict[str, str | None]:
    return {"fault": ranked.fault, "element": ranked.element}


def _where(diagnosis: Diagnosis, timeline: Timeline, names: Names) -> str:
    element = timeline.point(diagnosis.element)
    if element:
        return f" {names.located(element, fault=True)}"
    first, second = (timeline.point(end) for end in diagnosis.between or (None, None))
    if not first or not second:
        return ""
    if names.whole(first) == names.whole(second):
        return f" between the two sides of {names.whole(first)}"
    return f" between {names.prose(first)} and {names.prose(second)}"


def _seen(timeline: Timeline) -> list[str]:
    """Defects seen by eye, in words."""
    seen = [e for e in timeline.events if e.quantity == "inspection" and e.state == "defect" and e.object]
    return [lowered(e.object) for e in seen]


def _clauses(timeline: Timeline, mends: Sequence[Event], deeds: Deeds) -> tuple[str, ...]:
    """Mends, hand-overs, notices and what was left off, in order; a place named once in a row."""
    left_off = {line.disturbed_by for line in timeline.ledger if line.restored_by is None}
    wanted = {m.id for m in mends} | left_off
    acts = [e for e in timeline.events if e.kind == "action" and (e.id in wanted or e.action in TOLD)]
    clauses: list[str] = []
    for act, following in zip(acts, [*acts[1:], None], strict=False):
        same = following is not None and following.point == act.point and following.action not in ("notify", "refer")
        clauses.append(deeds.clause(act, timeline, place=not same))
    return tuple(dict.fromkeys(clauses))
