"""Builds the values that templates use from a finished timeline."""

from __future__ import annotations

from callnotes.records import Event, LedgerLine, OnTest, OpenItem, Sum, Timeline
from callnotes.render import clock as clocks
from callnotes.render.clock import Clock
from callnotes.render.context import (
    ActionRow,
    Head,
    LedgerRow,
    Making,
    MendRow,
    NextRow,
    OnTestRow,
    OpenRow,
    ReadingRow,
    RecordingRow,
    Report,
    SumRow,
    TicketRow,
    Verdict,
)
from callnotes.render.deeds import Deeds
from callnotes.render.figures import amount, counted, series, thin_spaced
from callnotes.render.names import Names
from callnotes.render.path import Path, path_of
from callnotes.render.readings import ReadingWords
from callnotes.render.story import story_of
from callnotes.render.words import Words
from callnotes.trade import Trade
from callnotes.trade.judgment import Limit

UNSURE = 0.6
GLYPHS = {"pass": "✓", "fail": "✗", "marginal": "△", "none": "–", "unread": "–"}


def report_of(timeline: Timeline, trade: Trade, words: Words) -> Report:
    """The values of one report."""
    names, wording = Names(words, trade), ReadingWords(words, trade)
    deeds, clock = Deeds(words, trade, names), clocks.clock_of(timeline)
    path = path_of(timeline, names, wording)
    call, on_test = timeline.call, timeline.call.on_test
    events = timeline.events
    return Report(
        call=_head(timeline),
        story=story_of(timeline, path, names, wording, deeds, clock),
        path=path,
        path_alt=path_in_words(path, names),
        readings=tuple(_reading(e, timeline, names, wording, clock) for e in events if e.kind == "reading"),
        sums=tuple(_sum(one, timeline, names) for one in timeline.sums),
        actions=tuple(ActionRow(clock.at(e.start), deeds.clause(e, timeline)) for e in events if e.kind == "action"),
        ledger=tuple(_ledger(line, timeline, names, clock) for line in timeline.ledger),
        materials=tuple(counted(m.quantity, m.unit, m.item, trade) for m in call.materials),
        no_materials=call.no_materials,
        open_items=_open_items(timeline, trade),
        next_test=_next_test(timeline, names),
        return_visit=call.return_visit,
        tickets=tuple(TicketRow(t.number, t.owner, t.person, t.promised) for t in call.tickets),
        on_test=_on_test(on_test) if on_test else None,
        cautions=tuple(dict.fromkeys(c.text for c in timeline.cautions)),
        made=_making(timeline, clock, trade),
    )


def path_in_words(path: Path, names: Names) -> str:
    """The picture for those who do not see it: each station with its marks."""
    parts = []
    for s in path.stations:
        found = f"{s.found.word} ({s.found.phrase})" if s.found.phrase else s.found.word
        left = f"{s.left.word} ({s.left.phrase})" if s.left.phrase else s.left.word
        marks = f"as found {found}, as left {left}" if path.both else (found if s.found_events else left)
        fault = "; the fault is here" if s.fault else ""
        if s.fault_after:
            fault = "; the fault is between this point and the next"
        parts.append(f"{names.table(s.point)}: {marks}{fault}")
    return f"Path of test points, provider first. {'. '.join(parts)}." if parts else ""


def _head(timeline: Timeline) -> Head:
    call, day, minutes = timeline.call, clocks.day_of(timeline), clocks.on_site(timeline.call)
    return Head(
        work_order=call.work_order,
        site=call.site,
        contact=call.contact,
        technicians=call.technicians,
        date=clocks.long_date(day) if day else call.date,
        arrived=clocks.time_of_day(call.arrived),
        departed=clocks.time_of_day(call.departed),
        on_site=None if minutes is None else clocks.span(minutes),
        line_numbers=call.line_numbers,
        accepted_by=call.accepted_by,
        checkout=call.checkout,
        assumed=call.inferred,
    )


def _reading(event: Event, timeline: Timeline, names: Names, wording: ReadingWords, clock: Clock) -> ReadingRow:
    return ReadingRow(
        at=clock.at(event.start),
        point=names.table(timeline.point(event.point)),
        quantity=wording.quantity(event),
        value=wording.value(event),
        conditions=wording.conditions(event),
        verdict=_verdict(event, names.words, names.trade),
    )


def _sum(one: Sum, timeline: Timeline, names: Names) -> SumRow:
    return SumRow(thin_spaced(one.text, names.trade), names.table(timeline.point(one.point)))


def _verdict(event: Event, words: Words, trade: Trade) -> Verdict:
    name = event.verdict or "none"
    by = words.text("verdict_from", event.verdict_from) or ""
    limit = next((entry for entry in trade.limits if entry.id == event.limit), None)
    if event.verdict_from == "limit" and limit:
        sign = {">=": "≥", "<=": "≤"}.get(limit.op, limit.op)
        by = f"{by} {sign} {amount(limit.value, limit.unit, trade)}{_memory(limit)}"
    return Verdict(name, GLYPHS[name], words.text("verdicts", name) or name, by)


def _memory(limit: Limit) -> str:
    """What is said beside a limit that nobody has checked against its source."""
    return " (from memory, not checked)" if limit.basis == "mem-M" else ""


def _judged_by(timeline: Timeline, trade: Trade) -> tuple[str, ...]:
    judged = {event.limit for event in timeline.events if event.verdict_from == "limit"}
    return tuple(dict.fromkeys(f"{one.source}{_memory(one)}" for one in trade.limits if one.id in judged))


def _ledger(line: LedgerLine, timeline: Timeline, names: Names, clock: Clock) -> LedgerRow:
    disturbed, restored = timeline.event(line.disturbed_by), timeline.event(line.restored_by)
    back = (clock.at(restored.start) if restored else "") if line.restored_by else None
    place = names.table(timeline.point(line.point))
    return LedgerRow(line.what, place, clock.at(disturbed.start) if disturbed else None, back, line.reason)


def _open_items(timeline: Timeline, trade: Trade) -> tuple[OpenRow, ...]:
    """The open items, those that stop first and those accepted last; all facts that nobody said are one row."""
    noted = [item for item in timeline.open_items if item.level == "noted" and not item.accepted]
    unsaid = [item for item in noted if item.fill and not item.because]
    rows = dict.fromkeys(_open_item(item) for item in timeline.open_items if item not in unsaid)
    plain = {field.name: field.plain for field in trade.fields}
    if unsaid:
        rows[
            OpenRow(f"Not said: {series([plain.get(item.fill or '', item.text) for item in unsaid])}", stops=False)
        ] = None
    return tuple(sorted(rows, key=lambda row: (not row.stops, row.accepted_by is not None)))


def _open_item(item: OpenItem) -> OpenRow:
    if item.accepted:
        return OpenRow(item.text, stops=False, accepted_by=item.accepted.by, reason=item.accepted.reason)
    return OpenRow(item.text, stops=item.level == "stops")


def _next_test(timeline: Timeline, names: Names) -> NextRow | None:
    asked = timeline.diagnosis.next_test if timeline.diagnosis else None
    point = timeline.point(asked.point) if asked else None
    return NextRow(asked.do, names.table(point), asked.why, asked.needs_first) if asked else None


def _on_test(window: OnTest) -> OnTestRow:
    since, until, off = map(clocks.time_of_day, (window.since, window.until, window.off))
    return OnTestRow(since, until, window.operator, off)


def _making(timeline: Timeline, clock: Clock, trade: Trade) -> Making:
    made = timeline.made
    unsure = [e for e in timeline.events if e.confidence < UNSURE]
    return Making(
        version=made.version,
        engine=made.engine,
        model=made.model,
        profile=made.profile,
        limits=_judged_by(timeline, trade),
        recordings=tuple(RecordingRow(r.name, r.sha256, clocks.length(r.duration_s)) for r in timeline.recordings),
        mends=tuple(dict.fromkeys(MendRow(m.heard, m.mended) for m in made.mends)),
        events=len(timeline.events),
        unsure=len(unsure),
        unsure_at=tuple(clock.at(e.start) for e in unsure),
        clock_known=clock.start is not None,
    )
