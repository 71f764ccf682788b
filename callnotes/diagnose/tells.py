"""What a test would tell, in plain words: which likely places it tells apart, and how evenly. No figures."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from callnotes.diagnose.choice import OTHER, Chosen
from callnotes.records import Point
from callnotes.trade import Trade

APART = 0.2  # in the probability of a bad reading; places nearer to each other than that are not told apart
SHOWN = 0.15  # of a side: a place with less is not named
MOST_NAMED = 2
EVEN = (0.35, 0.65)
DETAILS = ("line", "pair", "port")


@dataclass(frozen=True)
class Side:
    """What a reading that comes out one way would leave, likeliest first, and how likely that is."""

    names: tuple[str, ...]
    p: float

    @property
    def words(self) -> str:
        if len(self.names) > MOST_NAMED:
            return f"{', '.join(self.names[:MOST_NAMED])} and others"
        return " and ".join(self.names)


def why(chosen: Chosen, place: Callable[[str], str], fault: Callable[[str], str]) -> str:
    """Why that test comes next. ``place`` and ``fault`` name an element and a kind of fault."""
    suspects = chosen.case.hypotheses
    by_place = _sides(chosen, lambda h: place(suspects[h].element or ""))
    by_fault = _sides(chosen, lambda h: fault(suspects[h].fault))
    if by_place is None and by_fault is None:
        return "it shows whether the trouble is there at all, or lies in something that was not thought of"
    if by_place is None and by_fault is not None:
        return f"it tells {by_fault[0].words} from {by_fault[1].words}"
    assert by_place is not None
    bad, good = by_place
    if not good.names:
        return f"it tells a fault at {bad.words} from something that was not thought of"
    return f"it tells {bad.words} from {good.words}: {_how_evenly(bad, good)}"


def _how_evenly(bad: Side, good: Side) -> str:
    share = bad.p / (bad.p + good.p)
    if EVEN[0] <= share <= EVEN[1]:
        return "about half of what is still likely lies on each side"
    if share > EVEN[1]:
        return f"most of what is still likely lies at {bad.words}, and a good reading would clear it"
    return f"most of what is still likely lies at {good.words}, and a bad reading would turn that around"


def _sides(chosen: Chosen, name: Callable[[int], str]) -> tuple[Side, Side] | None:
    """The names by whether the test reads bad there or good; None where it tells none of them apart."""
    weight: dict[str, float] = {}
    reads: dict[str, float] = {}
    for h, (suspect, p, bad) in enumerate(zip(chosen.case.hypotheses, chosen.standing.belief, chosen.bad, strict=True)):
        if suspect.element not in (None, OTHER):
            weight[name(h)] = weight.get(name(h), 0.0) + p
            reads[name(h)] = reads.get(name(h), 0.0) + p * bad
    chance = {n: reads[n] / w for n, w in weight.items() if w > 0}
    if not chance or (len(chance) > 1 and max(chance.values()) - min(chance.values()) < APART):
        return None
    middle = (max(chance.values()) + min(chance.values())) / 2
    sides = ([n for n in chance if chance[n] >= middle], [n for n in chance if chance[n] < middle])
    return _side(sides[0], weight), _side(sides[1], weight)


def _side(names: Sequence[str], weight: dict[str, float]) -> Side:
    whole = sum(weight[n] for n in names)
    ranked = sorted(names, key=lambda n: -weight[n])
    return Side(tuple(n for n in ranked if n == ranked[0] or weight[n] >= SHOWN * whole), whole)


def place_name(point: Point | None, trade: Trade) -> str:
    """The point in the words of the trade, with the name or number it was given: "the kitchen jack"."""
    if point is None:
        return "the line"
    kind = trade.point_kind(point.kind)
    noun = kind.name if kind else point.kind.replace("_", " ")
    noun = f"{point.block_type} {noun}" if point.block_type else noun
    label = (point.label or "").strip()
    if label and noun.split()[-1] in label.lower().split():
        name = f"the {label}"
    elif label:
        name = f"{noun} {label}" if len(label) == 1 or label.isdigit() else f"the {label} {noun}"
    else:
        name = f"the {noun}"
    side = f"the {point.side} side of " if point.side in ("left", "right", "top", "bottom") else ""
    details = ", ".join(f"{what} {value}" for what in DETAILS if (value := getattr(point, what)) is not None)
    details = details or (f"{point.color} pair" if point.color else "")
    return f"{side}{name} ({details})" if details else f"{side}{name}"
