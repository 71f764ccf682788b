"""The next test: the one that tells most of where the fault lies for the minutes it costs, where it is safe.

The safety gate comes before any value.
"""

from __future__ import annotations

from callnotes.diagnose.choice import Chosen, choose
from callnotes.diagnose.course import Course
from callnotes.diagnose.hypotheses import Hypothesis
from callnotes.diagnose.posterior import Weighed
from callnotes.diagnose.safety import Safety
from callnotes.diagnose.tells import place_name, why
from callnotes.records import NextTest, Side, Status
from callnotes.trade.testing import FieldTestKind

AGAIN = "it was mended and nothing was read after it"


def next_test(course: Course, found: Weighed, status: Status, best: Hypothesis | None, side: Side) -> NextTest | None:
    """What to test next, or None.

    None when it is repaired or handed over, nothing standing reads bad, all that is left is the provider's, no test
    tells enough for its cost, or a voltage that endangers was read.
    """
    safety = Safety(course)
    if status in ("repaired", "referred") or side == "provider" or safety.stop:
        return None
    if status == "mended":
        return _again(course, safety, best)
    if not course.standing_bad:
        return None
    chosen = choose(course, safety, found)
    return _advised(course, safety, chosen) if chosen else None


def _advised(course: Course, safety: Safety, chosen: Chosen) -> NextTest:
    trade, (kind, point) = course.trade, (chosen.test.kind, chosen.test.point)

    def fault_name(fault: str) -> str:
        entry = trade.fault(fault)
        return entry.name if entry else fault.replace("_", " ")

    reason = why(chosen, lambda element: place_name(course.points.get(element), trade), fault_name)
    return NextTest(
        do=kind.say.format(place=place_name(point, trade)),
        point=point.id,
        why=reason,
        needs_first=_gates(safety, kind, point.id),
    )


def _again(course: Course, safety: Safety, best: Hypothesis | None) -> NextTest | None:
    """After a mend that nothing proves: what read bad is read again, at its place or beyond it."""
    point = course.points.get(best.element or "") if best else None
    if point is None or point.side == "provider":
        return None
    bad = [course.events[n].quantity for n in course.bad if course.events[n].quantity != "inspection"]
    quantity = course.trade.quantity(bad[0]) if bad else None
    name = quantity.name if quantity else "operation"
    kind = _like(course, quantity.quantity if quantity else "operation")
    do = f"Read the {name} again at {place_name(point, course.trade)} or beyond it"
    return NextTest(do=do, point=point.id, why=AGAIN, needs_first=_gates(safety, kind, point.id))


def _like(course: Course, quantity: str) -> FieldTestKind:
    """The kind of test that reads such a quantity, for its gates: as loud and as much in ohms as its family's."""
    trade = course.trade
    same = (k for k in trade.field_tests if k.reads == quantity and k.sees != "without")
    alike = (k for k in trade.field_tests if trade.family(k.reads) == trade.family(quantity) is not None)
    return (
        next(same, None)
        or next(alike, None)
        or FieldTestKind(id=quantity, say="Read {place}", reads=quantity, at=(), minutes=1)
    )


def _gates(safety: Safety, kind: FieldTestKind, point_id: str) -> tuple[str, ...]:
    point, texts = safety.course.points[point_id], {gate.name: gate.text for gate in safety.course.trade.gates}
    return tuple(texts[name] for name in safety.gates(kind, point))
