"""What was not said: facts of the call, the reported trouble, materials, tickets, what comes next."""

from __future__ import annotations

from collections.abc import Iterator

from callnotes.diagnose.course import Course, says
from callnotes.diagnose.guarded import words_of
from callnotes.diagnose.lack import Lack
from callnotes.records import Event
from callnotes.trade.judgment import Requirement

VOICE = {"dial_tone", "line_sound", "loop_current"}
LINE_PLACES = {"demarc", "protector", "terminal", "block", "line_seizure_jack"}
FITTING = {"install", "replace", "terminate", "install_clips"}


def fact_missing(row: Requirement, course: Course) -> Iterator[Lack]:
    if not getattr(course.timeline.call, row.fact or "", None) and not _known_from_file(row, course):
        yield Lack()


def _known_from_file(row: Requirement, course: Course) -> bool:
    """The day is known where the recording tells when it was begun."""
    return row.fact == "date" and any(r.started for r in course.timeline.recordings)


def line_number_missing(row: Requirement, course: Course) -> Iterator[Lack]:
    """Work on a telephone line, told by what was read where such lines run, whose number nobody said."""
    read = (p for e in course.events if e.quantity in VOICE and (p := course.at(e)))
    if not course.timeline.call.line_numbers and any(point.kind in LINE_PLACES for point in read):
        yield Lack()


def complaint_missing(row: Requirement, course: Course) -> Iterator[Lack]:
    told = any(e.kind == "note" for e in course.events) or any(s.reason == "quoted" for s in course.timeline.set_aside)
    if not told and not course.timeline.call.complaint:
        yield Lack()


def materials_unsaid(row: Requirement, course: Course) -> Iterator[Lack]:
    """No material said, neither in a list nor as the new thing that was put in."""
    call = course.timeline.call
    new = any(e.action in FITTING and says(e, words_of(course, "new")) for e in course.events)
    if not call.materials and not call.no_materials and not new:
        yield Lack()


def ticket_missing(row: Requirement, course: Course) -> Iterator[Lack]:
    """Handed over to somebody with no number for it."""
    handed = [e for e in course.events if e.action == "refer" and _to_somebody(e, course)]
    if handed and not course.timeline.call.tickets and not any(_has_code(e) for e in handed):
        yield Lack(because=handed[-1].id)


def _to_somebody(event: Event, course: Course) -> bool:
    """Whether the words of a hand-over name to whom, or what."""
    return event.object is not None or any(says(event, owner.words) for owner in course.trade.owners)


def _has_code(event: Event) -> bool:
    return any(letter.isdigit() for letter in event.object or "")


def return_unexplained(row: Requirement, course: Course) -> Iterator[Lack]:
    """A return visit that nothing explains: nobody told, nothing tagged, handed over, left out or planned."""
    told = any(e.action in ("notify", "label", "refer") for e in course.events)
    planned = any(s.reason == "planned" for s in course.timeline.set_aside)
    reasoned = any(line.reason for line in course.timeline.ledger if not line.restored_by)
    if course.timeline.call.return_visit and not (told or planned or reasoned):
        yield Lack()


def next_step_unsaid(row: Requirement, course: Course) -> Iterator[Lack]:
    """The fault stands, and neither a visit nor what the customer is to do until then was said."""
    diagnosis = course.timeline.diagnosis
    if diagnosis is None or diagnosis.status not in row.status or _told_what_to_note(course):
        return
    if course.timeline.call.return_visit is None:
        yield Lack()


def not_found(row: Requirement, course: Course) -> Iterator[Lack]:
    """No fault found, and nobody was told what to note when it comes again."""
    diagnosis = course.timeline.diagnosis
    read = any(e.kind == "reading" for e in course.events)
    if diagnosis is not None and diagnosis.status == "not_found" and read and not _told_what_to_note(course):
        yield Lack()


def _told_what_to_note(course: Course) -> bool:
    words = words_of(course, "note_down")
    spoken = (s.text for s in course.timeline.set_aside if s.reason in ("instruction", "planned", "conversation"))
    told = [e for e in course.events if e.action == "notify"]
    notes = (Event(id="-", kind="note", start=0.0, end=0.0, text=text, confidence=1.0) for text in spoken)
    return any(says(e, words) for e in (*told, *notes))
