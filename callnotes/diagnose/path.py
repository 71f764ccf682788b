"""The way from the provider to the device: which point stands before which, and which points are one place."""

from __future__ import annotations

from callnotes.records import Point, Timeline
from callnotes.trade import Trade

SIDE_RANK = {"provider": 0, "in": 1, "left": 2, "top": 2, None: 3, "right": 4, "bottom": 4, "out": 5, "customer": 6}
DETAILS = ("label", "line", "block_type", "pair", "column", "port", "color")
NAMES = ("label", "pair", "port", "color")
UNKNOWN_CHAIN = 50


def ordered(timeline: Timeline, trade: Trade) -> Timeline:
    """The timeline with ``order`` set on every point, 1 nearest the provider.

    By the usual place of the kind, then the side, then the order of first mention. Branches are not told
    apart: two devices side by side follow each other in the order they were spoken of.
    """
    mention = {p.id: n for n, p in enumerate(timeline.points)}

    def place(point: Point) -> tuple[int, int, int]:
        kind = trade.point_kind(point.kind)
        return (kind.chain if kind else UNKNOWN_CHAIN, SIDE_RANK.get(point.side, 3), mention[point.id])

    order = {p.id: n for n, p in enumerate(sorted(timeline.points, key=place), 1)}
    points = tuple(p.model_copy(update={"order": order[p.id]}) for p in timeline.points)
    return timeline.model_copy(update={"points": points})


def same_place(a: Point | None, b: Point | None, *, sides: bool = True) -> bool:
    """Whether two points can be one place: same kind and no detail that speaks against it.

    A detail that one of them lacks speaks for nothing. ``sides`` False leaves the side out of it.
    """
    if a is None or b is None or a.kind != b.kind:
        return False
    if sides and None not in (a.side, b.side) and a.side != b.side:
        return False
    if told_apart(a, b) or any(_differ(getattr(a, name), getattr(b, name)) for name in DETAILS):
        return False
    rows_meet = not (a.row and b.row) or bool(set(a.row) & set(b.row))
    pins_meet = not (a.pins and b.pins) or bool(set(a.pins) & set(b.pins))
    return rows_meet and pins_meet


def told_apart(a: Point, b: Point) -> bool:
    """Whether each has a name that the other lacks ("the gray one", "the white-blue"): most likely two things."""
    only_a = any(getattr(a, name) is not None and getattr(b, name) is None for name in NAMES)
    only_b = any(getattr(b, name) is not None and getattr(a, name) is None for name in NAMES)
    return only_a and only_b


def in_series(a: Point, b: Point) -> bool:
    """Whether ``a`` can stand before ``b`` on one way.

    Two ports, pairs or rows of one kind stand side by side, but for the provider's own block and for one pair at
    two places (the foot and the head of a riser).
    """
    if not on_one_line(a, b) or a.order >= b.order:
        return False
    one_pair = a.pair is not None and a.pair == b.pair
    return a.kind != b.kind or a.side == "provider" or one_pair or same_place(a, b, sides=False)


def on_one_line(a: Point | None, b: Point | None) -> bool:
    """Whether nothing said puts the two points on different telephone lines."""
    return a is None or b is None or not _differ(a.line, b.line)


def exactness(point: Point | None) -> int:
    """How many details the point has; of two names for one place the more exact is kept."""
    if point is None:
        return -1
    return sum(getattr(point, name) is not None for name in DETAILS) + bool(point.row) + bool(point.pins)


def _differ(a: object, b: object) -> bool:
    return a is not None and b is not None and str(a).lower() != str(b).lower()
