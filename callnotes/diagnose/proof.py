"""What must be read before the call is closed: a reading at all, a retest, both ways of calling, a danger gone."""

from __future__ import annotations

from collections.abc import Iterator

from callnotes.diagnose.course import Course, says
from callnotes.diagnose.guarded import alarm_kind, guarded, reported_as, words_of
from callnotes.diagnose.lack import Lack
from callnotes.diagnose.mends import mends_of
from callnotes.diagnose.patterns import beside
from callnotes.judge import by_limit, condition
from callnotes.records import Event
from callnotes.trade.judgment import Requirement

PAIR_KINDS = {"demarc", "protector", "terminal", "block", "cable", "jack", "line_seizure_jack"}
TOUCHY_AC = 30.0
HANDS_ON = {"replace", "repair", "terminate", "install_clips"}
CALLS = (("outgoing_call", "call out"), ("incoming_call", "have it called"))


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
    """Both ways of calling after the mend of a voice line.

    An alarm panel proves its line by its signal; into an elevator, medical, fire or gate line no call is asked for,
    since it would alarm somebody.
    """
    diagnosis = course.timeline.diagnosis
    voice = any(e.quantity == "dial_tone" for e in course.events)
    if diagnosis is None or diagnosis.status not in ("repaired", "mended") or not voice:
        return
    touched = [e for e in course.events if e.kind == "action" or e.quantity == "dial_tone"]
    if any(alarm_kind(e, course) for e in touched):
        return
    asked = CALLS[:1] if _never_called(touched, course) else CALLS
    mended = [m.position for m in mends_of(course)]
    after = course.events[min(mended, default=0) :]
    works = {e.quantity for e in after if e.verdict == "pass"}
    missing = [words for quantity, words in asked if quantity not in works]
    if missing:
        yield Lack(what=" and ".join(missing))


def _never_called(touched: list[Event], course: Course) -> bool:
    """Whether a call into the line would alarm somebody: an elevator, medical, fire or gate line."""
    labels = [p.label or "" for e in touched if (p := course.at(e))]
    named = Event(id="-", kind="note", start=0.0, end=0.0, text=" , ".join(labels), confidence=1.0)
    words = words_of(course, "never_called")
    spoken = any(says(e, words, object_only=True) for e in touched) or says(named, words)
    return spoken or reported_as(course, "never_called") or any(guarded(e, course) for e in touched)


def danger_standing(row: Requirement, course: Course) -> Iterator[Lack]:
    """A voltage that endangers and that nothing later shows gone; once a place."""
    return (Lack(because=event.id) for event in dangers(course))


def dangers(course: Course) -> list[Event]:
    """Readings of foreign voltage, or of more than 30 V ac on a pair, that nothing later shows gone; one a place."""
    seen: list[Event] = []
    for n, event in enumerate(course.events):
        if not _dangerous(event, course) or any(course.one_place(event, e) or e.point == event.point for e in seen):
            continue
        later = [e for e in course.events[n + 1 :] if e.quantity == event.quantity and course.one_place(e, event)]
        if not any(not _dangerous(e, course) for e in later):
            seen.append(event)
    return seen


def _dangerous(event: Event, course: Course) -> bool:
    if event.quantity == "foreign_voltage":
        return event.state == "present" and event.verdict != "pass"
    point, unit = course.at(event), course.trade.unit(event.unit)
    on_pair = point is not None and point.kind in PAIR_KINDS
    if event.quantity != "ac_voltage" or not on_pair or event.value is None or unit is None or event.verdict == "pass":
        return False
    return abs(event.value) * unit.factor > TOUCHY_AC and not says(event, words_of(course, "ringing"))


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


def _thing(event: Event, course: Course) -> str:
    point = course.at(event)
    kind = course.trade.point_kind(point.kind) if point else None
    return event.object or (f"the {kind.name}" if kind else "something")
