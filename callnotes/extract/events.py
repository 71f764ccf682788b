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
_TOWARD = {"on", "across", "through", "down", "over", "at", "in", "to", "into", "from"}
_LEADS_TO = {"on", "at", "off", "of", "to", "into", "number", "from", "is", "in"}
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
        self._modem = not _MODEM_WORDS.isdisjoint(talk.norms) and _TESTER_WORDS.isdisjoint(talk.norms)

    def run(self) -> None:
        for number, clause in enumerate(self.found.clauses):
            self._clause(number, clause)

    # --- one clause

    def _clause(self, number: int, clause: Clause) -> None:
        places = [p for p in self.found.places if clause.first <= p.first < clause.last]
        asides = [a for a in self.found.asides if a.first < clause.last and a.last > clause.first]
        self._answer(number, clause)
        bare = self._bare_numbers(clause, places)
        everywhere = list(places)
        items: list[Place | Measure | Said | Done] = [
            *places,
            *(m for m in self.found.measures if clause.first <= m.first < clause.last and m.first not in bare),
            *(s for s in self.found.states if clause.first <= s.first < clause.last),
            *(d for d in self.found.actions if clause.first <= d.first < clause.last),
        ]
        items.sort(key=lambda item: (item.first, not isinstance(item, Done)))
        things = [d.thing for d in self.found.actions if d.thing and clause.first <= d.first < clause.last]
        tested = any(isinstance(item, Measure | Said) for item in items)
        places = [p for p in places if not _is_thing(p, things) and self._anchored(clause, p, tested=tested)]
        first_place, moved = (places[0] if places else None), False
        for item in items:
            aside = next((a for a in asides if a.first <= item.first < a.last), None)
            if isinstance(item, Place):
                if item in places and (aside is None or aside.reason in _WALKED):
                    self.focus.move(item)
                    moved = True
            elif aside is not None:
                self._hold_back(clause, item, aside)
            elif isinstance(item, Said) and any(d.action == "notify" and d.first < item.first for d in items if isinstance(d, Done)):
                self.held_back.append(HeldBack(item.first, item.last, "recap", "told"))
            else:
                spot = self.focus.spot if moved or first_place is None else self._looking_ahead(first_place, asides)
                self._observe(number, clause, item, spot, everywhere)
        if moved and not asides and not any(isinstance(item, Measure | Said | Done) for item in items):
            self._same_again(number, clause)

    def _looking_ahead(self, place: Place, asides: Sequence[Aside]) -> Spot:
        """ "dial tone on the right side": the place is said behind the reading."""
        if any(a.first <= place.first < a.last for a in asides):
            return self.focus.spot
        return self.focus.at(place)

    def _anchored(self, clause: Clause, place: Place, *, tested: bool) -> bool:
        """Whether a thing is where the talk goes and not only spoken of: a wire in passing, a phone hung up."""
        if any(h.entry.what == "hook" and h.first - 2 <= place.last - 1 and place.first <= h.last for h in self.found.conditions):
            return False
        if tested or place.kind not in ("cable", "other"):
            return True
        return bool(_TOWARD & set(self.talk.norms[max(clause.first, place.first - 3) : place.first]))

    def _bare_numbers(self, clause: Clause, places: list[Place]) -> set[int]:
        """ "ten passes", "and on 13": numbers that go on through ports, pairs or rows; adds them to the places."""
        found: set[int] = set()
        opening = clause.first
        while opening < clause.last and self.talk.norms[opening] in _NUMBER_OPENERS:
            opening += 1
        for measure in self.found.measures:
            if not clause.first <= measure.first < clause.last or not _could_number(measure):
                continue
            led = measure.first > clause.first and self.talk.norms[measure.first - 1] in _LEADS_TO
            opens = measure.first == opening and measure.last < clause.last
            place = self.focus.numbered(int(measure.value)) if led or opens else None
            if place and not any(p.first <= measure.last < p.last for p in places):
                places.append(Place(measure.first, measure.last, None, place.details, "number"))
                found.add(measure.first)
        places.sort(key=lambda p: p.first)
        return found

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
        saying, state = asked[-1].readings[0]
        answer = state if word in _YES else saying.not_
        if answer:
            draft = self._draft(number, clause.first, clause.last, self.focus.spot)
            draft.quantity, draft.state, draft.confidence = saying.quantity, answer, 0.7
            draft.rules = (saying.rule, "answer")
            self._remember(draft)

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
            self._said(number, clause, item, spot)
        else:
            self._measured(number, clause, item, spot)

    def _same_again(self, number: int, clause: Clause) -> None:
        """ "pair five, same": the last reading, at the place just named."""
        at = next((i for i in range(clause.first, clause.last) if self.talk.norms[i] in _SAME), None)
        last = next((d for d in reversed(self.drafts) if d.kind == "reading"), None)
        if at is None or last is None or last.clause < number - 4:
            return
        draft = self._draft(number, clause.first, clause.last, self.focus.spot)
        draft.quantity, draft.value, draft.unit, draft.state = last.quantity, last.value, last.unit, last.state
        draft.conditions, draft.confidence = dict(last.conditions), 0.65
        draft.rules = (*last.rules, "same")
        self._remember(draft)

    def _said(self, number: int, clause: Clause, said: Said, spot: Spot) -> None:
        meant = next(((s, state) for s, state in said.readings if self._fits(s.needs, said, clause, spot)), None)
        if meant is None:
            return
        saying, state = meant
        draft = self._draft(number, said.first, said.last, spot)
        draft.quantity, draft.state, draft.object = saying.quantity, state, saying.object
        draft.confidence = 0.7 if saying.needs else 0.85
        draft.rules = (saying.rule, *(("negation",) if said.negated else ()))
        draft.conditions |= self._conditions(draft, number)
        if draft.quantity == "inspection" and draft.object is None:
            draft.object = self.talk.text(said.first, said.last)
        self._remember(draft)

    def _fits(self, needs: str | None, said: Said, clause: Clause, spot: Spot) -> bool:
        """Whether what a saying needs is met (the words are in ``trade.words.Needs``)."""
        words = self.talk.norms[clause.first : clause.last]
        if needs == "line":
            return spot.is_telephone
        if needs == "alone":
            placed = {i for p in self.found.places for i in range(p.first, p.last)}
            rest = {self.talk.norms[i] for i in range(clause.first, clause.last) if not said.first <= i < said.last and i not in placed}
            return spot.is_telephone and rest <= _LITTLE
        if needs == "sound":
            return self.focus.heard_line and spot.is_telephone
        if needs == "port":
            return spot.is_ported
        if needs in ("pair_leads", "ground_leads"):
            leads = self._leads_before(said.first, clause)
            return leads is not None and (leads == "tip-ring") == (needs == "pair_leads")
        if needs == "copper":
            return not _CONDUCTORS.isdisjoint(words) or self.focus.heading in _METERED
        return needs is None or not _PARTS.isdisjoint(words)

    def _leads_before(self, at: int, clause: Clause) -> str | None:
        """The leads named nearest before a token in its clause, else those named anywhere in it."""
        hits = [h for h in self.found.conditions if h.entry.what == "leads" and clause.first <= h.first < clause.last]
        before = [h for h in hits if h.last <= at]
        return before[-1].entry.is_ if before else (hits[0].entry.is_ if hits else None)

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
            modem=self._modem,
        )

    def _did(self, number: int, clause: Clause, done: Done, spot: Spot, places: list[Place]) -> None:
        if done.mood != "done":
            if done.mood == "ordered":
                self.held_back.append(HeldBack(clause.first, clause.last, "instruction", self.talk.text(done.first, done.first + 1)))
            return
        thing = next((p for p in places if done.thing and done.thing[0] <= p.first < done.thing[1] and p.kind), None)
        behind = next((p for p in places if p.first >= done.last or (done.thing and p.first >= done.thing[1])), None)
        where = behind or thing
        there = self._plug_spot(done, behind, spot) or (self.focus.at(where) if where else spot)
        draft = self._draft(number, done.first, done.last, there)
        draft.kind, draft.action = "action", done.action
        draft.object = done.object or (self.talk.text(*done.thing) if done.thing else None)
        draft.rules, draft.conditions = (done.rule,), {}
        self.drafts.append(draft)
        self._hold(draft)

    # --- what holds from now on

    def _plug_spot(self, done: Done, behind: Place | None, spot: Spot) -> Spot | None:
        """The plug at the interface: pulling "the plug" parts the customer's side, unless another place is meant."""
        words = set(self.talk.norms[done.thing[0] : done.thing[1]]) if done.thing else set()
        if done.action not in ("disconnect", "reconnect") or "plug" not in words or not self.focus.knows("demarc"):
            return None
        if (behind and behind.kind not in (None, "demarc")) or spot.kind in ("line_seizure_jack", "alarm_panel", "device"):
            return None
        details = {key: value for key, value in self.focus.at(Place(0, 0, "demarc")).details.items() if key == "line"}
        return Spot("demarc", details | {"side": "customer"})

    def _hold(self, draft: Draft) -> None:
        point = next((p for p in self.points.all() if p.id == draft.point), None)
        kind = point.kind if point else None
        if draft.action in ("disconnect", "reconnect") and kind in ("demarc", "alarm_panel", "line_seizure_jack"):
            self.focus.held["plug"] = "out" if draft.action == "disconnect" else "in"
        elif draft.action in ("remove_clips", "install_clips"):
            self.focus.held["clips"] = "out" if draft.action == "remove_clips" else "in"

    def _remember(self, draft: Draft) -> None:
        """Keeps a reading; the same state told twice in a sentence at one point is one reading."""
        for other in reversed(self.drafts):
            if self._sentence(other) != self._sentence(draft):
                break
            same = (other.quantity, other.state, other.point) == (draft.quantity, draft.state, draft.point)
            if same and draft.state and other.conditions == draft.conditions and draft.quantity != "inspection":
                other.last = max(other.last, draft.last)
                return
        self.drafts.append(draft)
        self.focus.heading = draft.quantity
        if draft.quantity in ("dial_tone", "line_sound"):
            self.focus.heard_line = True

    def _sentence(self, draft: Draft) -> int:
        return self.found.clauses[draft.clause].sentence

    def _draft(self, number: int, first: int, last: int, spot: Spot) -> Draft:
        if spot.kind == "demarc" and "side" not in spot.details and self.focus.held.get("plug") == "out":
            spot = Spot(spot.kind, spot.details | {"side": "provider"})
        return Draft(first, last, number, "reading", self.points.id_of(spot))

    def _clause_conditions(self, number: int) -> dict[str, str]:
        """The conditions said in the clause, and before it in its sentence ("with the phone hung up, I read ...")."""
        clause = self.found.clauses[number]
        first = number
        while first and self.found.clauses[first - 1].sentence == clause.sentence:
            first -= 1
        start = self.found.clauses[first].first
        return {h.entry.what: h.entry.is_ for h in self.found.conditions if start <= h.first < clause.last}

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


_MODEM_WORDS = {"modem", "dsl", "attenuation", "sync", "synced", "showtime"}
_TESTER_WORDS = {"next", "certifier", "permanent", "channel", "cat6", "headroom"}
_SAME = {"same", "ditto", "likewise"}
_LITTLE = {"still", "just", "now", "and", "got", "i", "'ve", "have", "there", "here", "at", "all", "on", "it", "that", "one", "is", "'s", ",", ".", "!", "..."}
_CONDUCTORS = {
    "tip", "ring", "wring", "wire", "wires", "pin", "pins", "pair", "pairs", "conductor", "conductors", "leg", "meter", "loop", "reads", "cord", "strand",
    "white", "blue", "orange", "green", "brown", "red", "black", "yellow", "violet", "slate",
}  # fmt: skip
_METERED = {"resistance", "loop_resistance", "insulation_resistance", "continuity", "short", "ground_fault", "wire_map", "capacitance"}
_PARTS = {"clip", "clips", "screw", "screws", "wire", "wires", "jumper", "lug", "lugs", "connection", "connector", "terminal", "plug", "jack", "contact", "crimp", "pin"}
_WITH_LEADS = {
    "dc_voltage", "ac_voltage", "resistance", "insulation_resistance", "capacitance", "short", "ground_fault", "continuity", "foreign_voltage",
}  # fmt: skip
_HELD_AT = {
    "plug": ("demarc", "line_seizure_jack", "alarm_panel"),
    "clips": ("block", "cable"),
}


def _could_number(measure: Measure) -> bool:
    """A plain whole number without unit, as ports and pairs have."""
    value = measure.value
    return measure.unit is None and not measure.number.loose and value == int(value) and 0 < value < 1000


def _is_thing(place: Place, things: Sequence[tuple[int, int]]) -> bool:
    """Whether the place is only what a verb was done to ("unplugged the modem")."""
    return any(first <= place.first < last for first, last in things) and place.kind in _MOVABLE


_MOVABLE = {"set", "device", "cable", "alarm_panel", "filter"}
