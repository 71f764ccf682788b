"""The cautions of a call: few, and only from what was said or read on it."""

from __future__ import annotations

from callnotes.diagnose.course import Course, says
from callnotes.diagnose.guarded import reported_as
from callnotes.records import CautionGiven, Event, Point, Timeline
from callnotes.trade import Trade
from callnotes.trade.judgment import CautionSign

SPOKEN_HERE = ("planned", "comment", "instruction", "conversation", "recap")


def cautions_of(timeline: Timeline, trade: Trade) -> tuple[CautionGiven, ...]:
    """Each caution once, by the first event that raises it; one raised by speech set aside names no event."""
    given = []
    guarded_line = reported_as(Course(timeline, trade), "guarded")
    for caution in trade.cautions:
        signs = [sign for sign in caution.signs if guarded_line or not sign.reported]
        cause = next(
            (e for e in timeline.events if any(_raises(e, timeline.point(e.point), s, trade) for s in signs)), None
        )
        spoken = any(_spoken(sign, timeline) for sign in signs)
        if cause is not None or spoken:
            given.append(CautionGiven(code=caution.code, text=caution.text, because=cause.id if cause else None))
    return tuple(given)


def _spoken(sign: CautionSign, timeline: Timeline) -> bool:
    """Whether its words stand in speech that was set aside, as talk of here and now or, for some, as told by others."""
    if sign.quantity or sign.action:
        return False
    reasons = (*SPOKEN_HERE, "quoted") if sign.told else SPOKEN_HERE
    return any(s.reason in reasons and says(_as_event(s.text), sign.words) for s in timeline.set_aside)


def _raises(event: Event, point: Point | None, sign: CautionSign, trade: Trade) -> bool:
    kind = trade.point_kind(point.kind) if point else None
    checks = (
        not sign.quantity or event.quantity in sign.quantity,
        not sign.state or event.state in sign.state,
        not sign.action or (event.kind == "action" and event.action in sign.action),
        not sign.at or (point is not None and point.kind in sign.at),
        not sign.guarded or (kind is not None and kind.guarded),
        not sign.words or says(event, sign.words, object_only=bool(sign.action and event.object)),
        not sign.unless or not says(event, sign.unless),
        sign.over is None or _over(event, sign, trade),
        event.kind != "note" or (sign.told and bool(sign.words)),
    )
    return all(checks)


def _over(event: Event, sign: CautionSign, trade: Trade) -> bool:
    have, want = trade.unit(event.unit), trade.unit(sign.unit)
    if event.value is None or have is None or want is None or have.dimension != want.dimension or sign.over is None:
        return False
    return abs(event.value) * have.factor / want.factor > sign.over


def _as_event(text: str) -> Event:
    return Event(id="-", kind="note", start=0.0, end=0.0, text=text, confidence=1.0)
