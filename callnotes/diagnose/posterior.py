"""The probabilities of what may be wrong: one fault, two at once, nothing, or something else.

Each hypothesis has its odds; two faults together have both, less what two at once takes, and are credited once for a
reading that both explain. The probability of a fault is that of all cases that hold it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

from callnotes.diagnose.course import Course
from callnotes.diagnose.hypotheses import Hypothesis
from callnotes.diagnose.patterns import beside

PAIRED = 6


@dataclass(frozen=True)
class Weighed:
    """The hypotheses, likeliest first, each with its ``p``; and how likely it is that none of them holds."""

    ranking: tuple[Hypothesis, ...]
    nothing: float
    other: float


def weighed(course: Course, held: list[Hypothesis]) -> Weighed:
    """Sets ``p`` of every hypothesis and ranks them; probabilities of cases sum to 1."""
    weighing = course.trade.weighing
    order = {point.id: point.order for point in course.timeline.points}
    ranked = sorted(held, key=lambda h: (-round(h.odds, 6), order.get(h.element or "", 0), h.fault))
    cases: list[tuple[float, tuple[Hypothesis, ...]]] = [(h.odds, (h,)) for h in ranked]
    for one, two in combinations(ranked[:PAIRED], 2):
        if not beside(course, one.element, two.element):
            cases.append((_together(one, two) - weighing.two, (one, two)))
    other, nothing = weighing.other + weighing.other_each * unsettled(course), weighing.none
    most = max([other, nothing, *(odds for odds, _ in cases)])
    total = sum(math.exp(odds - most) for odds in [other, nothing, *(odds for odds, _ in cases)])
    for odds, members in cases:
        for member in members:
            member.p += math.exp(odds - most) / total
    # A fault that several places could have is likelier than each of them: it goes by the mean of both, in odds.
    by_fault: dict[str, float] = {}
    for h in ranked:
        by_fault[h.fault] = by_fault.get(h.fault, 0.0) + h.p
    ranking = sorted(ranked, key=lambda h: -round(h.p * math.sqrt(by_fault[h.fault]), 6))
    return Weighed(tuple(ranking), math.exp(nothing - most) / total, math.exp(other - most) / total)


def _together(one: Hypothesis, two: Hypothesis) -> float:
    """The odds of both: of a reading that both explain the better share counts."""
    odds = one.bias + two.bias
    for event in {*one.shares, *two.shares}:
        a, b = one.shares.get(event, 0.0), two.shares.get(event, 0.0)
        odds += max(a, b) if a > 0 or b > 0 else a + b
    return odds


def unsettled(course: Course) -> float:
    """How much is bad, a further reading of the same sort at the same place counting less."""
    seen: dict[tuple[str | None, str | None], int] = {}
    amount = 0.0
    for n in course.bad:
        event = course.events[n]
        sort = (course.trade.family(event.quantity), event.point)
        amount += course.trade.weighing.repeat ** seen.get(sort, 0)
        seen[sort] = seen.get(sort, 0) + 1
    return amount
