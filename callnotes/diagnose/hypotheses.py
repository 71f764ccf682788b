"""What may be wrong: every kind of fault at every place that some evidence points to, with what speaks for and against.

Evidence is kept by its sort (``parts``, in units of the sort) and by event (``shares``, in natural-log odds), so that
two faults together are not credited twice for one reading.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from callnotes.diagnose.course import Course
from callnotes.diagnose.mends import Mended, mends_of
from callnotes.diagnose.path import exactness
from callnotes.diagnose.patterns import beside
from callnotes.diagnose.reach import Reach
from callnotes.diagnose.signs import Finding, findings
from callnotes.trade.judgment import Fault, Weighing

MOST_CURED = 6
# On calls with more places than that only those with bad readings can hold a fault.
MOST_PLACES = 40


@dataclass
class Hypothesis:
    """One kind of fault at one element (a point id), with what speaks for and against it."""

    fault: str
    element: str | None
    bias: float = 0.0
    provider: bool = False
    mend: Mended | None = None
    parts: dict[str, float] = field(default_factory=lambda: defaultdict(float))
    shares: dict[str, float] = field(default_factory=lambda: defaultdict(float))
    for_: dict[str, str] = field(default_factory=dict)
    against: dict[str, str] = field(default_factory=dict)
    # What each sign of a fault's table and each row of mends gave, before it is scaled: what the weights are fitted by.
    rows: dict[tuple[str, int | str], float] = field(default_factory=lambda: defaultdict(float))
    p: float = 0.0

    @property
    def odds(self) -> float:
        """Natural-log odds before it is weighed against the others."""
        return self.bias + sum(self.shares.values())

    def take(self, sort: str, amount: float, weighing: Weighing, events: Iterable[str], why: str) -> None:
        """Counts evidence of that sort; its first event carries it, the others are named with it."""
        ids = list(events)
        share = amount * getattr(weighing, sort)
        self.parts[sort] += amount
        self.shares[ids[0] if ids else ""] += share
        for event in ids:
            (self.for_ if share > 0 else self.against).setdefault(event, why)


def hypotheses_of(course: Course) -> list[Hypothesis]:
    """Every hypothesis that something speaks for, unordered and not yet weighed against each other."""
    return _Gathering(course).run()


class _Gathering:
    def __init__(self, course: Course) -> None:
        self.course, self.weighing = course, course.trade.weighing
        self.reach = Reach(course)
        self.sure = {event.id: event.confidence for event in course.events}
        self.held: list[Hypothesis] = []

    def run(self) -> list[Hypothesis]:
        found = findings(self.course)
        for finding in found:
            if finding.weight > 0:
                held = self.at(finding.fault, self.element(finding), provider=finding.provider)
                self.sign(held, finding, finding.weight)
        self.mends(found)
        self.reached()
        for finding in found:
            if finding.weight < 0:
                for held in self.beside(finding.fault, self.element(finding)):
                    self.sign(held, finding, finding.weight)
        for held in self.held:
            held.bias = self.bias(held)
            self.readings(held)
            if not any(table == held.fault for table, _ in held.rows):
                held.take("unsigned", 1.0, self.weighing, (), "")
        self.owners()
        self.sides()
        return self.held

    def sign(self, held: Hypothesis, finding: Finding, weight: float) -> None:
        """Counts a sign, up to half of it by how sure its least sure event is."""
        weight *= (1 + min((self.sure[event] for event in finding.events), default=1.0)) / 2
        held.take("sign", weight, self.weighing, finding.events, finding.why)
        held.rows[finding.fault, finding.row] += weight

    def at(self, fault: str, element: str | None, *, provider: bool = False) -> Hypothesis:
        """The hypothesis of that fault at that place, made where there is none; the more exact point stays."""
        points = self.course.points
        held = next(iter(self.beside(fault, element)), None)
        if held is None:
            held = Hypothesis(fault, element)
            self.held.append(held)
        elif exactness(points.get(element or "")) > exactness(points.get(held.element or "")):
            held.element = element
        held.provider = held.provider or provider
        return held

    def bias(self, held: Hypothesis) -> float:
        """How common it is, before anything was read, as natural-log odds."""
        entry, point = self.course.trade.fault(held.fault), self.course.points.get(held.element or "")
        prior = entry.prior.get(point.kind if point else "") if entry else None
        return math.log(prior) if prior else self.weighing.elsewhere

    def beside(self, fault: str, element: str | None) -> Iterator[Hypothesis]:
        return (h for h in self.held if h.fault == fault and beside(self.course, h.element, element))

    def element(self, finding: Finding) -> str | None:
        """The place of a finding; what is the provider's is placed at the interface, where it is handed over."""
        if not finding.provider:
            return finding.element
        demarcs = [p for p in self.course.timeline.points if p.kind == "demarc" and p.side in ("provider", None)]
        here = self.course.points.get(finding.element or "")
        return finding.element if here is None or here.kind == "block" or not demarcs else demarcs[0].id

    # --- what the readings say of faults elsewhere on the way

    def reached(self) -> None:
        """A hypothesis for each fault at each place from which it would make a bad reading bad."""
        places = list(self.course.points)
        if len(places) > MOST_PLACES:
            places = list(dict.fromkeys(self.course.events[n].point or "" for n in self.course.bad))[:MOST_PLACES]
        for fault in self.course.trade.faults:
            for place in places:
                point = self.course.points.get(place)
                if point is None or point.kind not in fault.prior:
                    continue
                if any(self.reach.bad_there(fault, place, n) for n in self.course.bad):
                    self.at(fault.id, place, provider=fault.id == "no_service")

    def readings(self, held: Hypothesis) -> None:
        """Bad readings where the fault makes them so, and good ones where it should; those before it was mended."""
        fault = self.course.trade.fault(held.fault)
        if fault is None:
            return
        bad = set(self.course.bad)
        seen: dict[tuple[bool, str | None, str | None], int] = defaultdict(int)
        until = held.mend.position if held.mend else len(self.course.events)
        for n in self.course.evidence:
            event = self.course.events[n]
            if (
                n >= until
                or event.verdict not in ("pass", "fail")
                or self.reach.bad_there(fault, held.element, n) is not True
            ):
                continue
            sort = (n in bad, self.course.trade.family(event.quantity), event.point)
            amount = self.weighing.repeat ** seen[sort] * event.confidence
            seen[sort] += 1
            self.reading(held, fault, n, amount, bad=n in bad)

    def reading(self, held: Hypothesis, fault: Fault, position: int, amount: float, *, bad: bool) -> None:
        event = self.course.events[position]
        if not bad:
            amount *= -1 if fault.steady else -self.weighing.unsteady
            held.take("contradicts", amount, self.weighing, (event.id,), "this should have been bad as well")
        elif held.shares.get(event.id, 0.0) <= 0:
            held.take("explains", amount, self.weighing, (event.id,), "this would be bad with it")

    # --- what was done

    def mends(self, found: tuple[Finding, ...]) -> None:
        """A mend speaks for the fault it cures: the one its kind tells of, and any one shown where it cured."""
        for mend in mends_of(self.course):
            event = self.course.events[mend.position]
            places = {event.point} | {self.course.events[c.before].point for c in mend.cured}
            shown: dict[str, list[Finding]] = {}
            for finding in found:
                if finding.weight > 0 and any(beside(self.course, finding.element, place) for place in places):
                    shown.setdefault(finding.fault, []).append(finding)
            point = self.course.at(event)
            for fault in self.course.trade.faults:
                curable = event.action in fault.mended_by
                exact = curable and fault.id in shown and fault.id != mend.fault
                likely = curable and point is not None and point.kind in fault.prior
                if exact or likely or fault.id == mend.fault:
                    self.mended(fault.id, mend, shown, exact=exact)

    def mended(self, fault: str, mend: Mended, shown: dict[str, list[Finding]], *, exact: bool) -> None:
        held = self.at(fault, self.course.events[mend.position].point)
        proof = [c.after for c in mend.cured] or list(mend.still_bad)
        ids = [self.course.events[n].id for n in (mend.position, *proof)]
        if mend.cured:
            why = "what was bad became good with this mend"
            held.take("cured", 1.0, self.weighing, ids, why)
            held.take("each_cured", min(len(mend.cured), MOST_CURED), self.weighing, ids, why)
        elif mend.still_bad:
            held.take("still_bad", 1.0, self.weighing, ids, "this mend did not change what was bad")
        else:
            held.take("mended", 1.0, self.weighing, ids, "this was mended")
        if mend.cured or not mend.still_bad:
            held.shares[ids[0]] += mend.tells.get(fault, self.weighing.unusual)
            held.rows[f"mend {mend.row}", fault] += 1
        meant = exact or fault in mend.tells or mend.cured
        if meant and (held.mend is None or len(mend.cured) >= len(held.mend.cured)):
            held.mend = mend
        usual = self.course.trade.fault(mend.fault)
        kinds = (fault,) if exact else (usual.shown_by if usual and fault == mend.fault else ())
        for finding in (f for kind in kinds for f in shown.get(kind, ())):
            if not beside(self.course, finding.element, held.element) or finding.fault != fault:
                self.sign(held, finding, finding.weight / (1 if exact else 2))

    def owners(self) -> None:
        for event in self.course.events:
            if event.action == "refer" and event.point:
                for held in self.held:
                    if beside(self.course, held.element, event.point):
                        held.take("handed_over", 1.0, self.weighing, (event.id,), "handed over to its owner")

    def sides(self) -> None:
        """While the provider's side still reads bad with the premises off, it explains the trouble before all else."""
        standing = [n for n in self.course.standing_bad if self.course.provider_side(self.course.events[n])]
        for held in self.held if standing else ():
            sort, why = (
                ("provider_bad", "bad on the provider's side with the premises off")
                if held.provider
                else ("premises_then", "the provider's side itself is bad")
            )
            held.take(sort, 1.0, self.weighing, [self.course.events[n].id for n in standing[:1]], why)
