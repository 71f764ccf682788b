"""The diagnosis: what is likeliest wrong, where, on whose side, and what became of it."""

from __future__ import annotations

import math

from callnotes.diagnose.advice import next_test
from callnotes.diagnose.course import Course, says
from callnotes.diagnose.hypotheses import Hypothesis, hypotheses_of
from callnotes.diagnose.mends import mends_of
from callnotes.diagnose.path import in_series, on_one_line, same_place
from callnotes.diagnose.posterior import Weighed, weighed
from callnotes.records import Diagnosis, Point, Ranked, Side, Status, Timeline
from callnotes.trade import Trade
from callnotes.trade.judgment import Weighing

MOST_RANKED, MOST_CONTRADICTIONS = 8, 3


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
    found = weighed(course, hypotheses_of(course))
    best = found.ranking[0] if found.ranking else None
    if best is None or best.p < max(found.nothing, found.other / 2) or _cleared_by_itself(course, best):
        return _not_found(course, found)
    status = _status(course, best)
    between = None if best.fault in ("line_held", "config") else _between(course, best)
    side = _side(course, best)
    return Diagnosis(
        status=status,
        fault=best.fault,
        element=best.element,
        between=between,
        side=side,
        ranked=_ranked(found, course.trade.weighing, between),
        next_test=next_test(course, found, status, best, side),
        why=_why(course, best, status, between),
    )


def _cleared_by_itself(course: Course, best: Hypothesis) -> bool:
    """All that was bad is good again though nothing was mended, unplugged for it, or handed over."""
    acted = best.mend is not None or any(e.action == "refer" for e in course.events)
    seen = any(course.events[n].quantity == "inspection" for n in course.bad)
    freed = best.fault == "line_held" and any(table == "line_held" for table, _ in best.rows)
    return not course.standing_bad and not acted and not seen and not freed


def _not_found(course: Course, found: Weighed) -> Diagnosis:
    bad = ", ".join(course.events[n].id for n in course.bad)
    if course.standing_bad:
        why = f"There were bad readings, but they do not tell enough to say what is at fault [{bad}]."
    else:
        why = f"What was bad became good with nothing mended: not enough to tell [{bad}]."
    return Diagnosis(
        status="not_found",
        fault="none",
        ranked=_ranked(found, course.trade.weighing, None),
        next_test=next_test(course, found, "not_found", None, "unknown"),
        why=(why,),
    )


def _status(course: Course, best: Hypothesis) -> Status:
    """What became of it: by the mend of that fault, or else by the last one that was proved."""
    referred = any(e.action == "refer" for e in course.events)
    proved = [mend for mend in mends_of(course) if (mend.cured or mend.proof) and not mend.still_bad]
    mend = best.mend
    if mend is None or not (mend.cured or mend.proof):
        mend = proved[-1] if proved and not referred else mend
    if mend is not None and (mend.cured or not mend.still_bad):
        bad_since = any(n > mend.position for n in course.standing_bad)
        return "repaired" if mend.cured or (mend.retested and not bad_since) else "mended"
    return "referred" if referred else "found"


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


def _ranked(found: Weighed, weighing: Weighing, between: tuple[str, str] | None) -> tuple[Ranked, ...]:
    """The likeliest hypotheses, and among them that nothing or something else is wrong."""

    def shown(p: float) -> float:
        return round(weighing.names_most * math.pow(p, weighing.names_power), 4)

    kept = [
        Ranked(
            fault=h.fault,
            element=h.element,
            between=between if n == 0 else None,
            p=shown(h.p),
            for_=tuple(h.for_),
            against=tuple(h.against),
        )
        for n, h in enumerate(found.ranking)
    ]
    kept += [Ranked(fault="none", p=round(found.nothing, 4)), Ranked(fault="other", p=round(found.other, 4))]
    return tuple(sorted(kept, key=lambda r: -r.p)[:MOST_RANKED])


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
    lines += [
        f"Read both good and bad at one place with nothing done between [{course.events[a].id}, {course.events[b].id}]."
        for a, b in course.contradictions[:MOST_CONTRADICTIONS]
    ]
    against = [f"Against it: {why} [{event}]." for event, why in best.against.items()]
    if status == "repaired" and best.mend:
        proof = [course.events[n].id for n in best.mend.proof[:4]]
        lines.append(f"Tested again after the mend and good [{', '.join(proof)}].")
    return tuple(lines + against)
