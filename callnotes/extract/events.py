"""Joins what was found in the talk into events: the fold over its clauses, in the order of speech."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from callnotes.extract.actions import Done
from callnotes.extract.clauses import Aside, Clause
from callnotes.extract.findings import Findings
from callnotes.extract.focus import Focus, Points, Spot
from callnotes.extract.measures import Measure
from callnotes.extract.normal import Talk
from callnotes.extract.places import Place
from callnotes.extract.quantities import Around, quantity_of
from callnotes.extract.states import Said
from callnotes.records import Condition
from callnotes.trade import Trade

_YES = {"yes", "yeah", "yep", "yup", "sure", "absolutely", "uh-huh"}
_NO = {"no", "nope", "nah", "none", "nothing", "not", "negative"}
_WALKED = ("instruction", "planned", "question", "conversation")
_NUMBER_OPENERS = {"and", "so", "ok", "okay", "now", "then", "next", "well", ","}


@dataclass
class Draft:
    """An event in the making, over tokens ``first`` up to ``last`` of clause ``clause``."""

    first: int
    last: int
    clause: int
    kind: str
    point: str | None = None
    quantity: str | None = None
    value: float | None = None
    unit: str | None = None
    state: str | None = None
    action: str | None = None
    object: str | None = None
    conditions: dict[str, str] = field(default_factory=dict)
    verdict: str | None = None
    stated: bool = False
    confidence: float = 0.8
    rules: tuple[str, ...] = ()

    def as_conditions(self) -> tuple[Condition, ...]:
        return tuple(Condition(what=what, is_=value) for what, value in self.conditions.items())


@dataclass
class HeldBack:
    """A stretch that sounds like an observation and is none."""

    first: int
    last: int
    reason: str
    cue_word: str | None


class Fold:
    """Goes through the clauses once and collects drafts and what was held back."""

    def __init__(self, talk: Talk, found: Findings, trade: Trade) -> None:
        self.talk, self.found, self.trade = talk, found, trade
        self.focus, self.points = Focus(), Points(trade)
        self.drafts: list[Draft] = []
        self.held_back: list[HeldBack] = []
        self._asked: list[Said] = []

    def run(self) -> None:
        for number, clause in enumerate(self.found.clauses):
            self._clause(number, clause)

    # --- one clause

    def _clause(self, number: int, clause: Clause) -> None:
        places = [p for p in self.found.places if clause.first <= p.first < clause.last]
        asides = [a for a in self.found.asides if a.first < clause.last and a.last > clause.first]
        self._answer(number, clause)
        start = self._bare_number(clause, places)
        items: list[Place | Measure | Said | Done] = [
            *(p for p in places if p is not start),
            *(m for m in self.found.measures if clause.first <= m.first < clause.last and (start is None or m.first != start.first)),
            *(s for s in self.found.states if clause.first <= s.first < clause.last),
            *(d for d in self.found.actions if clause.first <= d.first < clause.last),
        ]
        items.sort(key=lambda item: (item.first, not isinstance(item, Done)))
        things = [d.thing for d in self.found.actions if d.thing and clause.first <= d.first < clause.last]
        first_place = next((p for p in places if not _is_thing(p, things)), None)
        moved = start is not None
        for item in items:
            aside = next((a for a in asides if a.first <= item.first < a.last), None)
            if isinstance(item, Place):
                if not _is_thing(item, things) and (aside is None or aside.reason in _WALKED):
                    self.focus.move(item)
                    moved = True
            elif aside is not None:
                self._hold_back(clause, item, aside)
            else:
                spot = self.focus.spot if moved or first_place is None else self._looking_ahead(first_place, asides)
                self._observe(number, clause, item, spot, places)

    def _looking_ahead(self, place: Place, asides: Sequence[Aside]) -> Spot:
        """ "dial tone on the right side": the place is said behind the reading."""
        if any(a.first <= place.first < a.last for a in asides):
            return self.focus.spot
        return self.focus.at(place)

    def _bare_number(self, clause: Clause, places: list[Place]) -> Place | None:
        """ "ten passes": a number without unit at the start of a clause goes on through ports, pairs or rows."""
        at = clause.first
        while at < clause.last and self.talk.norms[at] in _NUMBER_OPENERS:
            at += 1
        measure = next((m for m in self.found.measures if m.first == at), None)
        if measure is None or measure.unit or measure.value != int(measure.value) or not 0 < measure.value < 1000 or measure.number.loose:
            return None
        if measure.last >= clause.last or any(p.first <= measure.last + 1 for p in places):
            return None
        place = self.focus.numbered(int(measure.value))
        if place is None:
            return None
        place = Place(measure.first, measure.last, None, place.details)
        self.focus.move(place)
        return place

    def _answer(self, number: int, clause: Clause) -> None:
        """A question answered at once by yes or no is the answer's event."""
        if clause.asked:
            self._asked = [s for s in self.found.states if clause.first <= s.first < clause.last]
            return
        asked, self._asked = self._asked, []
        word = self.talk.norms[clause.first]
        own = any(clause.first <= s.first < clause.last for s in self.found.states)
        if not asked or own or word not in _YES | _NO:
            return
        said = asked[-1]
        state = said.state if word in _YES else said.saying.not_
        if state:
            draft = self._draft(number, clause.first, clause.last, self.focus.spot)
            draft.quantity, draft.state, draft.confidence = said.saying.quantity, state, 0.7
            draft.rules = (said.saying.rule, "answer")
            self.drafts.append(draft)

    def _hold_back(self, clause: Clause, item: Measure | Said | Done, aside: Aside) -> None:
        if isinstance(item, Measure) and item.unit is None:
            return
        if isinstance(item, Done) and item.mood == "other":
            return
        first, last = max(aside.first, clause.first), min(aside.last, clause.last)
        if not any(h.first == first and h.last == last for h in self.held_back):
            self.held_back.append(HeldBack(first, last, aside.reason, aside.cue_word))

    # --- one thing in a clause

    def _observe(self, number: int, clause: Clause, item: Measure | Said | Done, spot: Spot, places: list[Place]) -> None:
        if isinstance(item, Done):
            self._did(number, clause, item, spot, places)
        elif isinstance(item, Said):
            self._said(number, item, spot)
        else:
            self._measured(number, clause, item, spot)

    def _said(self, number: int, said: Said, spot: Spot) -> None:
        if not self._fits(said, spot):
            return
        draft = self._draft(number, said.first, said.last, spot)
        draft.quantity, draft.state, draft.object = said.saying.quantity, said.state, said.saying.object
        draft.confidence = 0.7 if said.saying.needs else 0.85
        draft.rules = (said.saying.rule, *(("negation",) if said.negated else ()))
        draft.conditions |= self._conditions(draft, number)
        if draft.quantity == "inspection" and draft.object is None:
            draft.object = self.talk.text(said.first, said.last)
        self._remember(draft)

    def _fits(self, said: Said, spot: Spot) -> bool:
        needs = said.saying.needs
        if needs == "line":
            return spot.is_telephone
        if needs == "sound":
            return self.focus.heard_line and spot.is_telephone
        if needs == "port":
            return spot.is_ported
        return True

    def _measured(self, number: int, clause: Clause, measure: Measure, spot: Spot) -> None:
        if measure.struck:
            if measure.unit:
                self.held_back.append(HeldBack(measure.first, measure.last, "retracted", None))
            return
        around = self._around(number, clause, measure, spot)
        answer = quantity_of(measure, around, self.trade)
        if answer is None:
            if measure.unit:
                self.held_back.append(HeldBack(measure.first, measure.last, "comment", None))
            return
        draft = self._draft(number, measure.first, measure.last, spot)
        draft.quantity, draft.unit, draft.confidence = answer
        draft.value = measure.value
        draft.rules = (f"quantity.{draft.quantity}", f"unit.{measure.unit.symbol}" if measure.unit else "unit implied")
        draft.conditions |= self._conditions(draft, number)
        if measure.bound:
            draft.conditions["bound"] = measure.bound
        if measure.span:
            draft.conditions["range"] = "..".join(f"{end:g}" for end in measure.span)
        self._remember(draft)

    def _around(self, number: int, clause: Clause, measure: Measure, spot: Spot) -> Around:
        sentence = [c for c in self.found.clauses if c.sentence == clause.sentence]
        first, last = sentence[0].first, sentence[-1].last
        named = self.found.named_before(measure.first, clause.first, measure.last, clause.last)
        return Around(
            words=" ".join(self.talk.norms[clause.first : clause.last]),
            leads=self._clause_conditions(number).get("leads"),
            named=named,
            named_in_sentence=self.found.named_before(measure.first, first, measure.last, last),
            kind=spot.kind,
            heading=self.focus.heading,
        )

    def _did(self, number: int, clause: Clause, done: Done, spot: Spot, places: list[Place]) -> None:
        if done.mood != "done":
            if done.mood == "ordered":
                self.held_back.append(HeldBack(clause.first, clause.last, "instruction", self.talk.text(done.first, done.first + 1)))
            return
        thing = next((p for p in places if done.thing and done.thing[0] <= p.first < done.thing[1] and p.kind), None)
        behind = next((p for p in places if p.first >= done.last or (done.thing and p.first >= done.thing[1])), None)
        where = behind or thing
        draft = self._draft(number, done.first, done.last, self.focus.at(where) if where else spot)
        draft.kind, draft.action = "action", done.action
        draft.object = done.object or (self.talk.text(*done.thing) if done.thing else None)
        draft.rules, draft.conditions = (done.rule,), {}
        self.drafts.append(draft)
        self._hold(draft)

    # --- what holds from now on

    def _hold(self, draft: Draft) -> None:
        point = next((p for p in self.points.all() if p.id == draft.point), None)
        kind = point.kind if point else None
        if draft.action in ("disconnect", "reconnect") and kind in ("demarc", "alarm_panel", "line_seizure_jack"):
            self.focus.held["plug"] = "out" if draft.action == "disconnect" else "in"
        elif draft.action in ("remove_clips", "install_clips"):
            self.focus.held["clips"] = "out" if draft.action == "remove_clips" else "in"

    def _remember(self, draft: Draft) -> None:
        self.drafts.append(draft)
        self.focus.heading = draft.quantity
        if draft.quantity in ("dial_tone", "line_sound"):
            self.focus.heard_line = True

    def _draft(self, number: int, first: int, last: int, spot: Spot) -> Draft:
        if spot.kind == "demarc" and "side" not in spot.details and self.focus.held.get("plug") == "out":
            spot = Spot(spot.kind, spot.details | {"side": "provider"})
        return Draft(first, last, number, "reading", self.points.id_of(spot))

    def _clause_conditions(self, number: int) -> dict[str, str]:
        clause = self.found.clauses[number]
        return {h.entry.what: h.entry.is_ for h in self.found.conditions if clause.first <= h.first < clause.last}

    def _conditions(self, draft: Draft, number: int) -> dict[str, str]:
        """The conditions that were said, and those that hold, as far as they concern this quantity."""
        said = self._clause_conditions(number)
        quantity = draft.quantity or ""
        if quantity not in _WITH_LEADS:
            said.pop("leads", None)
        if quantity not in ("margin", "return_loss", "crosstalk"):
            said.pop("test", None)
        if quantity not in ("sync_rate", "link_speed", "snr_margin", "attenuation"):
            said.pop("direction", None)
        if not quantity.startswith("optical"):
            said.pop("wavelength", None)
        if quantity == "loop_current":
            said["hook"] = "off"
        point = next((p for p in self.points.all() if p.id == draft.point), None)
        holds = {key: value for key, value in self.focus.held.items() if point and point.kind in _HELD_AT.get(key, ())}
        return holds | said


_WITH_LEADS = {
    "dc_voltage", "ac_voltage", "resistance", "insulation_resistance", "capacitance", "short", "ground_fault", "continuity", "foreign_voltage",
}  # fmt: skip
_HELD_AT = {
    "plug": ("demarc", "line_seizure_jack", "alarm_panel"),
    "clips": ("block", "cable"),
}


def _is_thing(place: Place, things: Sequence[tuple[int, int]]) -> bool:
    """Whether the place is only what a verb was done to ("unplugged the modem")."""
    return any(first <= place.first < last for first, last in things) and place.kind in _MOVABLE


_MOVABLE = {"set", "device", "cable", "alarm_panel", "filter"}
