"""Lines that guard life or property: which they are, and what is open when one was touched.

A line is guarded by the kind of a point (an alarm panel, its jack) or by the words said of it (elevator, fire ...).
"""

from __future__ import annotations

from collections.abc import Iterator

from callnotes.diagnose.course import Course, says
from callnotes.diagnose.lack import Lack
from callnotes.diagnose.ledger import RETURN_VISIT, is_account
from callnotes.diagnose.path import same_place
from callnotes.records import Event, LedgerLine
from callnotes.trade.judgment import Requirement

OPENING = {"disconnect", "remove_clips", "move", "remove", "replace", "terminate"}
PROVES_A_LINE = {"dial_tone", "outgoing_call", "incoming_call", "operation"}


def words_of(course: Course, name: str) -> tuple[str, ...]:
    """A list of words from the requirements table."""
    return course.trade.words.get(("closeout_words", name), ())


def alarm_kind(event: Event, course: Course) -> bool:
    """Whether the event is at an alarm panel or its jack."""
    point = course.at(event)
    kind = course.trade.point_kind(point.kind) if point else None
    return kind is not None and kind.guarded


def guarded(event: Event, course: Course) -> bool:
    """Whether an event touches a line that guards life or property, by its kind or by the words said of it."""
    return alarm_kind(event, course) or _named(event, course, "guarded")


def reported_as(course: Course, name: str) -> bool:
    """Whether the trouble that was reported is that of such a line: "the elevator phone makes no sound"."""
    first = next((e.start for e in course.events if e.kind == "reading"), float("inf"))
    notes = [e for e in course.events if e.kind == "note" and e.start <= first]
    told = course.timeline.call.complaint or ""
    return any(says(e, words_of(course, name)) for e in (*notes[:1], _as_note(told)))


def still_out(row: Requirement, course: Course) -> Iterator[Lack]:
    """What is still out of its place; on a guarded line a coming visit alone is no reason, somebody must know."""
    for line in course.timeline.ledger:
        kind = out_kind(line, course)
        if line.restored_by or is_account(line, course) or kind not in row.outs:
            continue
        reason = None if kind in ("fire", "guarded") and line.reason == RETURN_VISIT else line.reason
        if row.reason is None or row.reason is bool(reason):
            yield Lack(what=f"{line.what}{f'; {reason}' if reason else ''}", because=line.disturbed_by)


def out_kind(line: LedgerLine, course: Course) -> str:
    """ "fire", "guarded", "plug" (the one at the interface) or "other"."""
    event = course.timeline.event(line.disturbed_by)
    if event is not None and (_named(event, course, "fire") or reported_as(course, "fire")):
        return "fire"
    if event is not None and (guarded(event, course) or reported_as(course, "guarded")):
        return "guarded"
    point = course.points.get(line.point or "")
    return "plug" if point is not None and point.kind == "demarc" and point.label is None else "other"


def guarded_untold(row: Requirement, course: Course) -> Iterator[Lack]:
    """An alarm panel or its jack opened before the station was told; each once."""
    seen: list[Event] = []
    for n, event in enumerate(course.events):
        if event.action not in OPENING or not alarm_kind(event, course):
            continue
        told = any(e.action == "notify" and says(e, words_of(course, "station")) for e in course.events[:n])
        if not told and not any(_one_line(event, e, course) for e in seen):
            yield Lack(because=event.id)
        seen.append(event)


def guarded_unproved(row: Requirement, course: Course) -> Iterator[Lack]:
    """A guarded line opened and put back, with nothing after it that shows it working; each once.

    While the fault still stands it is ``guarded_line_faulty`` that speaks of it.
    """
    diagnosis = course.timeline.diagnosis
    if diagnosis is not None and diagnosis.status in row.unless_status:
        return
    seen: list[Event] = []
    for line in course.timeline.ledger:
        event, back = course.timeline.event(line.disturbed_by), course.timeline.event(line.restored_by)
        if event is None or back is None or is_account(line, course) or not guarded(event, course):
            continue
        if _shown(event, back, course) or any(_one_line(event, e, course) for e in seen):
            continue
        if not any(_still_out_there(other, line, course) for other in course.timeline.ledger):
            seen.append(event)
            yield Lack(because=back.id)


def guarded_line_faulty(row: Requirement, course: Course) -> Iterator[Lack]:
    """The fault stands, nothing of the guarded line is out, and it hangs on that line. ``reason``: somebody knows."""
    diagnosis = course.timeline.diagnosis
    if diagnosis is None or diagnosis.status not in row.status:
        return
    opened = [e for e in course.events if e.kind == "action" and guarded(e, course)]
    out = any(line.restored_by is None and out_kind(line, course) in ("fire", "guarded") for line in _outs(course))
    if out or not (opened or reported_as(course, "guarded")):
        return
    told = any(e.action in ("notify", "refer") and not says(e, ("on test", "off test")) for e in course.events)
    if row.reason is None or row.reason is told:
        yield Lack(because=opened[-1].id if opened else None)


def _outs(course: Course) -> list[LedgerLine]:
    return [line for line in course.timeline.ledger if not is_account(line, course)]


def _named(event: Event, course: Course, name: str) -> bool:
    """Whether the object or the label of the place says so, of an action."""
    point = course.at(event)
    label = (point.label or "") if point else ""
    words = event.model_copy(update={"object": f"{event.object or ''} {label}"})
    return event.kind == "action" and says(words, words_of(course, name), object_only=True)


def _shown(event: Event, back: Event, course: Course) -> bool:
    """A good reading at an alarm, or a line that works where the thing was taken out, after it went back."""
    for later in course.events[course.events.index(back) :]:
        if later.kind != "reading" or later.verdict != "pass":
            continue
        if alarm_kind(later, course) if alarm_kind(event, course) else _proves(later, event, course):
            return True
    return False


def _proves(reading: Event, event: Event, course: Course) -> bool:
    return reading.quantity in PROVES_A_LINE and _one_line(reading, event, course)


def _one_line(a: Event, b: Event, course: Course) -> bool:
    """Whether two events are at one place, or at an alarm panel and the jack that it plugs into."""
    here, there = course.at(a), course.at(b)
    if here is None or there is None:
        return here is there
    both = alarm_kind(a, course) and alarm_kind(b, course) and here.kind != there.kind
    return both or same_place(here, there, sides=False)


def _still_out_there(other: LedgerLine, line: LedgerLine, course: Course) -> bool:
    return other.restored_by is None and other.point == line.point and not is_account(other, course)


def _as_note(text: str) -> Event:
    return Event(id="-", kind="note", start=0.0, end=0.0, text=text, confidence=1.0)
