"""Verdicts for readings: what was said stands, a state speaks for itself, a number goes by a chosen limit.

``judge(timeline, trade, profile)`` fills ``verdict``, ``verdict_from`` and ``limit`` of every reading and
nothing else. Without a profile no number is judged by any limit.
"""

from __future__ import annotations

from collections.abc import Sequence

from callnotes.records import Condition, Event, Point, Timeline, Verdict
from callnotes.trade import Trade
from callnotes.trade.judgment import Limit


def judge(timeline: Timeline, trade: Trade, profile: str | None = None) -> Timeline:
    """The same timeline with a verdict on every reading that allows one.

    ``profile`` names the limits to judge by; left out, the profile that the timeline was made with holds.
    ``OptionError`` for a profile that no limit belongs to, naming those that exist.
    """
    profile = profile or timeline.made.profile
    limits = trade.limits_of(profile) if profile else ()
    events = tuple(_judged(e, timeline.point(e.point), trade, limits) for e in timeline.events)
    made = timeline.made.model_copy(update={"profile": profile})
    return timeline.model_copy(update={"events": events, "made": made})


def by_limit(event: Event, point: Point | None, trade: Trade, limits: Sequence[Limit]) -> tuple[Verdict, str] | None:
    """The verdict of the first limit that holds for this reading, and its id; None where none holds.

    A reading whose quantity needs its leads gets none without them, nor does one without a unit.
    """
    quantity = trade.quantity(event.quantity)
    if event.value is None or event.unit is None or quantity is None:
        return None
    if quantity.leads and not condition(event, "leads"):
        return None
    for limit in limits:
        if limit.quantity == event.quantity and _holds_here(limit, event, point):
            verdict = _compared(event, limit, trade)
            if verdict:
                return verdict, limit.id
    return None


def condition(event: Event, what: str) -> str | None:
    """What the reading's condition of that name is, or None."""
    return next((c.is_ for c in event.conditions if c.what == what), None)


def _judged(event: Event, point: Point | None, trade: Trade, limits: Sequence[Limit]) -> Event:
    if event.kind != "reading":
        return event
    if event.verdict is not None and event.verdict_from not in ("state", "limit"):
        return event.model_copy(update={"verdict_from": "stated", "limit": None})
    none = {"verdict": None, "verdict_from": None, "limit": None}
    if event.state is not None:
        quantity = trade.quantity(event.quantity)
        word = quantity.state(event.state) if quantity else None
        found = {"verdict": word.verdict, "verdict_from": "state"} if word and word.verdict else {}
        return event.model_copy(update=none | found)
    verdict = by_limit(event, point, trade, limits)
    found = {"verdict": verdict[0], "verdict_from": "limit", "limit": verdict[1]} if verdict else {}
    return event.model_copy(update=none | found)


def _holds_here(limit: Limit, event: Event, point: Point | None) -> bool:
    if point is None or not any(_is_place(place, point) for place in limit.places):
        return False
    leads, hook = condition(event, "leads"), condition(event, "hook")
    return (limit.leads is None or leads == limit.leads) and (limit.hook is None or hook in (None, limit.hook))


def _is_place(place: str, point: Point) -> bool:
    kind, _, side = place.partition(":")
    return point.kind == kind and (not side or point.side in (None, side))


def _compared(event: Event, limit: Limit, trade: Trade) -> Verdict | None:
    """Pass or fail with the limit's own sign; None where a bound or a range leaves it open."""
    values = [_in_unit(v, event.unit, limit.unit, trade) for v in _ends(event)]
    if not values or any(v is None for v in values):
        return None
    passes = [meets(v, limit) for v in values if v is not None]
    if len(set(passes)) > 1:
        return None
    bound = condition(event, "bound")
    if bound and bound[0] in "<>":
        # "Over 30" settles "at least 40" neither way; "over 50" does, and "over 50" also breaks "at most 40".
        open_end = bound[0] == limit.op[0]
        if passes[0] is not open_end:
            return None
    return "pass" if passes[0] else "fail"


def _ends(event: Event) -> list[float]:
    text = next((c.is_ for c in event.conditions if _is_range(c)), None)
    if text is None:
        return [event.value] if event.value is not None else []
    return [float(end) for end in text.split("..")]


def _is_range(condition: Condition) -> bool:
    if condition.what != "range":
        return False
    try:
        return len([float(end) for end in condition.is_.split("..")]) == 2
    except ValueError:
        return False


def _in_unit(value: float, unit: str | None, wanted: str, trade: Trade) -> float | None:
    have, want = trade.unit(unit), trade.unit(wanted)
    return None if have is None or want is None else have.to(want, value)


def meets(value: float, limit: Limit) -> bool:
    """Whether a value in the limit's own unit meets it, with the sign of its source."""
    if limit.op in (">", ">="):
        return value > limit.value or (limit.op == ">=" and value == limit.value)
    return value < limit.value or (limit.op == "<=" and value == limit.value)
