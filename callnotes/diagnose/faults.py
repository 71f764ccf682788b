"""The diagnosis: hypotheses weighed by what speaks for and against them, and what became of the likeliest.

A hypothesis is a kind of fault at an element. Its weight is the sum of its signs; a mend adds to the fault that it
cures, by how much became good through it. ``p`` is the softmax of the weights: it ranks and it is normalized, but
it is **not calibrated** (0.8 does not mean right in eight calls of ten).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from callnotes.diagnose.advice import next_test
from callnotes.diagnose.course import Course, says
from callnotes.diagnose.mends import Mended, mends_of
from callnotes.diagnose.path import exactness, in_series, on_one_line, same_place
from callnotes.diagnose.patterns import beside
from callnotes.diagnose.signs import Finding, findings
from callnotes.records import Diagnosis, Point, Ranked, Side, Status, Timeline
from callnotes.trade import Trade

MEND_BASE, MEND_EACH, MEND_MOST = 2.0, 1.2, 6
UNPROVED_MEND, FAILED_MEND = 1.0, -1.5
HANDED_OVER = 2.0
PROVIDER_BAD, PREMISES_THEN = 1.5, 0.6
LEAST_WEIGHT = 0.9
SOFTNESS = 2.0
MOST_RANKED = 6


@dataclass
class Hypothesis:
    """One kind of fault at one element, with what speaks for and against it."""

    fault: str
    element: str | None
    provider: bool = False
    weight: float = 0.0
    for_: dict[str, str] = field(default_factory=dict)
    against: dict[str, str] = field(default_factory=dict)
    mend: Mended | None = None

    def add(self, weight: float, events: Iterable[str], why: str) -> None:
        self.weight += weight
        for event in events:
            (self.for_ if weight > 0 else self.against).setdefault(event, why)


def conclude(timeline: Timeline, trade: Trade) -> Diagnosis:
    """The diagnosis of a timeline whose readings are judged and whose points are ordered."""
    course = Course(timeline, trade)
    if not course.bad:
        why = (
            "Nothing that was read or looked at was bad."
            if course.evidence
            else "No reading tells of the line: not enough to tell."
        )
        return Diagnosis(status="not_found", fault="none", why=(why,))
    ranking = _weighed(course)
    if not ranking or ranking[0].weight < LEAST_WEIGHT or _cleared_by_itself(course, ranking[0]):
        return _not_found(course, ranking)
    best = ranking[0]
    status = _status(course, best)
    between = None if best.fault in ("line_held", "config") else _between(course, best)
    side = _side(course, best)
    return Diagnosis(
        status=status,
        fault=best.fault,
        element=best.element,
        between=between,
        side=side,
        ranked=_ranked(ranking, between),
        next_test=next_test(course, status, best.element, between, side, best.mend),
        why=_why(course, best, status, between),
    )


def _weighed(course: Course) -> list[Hypothesis]:
    """All hypotheses, likeliest first."""
    found = findings(course)
    held: list[Hypothesis] = []
    for finding in found:
        if finding.weight > 0:
            _held(course, held, finding.fault, _element(course, finding), finding.provider).add(
                finding.weight, finding.events, finding.why
            )
    _add_mends(course, held, found)
    for finding in found:
        if finding.weight < 0:
            for hypothesis in held:
                if hypothesis.fault == finding.fault and beside(course, hypothesis.element, _element(course, finding)):
                    hypothesis.add(finding.weight, finding.events, finding.why)
    _add_handing_over(course, held)
    _favor_side(course, held)
    order = {p.id: p.order for p in course.timeline.points}
    return sorted(held, key=lambda h: (-round(h.weight, 6), order.get(h.element or "", 999)))


def _held(
    course: Course, held: list[Hypothesis], fault: str, element: str | None, provider: bool = False
) -> Hypothesis:
    """The hypothesis of that fault at that place, made where there is none; the more exact point stays."""
    for hypothesis in held:
        if hypothesis.fault == fault and beside(course, hypothesis.element, element):
            if exactness(course.points.get(element or "")) > exactness(course.points.get(hypothesis.element or "")):
                hypothesis.element = element
            hypothesis.provider = hypothesis.provider or provider
            return hypothesis
    held.append(Hypothesis(fault, element, provider))
    return held[-1]


def _element(course: Course, finding: Finding) -> str | None:
    """The place of a finding; what lies on the provider's side is placed at the interface, where it is handed over."""
    if not finding.provider:
        return finding.element
    demarcs = [p for p in course.timeline.points if p.kind == "demarc" and p.side in ("provider", None)]
    here = course.points.get(finding.element or "")
    return finding.element if here is None or here.kind == "block" or not demarcs else demarcs[0].id


def _add_mends(course: Course, held: list[Hypothesis], found: tuple[Finding, ...]) -> None:
    """A mend speaks for the fault it cures: the one its kind tells of, and any one shown where it cured."""
    for mend in mends_of(course):
        event = course.events[mend.position]
        gain, why = _gain(mend)
        places = {event.point} | {course.events[c.before].point for c in mend.cured}
        shown: dict[str, list[Finding]] = {}
        for finding in found:
            if finding.weight > 0 and any(beside(course, finding.element, place) for place in places):
                shown.setdefault(finding.fault, []).append(finding)
        usual = course.trade.fault(mend.fault)
        for fault in course.trade.faults:
            exact = fault.id in shown and event.action in fault.mended_by and fault.id != mend.fault
            if not exact and fault.id != mend.fault:
                continue
            hypothesis = _held(course, held, fault.id, event.point)
            hypothesis.add(gain, _ids(course, mend), why)
            hypothesis.mend = _better(hypothesis.mend, mend)
            kinds = (fault.id,) if exact else (usual.shown_by if usual else ())
            for finding in (f for kind in kinds for f in shown.get(kind, ())):
                if not beside(course, finding.element, hypothesis.element) or finding.fault != fault.id:
                    hypothesis.add(finding.weight / (1 if exact else 2), finding.events, finding.why)


def _gain(mend: Mended) -> tuple[float, str]:
    if mend.cured:
        return MEND_BASE + MEND_EACH * min(len(mend.cured), MEND_MOST), "what was bad became good with this mend"
    if mend.still_bad:
        return FAILED_MEND, "this mend did not change what was bad"
    return UNPROVED_MEND, "this was mended"


def _better(a: Mended | None, b: Mended) -> Mended:
    return b if a is None or len(b.cured) >= len(a.cured) else a


def _ids(course: Course, mend: Mended) -> list[str]:
    proof = [c.after for c in mend.cured] or list(mend.still_bad)
    return [course.events[n].id for n in (mend.position, *proof)]


def _add_handing_over(course: Course, held: list[Hypothesis]) -> None:
    for event in course.events:
        if event.action == "refer" and event.point:
            for hypothesis in held:
                if beside(course, hypothesis.element, event.point):
                    hypothesis.add(HANDED_OVER, (event.id,), "handed over to its owner")


def _favor_side(course: Course, held: list[Hypothesis]) -> None:
    """While the provider's side still reads bad with the premises off, it explains the trouble before all else."""
    if any(course.provider_side(course.events[n]) for n in course.standing_bad):
        for hypothesis in held:
            hypothesis.weight *= PROVIDER_BAD if hypothesis.provider else PREMISES_THEN


def _cleared_by_itself(course: Course, best: Hypothesis) -> bool:
    """All that was bad is good again though nothing was mended, unplugged for it, or handed over."""
    acted = best.mend is not None or any(e.action == "refer" for e in course.events)
    seen = any(course.events[n].quantity == "inspection" for n in course.bad)
    return not course.standing_bad and not acted and not seen and best.fault != "line_held"


def _not_found(course: Course, ranking: list[Hypothesis]) -> Diagnosis:
    bad = ", ".join(course.events[n].id for n in course.bad)
    if course.standing_bad:
        why = f"There were bad readings, but they do not tell enough to say what is at fault [{bad}]."
    else:
        why = f"What was bad became good with nothing mended: not enough to tell [{bad}]."
    return Diagnosis(status="not_found", fault="none", ranked=_ranked(ranking, None), why=(why,))


def _status(course: Course, best: Hypothesis) -> Status:
    mend = best.mend
    if mend is not None and (mend.cured or not mend.still_bad):
        bad_since = any(n > mend.position for n in course.standing_bad)
        return "repaired" if mend.cured or (mend.retested and not bad_since) else "mended"
    if any(e.action == "refer" for e in course.events):
        return "referred"
    return "found"


def _side(course: Course, best: Hypothesis) -> Side:
    """Provider where its side reads bad or it was handed to the provider.

    The customer's where the element lies inside, or where the provider's side was read and is good.
    """
    if best.provider:
        return "provider"
    for event in course.events:
        if event.action == "refer" and best.mend is None:
            owner = next(
                (o for o in course.trade.owners if says(event, o.words, object_only=event.object is not None)), None
            )
            point = course.at(event)
            if (
                owner
                and owner.side == "provider"
                and (point is None or point.kind in ("demarc", "protector", "ont", "terminal", "cable"))
            ):
                return "provider"
    point = course.points.get(best.element or "")
    inside = point is not None and not (point.kind == "demarc" and point.side != "customer" and best.mend is None)
    good_outside = any(course.provider_side(course.events[n]) for n in course.evidence if n not in course.bad)
    return "customer" if inside or good_outside else "unknown"


def _between(course: Course, best: Hypothesis) -> tuple[str, str] | None:
    """The last point that read good before the first that read bad, before anything was mended."""
    until = best.mend.position if best.mend else len(course.events)
    element = course.points.get(best.element or "")
    read = [course.events[n] for n in course.evidence if n < until and course.events[n].quantity != "inspection"]
    bad = [p for e in read if e.verdict == "fail" and (p := course.at(e)) is not None and _on_way(p, element)]
    if not bad:
        return None
    first = min(bad, key=lambda p: p.order)
    good = [p for e in read if e.verdict == "pass" and (p := course.at(e)) is not None and in_series(p, first)]
    last = max((p for p in good if p not in bad), key=lambda p: p.order, default=None)
    return (last.id, first.id) if last is not None else None


def _on_way(point: Point, element: Point | None) -> bool:
    """Whether a point is on the element's way at all: not a port, pair or row beside it."""
    if element is None or not on_one_line(point, element):
        return element is None
    series = in_series(point, element) or in_series(element, point)
    return point.kind != element.kind or series or same_place(point, element, sides=False)


def _ranked(ranking: list[Hypothesis], between: tuple[str, str] | None) -> tuple[Ranked, ...]:
    kept = [h for h in ranking if h.weight > 0][:MOST_RANKED]
    if not kept:
        return ()
    top = max(h.weight for h in kept)
    shares = [math.exp((h.weight - top) / SOFTNESS) for h in kept]
    return tuple(
        Ranked(
            fault=h.fault,
            element=h.element,
            between=between if n == 0 else None,
            p=round(share / sum(shares), 4),
            for_=tuple(h.for_),
            against=tuple(h.against),
        )
        for n, (h, share) in enumerate(zip(kept, shares, strict=True))
    )


def _why(course: Course, best: Hypothesis, status: Status, between: tuple[str, str] | None) -> tuple[str, ...]:
    grounds: dict[str, list[str]] = {}
    for event, why in best.for_.items():
        grounds.setdefault(why, []).append(event)
    lines = [f"{why[:1].upper()}{why[1:]} [{', '.join(ids)}]." for why, ids in grounds.items()]
    if between:
        names = [course.trade.point_kind(course.points[p].kind) for p in between]
        last, first = (kind.name if kind else "point" for kind in names)
        ends = f"the {last} ({between[0]}) read good and the {first} ({between[1]}) first read bad"
        lines.insert(0, f"On the way from the provider {ends}.")
    against = [f"Against it: {why} [{event}]." for event, why in best.against.items()]
    if status == "repaired" and best.mend:
        proof = [course.events[n].id for n in best.mend.proof[:4]]
        lines.append(f"Tested again after the mend and good [{', '.join(proof)}].")
    return tuple(lines + against)
