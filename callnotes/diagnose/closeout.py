"""What the notes still lack before leaving the site: the requirements table, checked row by row.

Each row names one check below. A check yields what it found missing, once for each.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from callnotes.diagnose.course import Course, says
from callnotes.diagnose.mends import mends_of
from callnotes.diagnose.patterns import beside
from callnotes.judge import by_limit, condition
from callnotes.records import Event, LedgerLine, OpenItem, Timeline
from callnotes.trade import Trade
from callnotes.trade.judgment import Requirement

PAIR_KINDS = {"demarc", "protector", "terminal", "block", "cable", "jack", "line_seizure_jack"}
TOUCHY_AC = 30.0
GUARDED_WORDS = (
    "fire",
    "burglar",
    "alarm",
    "elevator",
    "emergency phone",
    "emergency telephone",
    "refuge",
    "medical",
    "nurse call",
)
STATION_WORDS = ("on test", "station", "monitoring", "central", "alarm company")
OPENING = {"disconnect", "remove_clips", "move", "remove", "replace", "terminate"}
HANDS_ON = {"replace", "repair", "terminate", "install_clips"}


@dataclass(frozen=True)
class Lack:
    """One thing missing: the words for ``{what}`` and ``{where}`` of the row's text, and the event it rests on."""

    what: str = ""
    where: str = ""
    because: str | None = None


def open_items_of(timeline: Timeline, trade: Trade) -> tuple[OpenItem, ...]:
    """Open items of a timeline with diagnosis and ledger; those that came in and no row makes are kept first."""
    course = Course(timeline, trade)
    own = {row.code for row in trade.requirements}
    items = [item for item in timeline.open_items if item.code not in own]
    for row in trade.requirements:
        for lack in CHECKS[row.check](row, course):
            text = row.text.format(what=lack.what, where=lack.where)
            items.append(
                OpenItem(code=row.code, text=text[:1].upper() + text[1:], level=row.level, because=lack.because)
            )
    return tuple(items)


def may_close(timeline: Timeline) -> bool:
    """Whether no open item stops the call from being closed; one that somebody accepted does not."""
    return not any(item.level == "stops" and item.accepted is None for item in timeline.open_items)


def fact_missing(row: Requirement, course: Course) -> Iterator[Lack]:
    if not getattr(course.timeline.call, row.fact or "", None):
        yield Lack()


def complaint_missing(row: Requirement, course: Course) -> Iterator[Lack]:
    told = any(e.kind == "note" for e in course.events) or any(s.reason == "quoted" for s in course.timeline.set_aside)
    if not told:
        yield Lack()


def no_readings(row: Requirement, course: Course) -> Iterator[Lack]:
    if not any(e.kind == "reading" for e in course.events):
        yield Lack()


def mend_without_retest(row: Requirement, course: Course) -> Iterator[Lack]:
    """Work done by hand with no good reading after it; finishing touches to what was proved are not asked for."""
    mends = mends_of(course)
    for mend in mends:
        event = course.events[mend.position]
        proved = any(
            m.retested and m.position != mend.position and beside(course, m.element, mend.element) for m in mends
        )
        if event.action in HANDS_ON and not mend.retested and not proved:
            yield Lack(what=_thing(event, course), because=event.id)


def one_way_only(row: Requirement, course: Course) -> Iterator[Lack]:
    """Both ways of calling after the mend of a voice line; no call is asked for into a line that guards somebody."""
    diagnosis = course.timeline.diagnosis
    voice = any(e.quantity == "dial_tone" for e in course.events)
    guarded = any(_guarded(e, course) for e in course.events if e.kind == "action" or e.quantity == "dial_tone")
    if diagnosis is None or diagnosis.status not in ("repaired", "mended") or not voice or guarded:
        return
    mended = [m.position for m in mends_of(course)]
    after = course.events[min(mended, default=0) :]
    works = {e.quantity for e in after if e.verdict == "pass" and e.quantity in ("outgoing_call", "incoming_call")}
    missing = [
        words for q, words in (("outgoing_call", "call out"), ("incoming_call", "have it called")) if q not in works
    ]
    if missing:
        yield Lack(what=" and ".join(missing))


def still_out(row: Requirement, course: Course) -> Iterator[Lack]:
    for line in course.timeline.ledger:
        if line.restored_by or _is_account(line, course) or _out_kind(line, course) not in row.outs:
            continue
        if row.reason is None or row.reason is bool(line.reason):
            reason = f"; {line.reason}" if line.reason else ""
            yield Lack(what=f"{line.what}{reason}", because=line.disturbed_by)


def _out_kind(line: LedgerLine, course: Course) -> str:
    event = course.timeline.event(line.disturbed_by)
    if event is not None and _guarded(event, course):
        return "guarded"
    point = course.points.get(line.point or "")
    return "plug" if point is not None and point.kind == "demarc" and point.label is None else "other"


def left_on_test(row: Requirement, course: Course) -> Iterator[Lack]:
    for line in course.timeline.ledger:
        if _is_account(line, course) and not line.restored_by:
            yield Lack(because=line.disturbed_by)


def _is_account(line: LedgerLine, course: Course) -> bool:
    event = course.timeline.event(line.disturbed_by)
    return event is not None and event.action == "notify"


def test_overrun(row: Requirement, course: Course) -> Iterator[Lack]:
    """The account went off test later than its window by the call's own clock (arrival plus the time of the words)."""
    call = course.timeline.call
    until = _minutes(call.on_test.until) if call.on_test else None
    arrived = _minutes(call.arrived)
    for line in course.timeline.ledger:
        back = course.timeline.event(line.restored_by)
        if back is None or until is None or arrived is None or not _is_account(line, course):
            continue
        if arrived + back.start / 60 > until:
            yield Lack(what=f"{until // 60:02d}:{until % 60:02d}", because=back.id)


def _minutes(clock: str | None) -> int | None:
    hours, _, minutes = (clock or "").partition(":")
    return int(hours) * 60 + int(minutes) if hours.isdigit() and minutes.isdigit() else None


def guarded_untold(row: Requirement, course: Course) -> Iterator[Lack]:
    """An alarm panel or its jack opened before the station was told."""
    for n, event in enumerate(course.events):
        if event.action in OPENING and _alarm_kind(event, course):
            told = any(e.action == "notify" and says(e, STATION_WORDS) for e in course.events[:n])
            if not told:
                yield Lack(because=event.id)
            return


def guarded_unproved(row: Requirement, course: Course) -> Iterator[Lack]:
    """An alarm line opened and put back, with nothing after it that shows the alarm working."""
    for line in course.timeline.ledger:
        event, back = course.timeline.event(line.disturbed_by), course.timeline.event(line.restored_by)
        if event is None or back is None or _is_account(line, course) or not _alarm_kind(event, course):
            continue
        after = course.events[course.events.index(back) :]
        shown = any(_alarm_kind(e, course) and e.verdict == "pass" and e.kind == "reading" for e in after)
        if not shown and not any(_still_out_there(o, line, course) for o in course.timeline.ledger):
            yield Lack(because=back.id)
            return


def _still_out_there(other: LedgerLine, line: LedgerLine, course: Course) -> bool:
    return other.restored_by is None and other.point == line.point and not _is_account(other, course)


def danger_standing(row: Requirement, course: Course) -> Iterator[Lack]:
    """Foreign voltage, or more than 30 V ac on a pair, that nothing later shows gone."""
    for n, event in enumerate(course.events):
        later = [e for e in course.events[n + 1 :] if e.quantity == event.quantity and course.one_place(e, event)]
        if _dangerous(event, course) and not any(not _dangerous(e, course) for e in later):
            yield Lack(because=event.id)
            return


def _dangerous(event: Event, course: Course) -> bool:
    if event.quantity == "foreign_voltage":
        return event.state == "present" and event.verdict != "pass"
    point, unit = course.at(event), course.trade.unit(event.unit)
    on_pair = point is not None and point.kind in PAIR_KINDS
    if event.quantity != "ac_voltage" or not on_pair or event.value is None or unit is None or event.verdict == "pass":
        return False
    return abs(event.value) * unit.factor > TOUCHY_AC


def word_against_limit(row: Requirement, course: Course) -> Iterator[Lack]:
    """A reading that the technician called good or bad and the limit of the chosen profile judges the other way."""
    profile = course.timeline.made.profile
    limits = course.trade.limits_of(profile) if profile else ()
    for event in course.events:
        judged = by_limit(event, course.at(event), course.trade, limits) if event.kind == "reading" else None
        if judged and event.verdict_from == "stated" and {judged[0], event.verdict} == {"pass", "fail"}:
            word = "good" if event.verdict == "pass" else "bad"
            yield Lack(what=f"{event.value:g} {event.unit} {word}", where=judged[1], because=event.id)


def leads_missing(row: Requirement, course: Course) -> Iterator[Lack]:
    """A number of which a chosen limit speaks, read without its leads."""
    profile = course.timeline.made.profile
    limited = {limit.quantity for limit in course.trade.limits_of(profile)} if profile else set()
    for event in course.events:
        quantity = course.trade.quantity(event.quantity)
        if (
            quantity
            and quantity.leads
            and event.value is not None
            and event.quantity in limited
            and not condition(event, "leads")
        ):
            yield Lack(what=f"{quantity.name} {event.value:g} {event.unit}", because=event.id)


def materials_unsaid(row: Requirement, course: Course) -> Iterator[Lack]:
    if not course.timeline.call.materials and not course.timeline.call.no_materials:
        yield Lack()


def return_unexplained(row: Requirement, course: Course) -> Iterator[Lack]:
    """A return visit that nothing explains: nobody told, nothing tagged, handed over, left out or planned."""
    told = any(e.action in ("notify", "label", "refer") for e in course.events)
    planned = any(s.reason == "planned" for s in course.timeline.set_aside)
    reasoned = any(line.reason for line in course.timeline.ledger if not line.restored_by)
    if course.timeline.call.return_visit and not (told or planned or reasoned):
        yield Lack()


def next_step_unsaid(row: Requirement, course: Course) -> Iterator[Lack]:
    diagnosis = course.timeline.diagnosis
    if diagnosis is not None and diagnosis.status in row.status and course.timeline.call.return_visit is None:
        yield Lack()


def not_found(row: Requirement, course: Course) -> Iterator[Lack]:
    diagnosis = course.timeline.diagnosis
    if diagnosis is not None and diagnosis.status == "not_found" and any(e.kind == "reading" for e in course.events):
        yield Lack()


def _alarm_kind(event: Event, course: Course) -> bool:
    point = course.at(event)
    kind = course.trade.point_kind(point.kind) if point else None
    return kind is not None and kind.guarded


def _guarded(event: Event, course: Course) -> bool:
    """Whether an event touches a line that guards life or property, by its kind or by the words said of it."""
    point = course.at(event)
    label = (point.label or "") if point else ""
    named = event.model_copy(update={"object": f"{event.object or ''} {label}"})
    return _alarm_kind(event, course) or (event.kind == "action" and says(named, GUARDED_WORDS, object_only=True))


def _thing(event: Event, course: Course) -> str:
    point = course.at(event)
    kind = course.trade.point_kind(point.kind) if point else None
    return event.object or (f"the {kind.name}" if kind else "something")


CHECKS: dict[str, Callable[[Requirement, Course], Iterator[Lack]]] = {
    "fact_missing": fact_missing,
    "complaint_missing": complaint_missing,
    "no_readings": no_readings,
    "mend_without_retest": mend_without_retest,
    "one_way_only": one_way_only,
    "still_out": still_out,
    "left_on_test": left_on_test,
    "test_overrun": test_overrun,
    "guarded_untold": guarded_untold,
    "guarded_unproved": guarded_unproved,
    "danger_standing": danger_standing,
    "word_against_limit": word_against_limit,
    "leads_missing": leads_missing,
    "materials_unsaid": materials_unsaid,
    "return_unexplained": return_unexplained,
    "next_step_unsaid": next_step_unsaid,
    "not_found": not_found,
}
