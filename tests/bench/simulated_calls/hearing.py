"""From what was said to a timeline: what the ear drops, turns and invents, and how sure it is."""

from __future__ import annotations

from dataclasses import replace

from callnotes.records import Condition, Event, Made, Point, SetAside, Timeline
from tests.bench.simulated_calls.chance import Chance
from tests.bench.simulated_calls.notes import Draft, Notes, Place
from tests.bench.simulated_calls.plant import Element, Plant
from tests.bench.simulated_calls.rates import rate, span
from tests.bench.simulated_calls.words import state_verdict, turned

# What talk about how things ought to be is most easily taken for a finding, by world.
INVENTED = {
    "voice": (("dial_tone", "present"), ("dial_tone", "absent"), ("continuity", "open"), ("line_sound", "noisy")),
    "data": (("link", "up"), ("link", "down"), ("wire_map", "open"), ("cable_test", "fail")),
    "fiber": (("link", "up"), ("link", "down"), ("continuity", "open")),
}


class Hearing:
    """Makes the timeline; ``points`` maps element and side to the point's id."""

    def __init__(self, plant: Plant, chance: Chance, noise: float) -> None:
        self.plant, self.chance, self.noise = plant, chance, noise
        self.points: dict[tuple[int, str | None], Point] = {}
        self.before: Place | None = None
        self.count = 0

    def timeline(self, notes: Notes) -> Timeline:
        """The call as it was heard."""
        events: list[Event] = []
        for draft in notes.drafts:
            if self._slip("invented"):
                events.append(self._invented(draft, notes))
            if self._slip("lost"):
                notes.slip("observation lost")
            else:
                events.append(self._heard(draft, notes))
        points = sorted(self.points.values(), key=lambda p: p.order)
        if self._slip("order_lost"):
            points = [
                p.model_copy(update={"order": i}) for i, p in enumerate(sorted(points, key=lambda p: int(p.id[1:])))
            ]
        made = Made(version="simulated")
        quoted = tuple(
            SetAside(start=e.start, end=e.end, text=e.text, reason="quoted") for e in events if e.kind == "note"
        )
        return Timeline(made=made, points=tuple(points), events=tuple(events), set_aside=quoted)

    def point_of(self, element: Element) -> str | None:
        """The id of an element's point, the one first named if it has two; None if it was never named."""
        return next((p.id for (key, _), p in self.points.items() if key == id(element)), None)

    # --- events --------------------------------------------------------------------------------------

    def _slip(self, name: str) -> bool:
        return self.chance.hit(self.noise * rate(f"hearing.{name}"))

    def _heard(self, draft: Draft, notes: Notes) -> Event:
        said, right = self._turned(draft)
        place = said.place
        if place is not None and self._slip("point_before") and self.before is not None:
            right = right and self.before.element is place.element
            place = self.before
        elif place is not None and self._slip("point_lost"):
            place = None
        self.before = draft.place or self.before
        if not right:
            notes.slip("misheard")
        holds = tuple(h for h in said.holds if self.chance.hit(rate("speech.condition_said")) or h[0] == "leads")
        holds = tuple(h for h in holds if not self._slip("condition_lost"))
        verdict_lost = said.verdict_from == "stated" and self._slip("verdict_lost")
        return self._event(said, place, holds, self._confidence(right), verdict_lost)

    def _turned(self, draft: Draft) -> tuple[Draft, bool]:
        if draft.state is not None and draft.quantity is not None and self._slip("state_turned"):
            state = turned(draft.quantity, draft.state)
            verdict = state_verdict(draft.quantity, state)
            return replace(draft, state=state, thing=None, verdict=verdict, verdict_from="state"), False
        if draft.value is not None and self._slip("number_turned"):
            factor = self.chance.one((10.0, 0.1, -1.0, 0.2))
            return replace(draft, value=round(draft.value * factor, 2)), False
        return draft, True

    def _invented(self, draft: Draft, notes: Notes) -> Event:
        quantity, state = self.chance.one(INVENTED[self.plant.world])
        notes.slip("talk taken for an observation")
        text = f"you'd have {quantity.replace('_', ' ')} {state}"
        verdict = state_verdict(quantity, state)
        fake = Draft(
            "reading", draft.start - 2.0, draft.start - 0.5, text, draft.place,
            quantity=quantity, state=state, verdict=verdict, verdict_from="state",
        )  # fmt: skip
        return self._event(fake, draft.place, (), self._confidence(False, "invented"), False)

    def _event(self, said: Draft, place: Place | None, holds: tuple[tuple[str, str, Place | None], ...],
               confidence: float, verdict_lost: bool) -> Event:  # fmt: skip
        self.count += 1
        conditions = tuple(
            Condition(what=what, is_=is_, point=self._point(at) if at is not None else None) for what, is_, at in holds
        )
        verdict, ground = said.verdict, said.verdict_from
        if verdict_lost:
            by_state = said.quantity is not None and said.state is not None
            verdict = state_verdict(said.quantity or "", said.state or "") if by_state else None
            ground = "state" if by_state else None
        return Event(
            id=f"E{self.count}", kind=said.kind, start=round(said.start, 2), end=round(said.end, 2), text=said.text,
            confidence=confidence, point=self._point(place) if place is not None else None, quantity=said.quantity,
            value=said.value, unit=said.unit, state=said.state, conditions=conditions, verdict=verdict,
            verdict_from=ground, action=said.action, object=said.thing,
        )  # fmt: skip

    def _confidence(self, right: bool, name: str | None = None) -> float:
        kind = name or ("right" if right and not self._slip_of_confidence() else "wrong")
        mean, strength = span(f"confidence.{kind}")
        return round(min(0.99, max(0.05, self.chance.beta(mean, strength))), 2)

    def _slip_of_confidence(self) -> bool:
        return self.chance.hit(rate("confidence.right_low"))

    # --- points --------------------------------------------------------------------------------------

    def _point(self, place: Place) -> str:
        element, side = place.element, place.side
        key = (id(element), side)
        if key not in self.points:
            kind = "cable" if element.kind == "cord" else element.kind
            detail = {k: v for k, v in element.detail.items() if v is not None}
            if not self._needed(element):
                detail = {k: v for k, v in detail.items() if self.chance.hit(rate("speech.detail_said"))}
            detail = {k: v for k, v in detail.items() if not self._slip("detail_lost") or k == "label"}
            outer = element.sides is not None and side == element.sides[1]
            order = 2 * self._depth(element) + outer
            self.points[key] = Point(id=f"P{len(self.points) + 1}", kind=kind, side=side, order=order, **detail)
        return self.points[key].id

    def _depth(self, element: Element) -> int:
        """How many elements lie before it; a run beside the plant lies where its like does."""
        if element in self.plant.elements:
            return sum(1 for _ in element.to_root())
        return next(self._depth(e) for e in self.plant.path if e.kind == element.kind)

    def _needed(self, element: Element) -> bool:
        """True if its details tell it from another of its kind."""
        return sum(e.kind == element.kind for e in self.plant.elements) > 1
