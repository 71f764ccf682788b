"""Which actions mended or isolated the trouble, and so part the readings into before and after."""

from __future__ import annotations

from collections.abc import Sequence

from callnotes.records import Event, Point, Timeline

MENDS = frozenset(
    [
        "replace",
        "repair",
        "terminate",
        "install_clips",
        "clean",
        "move",
        "reset",
        "configure",
        "install",
        "remove",
        "reconnect",
        "restore",
    ]
)
# These undo a disturbance more often than they mend; they count only where nothing else did.
WEAK = frozenset({"reconnect", "restore", "remove"})
ISOLATES = frozenset({"disconnect", "remove", "remove_clips"})


def remedies(timeline: Timeline) -> tuple[Event, ...]:
    """The actions after which the line reads differently, in order.

    After a repair these are the mends. A referral, or a fault that still stands, has at most the last
    disconnecting of what was left off. What was only disturbed for a test, or put back after one, is none.
    """
    status = timeline.diagnosis.status if timeline.diagnosis else None
    if status in ("mended", "repaired"):
        return _mends(timeline)
    left_off = {line.disturbed_by for line in timeline.ledger if line.restored_by is None}
    isolating = [e for e in timeline.events if e.id in left_off and e.action in ISOLATES]
    return tuple(isolating[-1:])


def _mends(timeline: Timeline) -> tuple[Event, ...]:
    disturbing = {line.disturbed_by for line in timeline.ledger}
    restoring = {line.restored_by for line in timeline.ledger}
    acts = [e for e in timeline.events if e.kind == "action" and e.action in MENDS and e.id not in disturbing]
    strong = [
        e
        for e in acts
        if e.action not in WEAK and not (e.id in restoring and e.action in ("configure", "install", "move", "reset"))
    ]
    return tuple(strong or [e for e in acts if e.action != "remove"][-1:])


def before_and_after(
    readings: Sequence[Event], point: Point, mends: Sequence[Event], timeline: Timeline
) -> tuple[tuple[Event, ...], tuple[Event, ...]]:
    """The readings of one point as found and as left, of each kind the last.

    A mend at the point itself parts its readings; where there is none, any mend of the call does. Readings
    between two mends are neither.
    """
    if not readings:
        return (), ()
    own = [m for m in mends if _same_place(timeline.point(m.point), point)] or list(mends)
    later = [m for m in own if m.start >= readings[0].start]
    if not later:
        return ((), _last(readings)) if own else (_last(readings), ())
    found = [r for r in readings if r.start < later[0].start]
    left = [r for r in readings if r.start >= later[-1].start]
    return _last(found), _last(left)


def _same_place(a: Point | None, b: Point) -> bool:
    """The same point, or two that carry the same number (a cable and the panel port that it ends on)."""
    if a is None:
        return False
    numbered = [(p.port, p.label, p.pair) for p in (a, b)]
    return a.id == b.id or (numbered[0] == numbered[1] and any(n is not None for n in numbered[0]))


def _last(readings: Sequence[Event]) -> tuple[Event, ...]:
    """Of readings alike in quantity and conditions, the last one, in order of time."""
    kept = {(r.quantity, tuple((c.what, c.is_) for c in r.conditions if c.what != "range")): r for r in readings}
    return tuple(sorted(kept.values(), key=lambda r: (r.start, r.id)))
