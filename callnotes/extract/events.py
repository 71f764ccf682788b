"""Joins what was found in the talk into events: the fold over its clauses, in the order of speech."""

from __future__ import annotations

from collections.abc import Sequence

from callnotes.extract.actions import Done
from callnotes.extract.clauses import Aside
from callnotes.extract.conditions import conditions_of, holds_after, takes
from callnotes.extract.draft import Draft, HeldBack
from callnotes.extract.findings import Findings
from callnotes.extract.focus import Focus, Points, Spot
from callnotes.extract.hearing import Heard, Hearing
from callnotes.extract.measures import Measure, retracting
from callnotes.extract.needs import meant
from callnotes.extract.normal import Talk
from callnotes.extract.numbers import find_numbers
from callnotes.extract.places import Place
from callnotes.extract.placing import action_spot, goes_to, pins_tested, toward, with_bare_numbers
from callnotes.extract.quantities import Around, quantity_of
from callnotes.extract.referee import RIVAL, TOLD, Referee
from callnotes.extract.scene import Scene, scenes_of
from callnotes.extract.states import Said
from callnotes.extract.ties import Ties
from callnotes.trade import Trade

# Asides in which the talk still walks: "go to the block" takes the listener there.
_WALKED = ("instruction", "planned", "question", "conversation")
_SAME_REACH = 4
_AGAIN = 3
_SEEN = 8
_OPENING = 0.25
_TAKING_BACK = 5
# A panel and its jack are parted by one plug.
_ONE_JACK = {"alarm_panel", "line_seizure_jack"}

Item = Measure | Said | Done


class Fold:
    """Goes through the clauses once and collects ``drafts`` and what was ``held_back``."""

    def __init__(self, talk: Talk, found: Findings, trade: Trade, hearing: Hearing | None = None) -> None:
        self.talk, self.found, self.trade = talk, found, trade
        ties = Ties(hearing, talk, find_numbers(talk.norms), trade) if hearing else None
        self.referee = Referee(hearing, trade, ties)
        self.focus, self.points = Focus(), Points()
        self.drafts: list[Draft] = []
        self.held_back: list[HeldBack] = []
        self._asked: list[Said] = []
        self._side_said: int | None = None  # the sentence in which a side was last named
        self._units: dict[str, str] = {}
        self._retracting = retracting(trade)
        self._modem = self._any("modem", talk.norms) and not self._any("tester", talk.norms)

    def run(self) -> None:
        """The fold itself."""
        for scene in scenes_of(self.talk, self.found):
            self._answer(scene)
            self._clause(with_bare_numbers(scene, self.talk, self.focus, self.trade, self.referee.is_reading))

    def _any(self, name: str, words: Sequence[str]) -> bool:
        return not set(self.trade.words["word_set", name]).isdisjoint(words)

    # --- one clause

    def _clause(self, scene: Scene) -> None:
        """Goes through the clause in the order of its words, moving and observing."""
        wires = pins_tested(scene)
        stops = [p for p in scene.places if p not in wires and goes_to(p, scene, self.talk, self.trade)]
        if "wavelength" in scene.said:
            self.focus.held["wavelength"] = scene.said["wavelength"]
        stops = self.referee.stops(scene.clause.first, scene.clause.last, stops)
        for place in wires:
            scene.said["pins"] = ", ".join(map(str, place.details["pins"]))
        told = next((done.first for done in scene.actions if done.action == "notify"), None)
        items: list[Place | Item] = [*stops, *scene.measures, *scene.states, *scene.actions]
        items.sort(key=lambda item: (item.first, not isinstance(item, Done)))
        moved = False
        for item in items:
            aside = scene.aside_at(item.first)
            if isinstance(item, Place):
                if aside is None or (aside.reason in _WALKED and toward(item, scene, self.talk, self.trade)):
                    self.focus.move(item)
                    moved = True
                    if "side" in item.details:
                        self._side_said = self.found.clauses[scene.number].sentence
            elif aside is not None and not self._outvoted(aside, item):
                self._hold_back(scene, item, aside)
            elif isinstance(item, Said) and told is not None and told < item.first:
                self.held_back.append(HeldBack(item.first, item.last, "recap", "told"))
            else:
                self._observe(scene, item, self._spot(scene, stops, moved=moved))
        missed = [h for h in self.referee.missed(scene.clause.last) if self._believed(scene, h)]
        for heard in missed:
            self._heard(scene, heard, self._spot(scene, stops, moved=moved))
        self._unsettled(scene)
        if moved and not scene.asides and not missed and all(isinstance(item, Place) for item in items):
            self._same_again(scene)

    def _unsettled(self, scene: Scene) -> None:
        """ "It's swinging", said right after a number: the reading does not stand still."""
        if any(hit.entry.what == "steady" for hit in scene.conditions) and not scene.asides:
            numbers = (d for d in reversed(self.drafts) if d.value is not None and takes(d.quantity, "steady"))
            last = next(numbers, None)
            if last is not None and scene.clause.sentence - self._sentence(last) <= 1:
                last.conditions["steady"] = "no"

    def _believed(self, scene: Scene, heard: Heard) -> bool:
        """Whether an event that only the listener found counts: where a cue word speaks against it, it must be sure."""
        if all(self.talk.tokens[i].kind == "mark" for i in range(heard.first, heard.last)):
            return False
        aside = scene.aside_at(heard.first)
        if self._takes_back(heard):
            return False
        if aside is None:
            return True
        asked = aside.reason == "question" and "=" in heard.label
        if not asked and self.referee.sure(heard.first, heard.last, [heard.label], aside):
            return True
        if not any(held.first < heard.last and heard.first < held.last for held in self.held_back[-4:]):
            self.held_back.append(HeldBack(heard.first, heard.last, aside.reason, aside.cue_word))
        return False

    def _takes_back(self, heard: Heard) -> bool:
        """Whether the words only take back what was said before: the "no" of "no, make that six"."""
        words = tuple(word for word in self.talk.norms[heard.first : heard.first + _TAKING_BACK] if word.isalpha())
        behind = words[1:] if words[:1] in self._retracting else words
        return any(behind[: len(phrase)] == phrase for phrase in self._retracting if len(phrase) > 1)

    def _outvoted(self, aside: Aside, item: Item) -> bool:
        """Whether the listener is sure of an event that a cue word speaks against; a state asked for is never one."""
        if isinstance(item, Done):
            labels = [f"a:{item.action}"]
        elif isinstance(item, Said):
            labels = [f"r:{saying.quantity}={state}" for saying, state in item.readings]
            if aside.reason == "question":
                return False
        else:
            labels = [f"r:{q.quantity}" for q in self.trade.quantities if q.units]
        return self.referee.sure(item.first, item.last, labels, aside)

    def _heard(self, scene: Scene, heard: Heard, spot: Spot) -> None:
        """What only the listener found."""
        kind, _, rest = heard.label.partition(":")
        quantity, _, state = rest.partition("=")
        if kind == "r" and not state:
            self._heard_number(scene, heard, quantity, spot)
            return
        if quantity == "ground_fault" and scene.leads_before(heard.first) == "tip-ring":
            return  # across the pair a meter tells of a short, never of a ground
        draft = self._draft(scene, heard.first, heard.last, spot, acted=kind == "a")
        draft.confidence, draft.rules = heard.probability, ("listener",)
        if kind == "a":
            draft.kind, draft.action = "action", rest
            if not self._done_before(draft):
                self.drafts.append(draft)
                self._hold(holds_after(rest, self.points.kind_of(draft.point)))
            return
        draft.quantity, draft.state = quantity, state
        if heard.probability < RIVAL and self._read_in_clause(draft):
            return  # "crossed on pins three and five" is one result
        if heard.probability < TOLD and self._told_before(draft):
            self.held_back.append(HeldBack(heard.first, heard.last, "recap", "told before"))
            return
        draft.conditions = self._conditions(draft, scene)
        if quantity == "inspection":
            self._keep_seen(scene, draft)
        else:
            self._keep(draft)

    def _keep_seen(self, scene: Scene, draft: Draft) -> None:
        """What was seen in one clause is one inspection, told in its words to the end of the clause."""
        last = self.drafts[-1] if self.drafts else None
        first, behind = draft.first, draft.last
        if last and (last.quantity, last.state, last.clause) == (draft.quantity, draft.state, draft.clause):
            self.drafts.pop()
            first, behind = min(first, last.first), max(behind, last.last)
        end = scene.clause.last if 0 <= scene.clause.last - behind <= _SEEN else behind
        draft.first, draft.last, draft.object = first, behind, self.talk.text(first, end).rstrip(" .,!?")
        self._keep(draft)

    def _done_before(self, draft: Draft) -> bool:
        """Whether the same was just done there: "plug's out, so the wiring is off" is one action."""
        kind = self.points.kind_of(draft.point)
        mine = [other for other in self.drafts[-4:] if self._sentence(other) == self._sentence(draft)]
        return any(other.action == draft.action and self.points.kind_of(other.point) == kind for other in mine)

    def _read_in_clause(self, draft: Draft) -> bool:
        """Whether the rules read the same quantity there in the same clause already, as another state."""
        mine = (other for other in self.drafts[-4:] if (other.clause, other.point) == (draft.clause, draft.point))
        return any(other.quantity == draft.quantity and other.state != draft.state for other in mine)

    def _told_before(self, draft: Draft) -> bool:
        """Whether the same state was read there and nothing was done since: telling it again makes no event."""
        for other in reversed(self.drafts):
            if other.kind == "action":
                return False
            if (other.quantity, other.state) == (draft.quantity, draft.state):
                near = self._sentence(draft) - self._sentence(other)
                return near == 0 or (other.point == draft.point and near <= _AGAIN)
        return False

    def _heard_number(self, scene: Scene, heard: Heard, quantity: str, spot: Spot) -> None:
        """A number whose reading only the listener found, or the last reading again ("same here")."""
        entry = self.trade.quantity(quantity)
        taken = {draft.first for draft in self.drafts[-6:]}
        free = [m for m in self.found.measures if not m.struck and m.first not in taken]
        measure = next((m for m in free if heard.first - 1 <= m.first < heard.last), None)
        last = next((d for d in reversed(self.drafts) if d.quantity == quantity and d.value is not None), None)
        draft = self._draft(scene, heard.first, heard.last, spot)
        draft.quantity, draft.confidence, draft.rules = quantity, heard.probability, ("listener",)
        words = self.talk.norms[heard.first : heard.last]
        if measure and entry and (measure.unit is None or measure.unit.symbol in entry.units):
            draft.value = measure.value
            draft.unit = measure.unit.symbol if measure.unit else self._units.get(quantity) or entry.units[0]
        elif last and self._any("again", words):
            draft.value, draft.unit, draft.rules = last.value, last.unit, ("listener", "same")
        else:
            return
        draft.conditions = self._conditions(draft, scene)
        self._keep(draft)

    def _spot(self, scene: Scene, stops: list[Place], *, moved: bool) -> Spot:
        """Where a thing is observed; "dial tone on the right side" names the place behind it."""
        if moved or not stops or scene.aside_at(stops[0].first):
            return self.focus.spot
        return self.focus.at(stops[0])

    def _answer(self, scene: Scene) -> None:
        """A question answered at once by yes or no is the answer's event."""
        if scene.clause.asked:
            self._asked = scene.states
            return
        asked, self._asked = self._asked, []
        yes, no = self._any("yes", scene.words[:1]), self._any("no", scene.words[:1])
        if not asked or scene.states or not (yes or no):
            return
        saying, state = asked[-1].readings[0]
        answer = state if yes else saying.not_
        if answer:
            draft = self._draft(scene, scene.clause.first, scene.clause.last, self.focus.spot)
            draft.quantity, draft.state, draft.confidence = saying.quantity, answer, 0.7
            draft.rules = (saying.rule, "answer")
            self.referee.found(f"r:{saying.quantity}={answer}", scene.clause.first, scene.clause.last)
            self._keep(draft)

    def _same_again(self, scene: Scene) -> None:
        """ "pair five, same": the last reading, at the place just named."""
        last = next((draft for draft in reversed(self.drafts) if draft.kind == "reading"), None)
        if last is None or last.clause < scene.number - _SAME_REACH or not self._any("same", scene.words):
            return
        draft = self._draft(scene, scene.clause.first, scene.clause.last, self.focus.spot)
        draft.quantity, draft.value, draft.unit, draft.state = last.quantity, last.value, last.unit, last.state
        draft.conditions, draft.confidence = dict(last.conditions), 0.65
        draft.rules = (*last.rules, "same")
        self._keep(draft)

    def _hold_back(self, scene: Scene, item: Item, aside: Aside) -> None:
        if (isinstance(item, Measure) and item.unit is None) or (isinstance(item, Done) and item.mood == "other"):
            return
        first, last = max(aside.first, scene.clause.first), min(aside.last, scene.clause.last)
        if not any(held.first == first and held.last == last for held in self.held_back[-3:]):
            self.held_back.append(HeldBack(first, last, aside.reason, aside.cue_word))

    # --- one thing in a clause

    def _observe(self, scene: Scene, item: Item, spot: Spot) -> None:
        if isinstance(item, Done):
            self._did(scene, item, spot)
        elif isinstance(item, Said):
            self._said(scene, item, spot)
        else:
            self._measured(scene, item, spot)

    def _said(self, scene: Scene, said: Said, spot: Spot) -> None:
        found = meant(self.talk, said, scene, self.focus, spot, self.trade)
        if found is None:
            for saying, state in said.readings:
                if saying.quantity == "cable_test":  # one test's result, told as such
                    self.referee.found(f"r:cable_test={state}", said.first, said.last)
            return
        saying, state = found
        leads = saying.needs in ("pair_leads", "ground_leads")
        checked = self.referee.state(saying.quantity, state, said.first, said.last, fixed=leads, negated=said.negated)
        if checked is None:
            self.held_back.append(HeldBack(said.first, said.last, "comment", "listener"))
            return
        draft = self._draft(scene, said.first, said.last, spot)
        draft.quantity, draft.state, draft.confidence = checked
        draft.object = saying.object
        draft.rules = (saying.rule, *(("negation",) if said.negated else ()))
        draft.conditions = self._conditions(draft, scene)
        if draft.quantity == "inspection" and draft.object is None:
            draft.object = self._seen(scene, said)
        self._keep(draft)

    def _seen(self, scene: Scene, said: Said) -> str:
        """What was seen, in the words of the clause up to the state, small words at its start left out."""
        first = max(scene.clause.first, said.first - _SEEN)
        while first < said.first and self._any("openers", self.talk.norms[first : first + 1]):
            first += 1
        return self.talk.text(first, said.last)

    def _measured(self, scene: Scene, measure: Measure, spot: Spot) -> None:
        around = self._around(scene, measure, spot)
        answer = None if measure.struck else quantity_of(measure, around)
        symbol = measure.unit.symbol if measure.unit else None
        checked = None
        if not measure.struck:
            quantity = answer[0] if answer else None
            named = quantity is not None and quantity == around.named
            checked = self.referee.number(quantity, symbol, measure.first, measure.last, named=named)
        if checked is None:
            if measure.unit:
                reason = "retracted" if measure.struck else "comment"
                self.held_back.append(HeldBack(measure.first, measure.last, reason, None))
            return
        draft = self._draft(scene, measure.first, measure.last, spot)
        draft.quantity, draft.confidence = checked
        draft.value, draft.unit = measure.value, self._unit(draft.quantity, symbol, answer)
        draft.rules = (f"quantity.{draft.quantity}", f"unit.{measure.unit.symbol}" if measure.unit else "unit implied")
        draft.conditions = self._conditions(draft, scene)
        if measure.bound:
            draft.conditions["bound"] = measure.bound
        if measure.way and takes(draft.quantity, "direction"):
            draft.conditions["direction"] = measure.way
        if measure.span:
            draft.conditions["range"] = "..".join(f"{end:g}" for end in measure.span)
        self._keep(draft)
        if draft.quantity == "margin" and draft.value > 0:
            self._headroom(scene, draft)

    def _headroom(self, scene: Scene, draft: Draft) -> None:
        """Headroom called "plus" does not fail; where the words say that the test does, it is short: "fails by 2"."""
        plus = "plus" in self.talk.norms[max(0, draft.first - 2) : draft.first]
        told = [(saying.quantity, state) for said in scene.states for saying, state in said.readings]
        if plus and draft.verdict == "fail":
            draft.verdict, draft.stated = None, False
        elif ("cable_test", "fail") in told and not plus and draft.value is not None:
            draft.value, draft.rules = -draft.value, (*draft.rules, "short of the limit")

    def _unit(self, quantity: str, symbol: str | None, answer: tuple[str, str, float] | None) -> str | None:
        """The unit said, or the one last said of that quantity, or its usual one."""
        if answer and answer[0] == quantity and (symbol or quantity not in self._units):
            symbol = answer[1]
        entry = self.trade.quantity(quantity)
        if symbol is None:
            return self._units.get(quantity) or (entry.units[0] if entry and entry.units else None)
        self._units[quantity] = symbol
        return symbol

    def _around(self, scene: Scene, measure: Measure, spot: Spot) -> Around:
        clause, first, last = scene.clause, *scene.sentence
        return Around(
            words=" ".join(scene.words),
            leads=scene.leads_before(measure.first) or scene.said.get("leads"),
            named=self.found.named_before(measure.first, clause.first, measure.last, clause.last),
            named_in_sentence=self.found.named_before(measure.first, first, measure.last, last),
            kind=spot.kind,
            heading=self.focus.heading,
            modem=self._modem,
            trade=self.trade,
        )

    def _did(self, scene: Scene, done: Done, spot: Spot) -> None:
        likely = self.referee.action(done.action, done.first, done.last, done=done.mood == "done")
        if done.mood == "ordered" and likely is None:
            word = self.talk.text(done.first, done.first + 1)
            self.held_back.append(HeldBack(scene.clause.first, scene.clause.last, "instruction", word))
            return
        there = action_spot(done, scene, self.focus, spot, self.talk)
        stands = self._only_stands(done, there) and (likely is None or likely[1] < RIVAL)
        if stands or (likely is None and done.mood == "with"):
            self._hold(holds_after(done.action, None, anywhere=True))
        elif likely is not None and not self._told_already(done):
            draft = self._draft(scene, done.first, done.last, there, acted=True)
            draft.kind, (draft.action, draft.confidence) = "action", likely
            draft.object = done.object or (self.talk.text(*done.thing) if done.thing else None)
            draft.rules = (done.rule,)
            if draft.action == "disconnect" and "ends" in scene.said:
                draft.conditions = {"ends": scene.said["ends"]}
            self.drafts.append(draft)
            self._hold(holds_after(draft.action, self.points.kind_of(draft.point)))

    def _only_stands(self, done: Done, there: Spot) -> bool:
        """ "The panel is plugged in" with nothing pulled there before: how things stand, nothing done."""
        if done.action != "reconnect" or {"back", "again"} & set(self.talk.norms[done.first : done.last + 1]):
            return False
        pulled = {self.points.kind_of(draft.point) for draft in self.drafts if draft.action == "disconnect"}
        return there.kind not in pulled and not (pulled | {there.kind} >= _ONE_JACK and pulled & _ONE_JACK)

    def _told_already(self, done: Done) -> bool:
        """ "It's on test until three", right after the account was put on test; or no handing over at all."""
        if done.rule.startswith("phrase") and done.action == "refer" and done.first < len(self.talk.tokens) * _OPENING:
            return True  # the call's own ticket number, said as it opens
        last = next((draft for draft in reversed(self.drafts) if draft.action == "notify"), None)
        return done.object is not None and done.action == "notify" and last is not None and last.object == done.object

    # --- what holds from now on

    def _hold(self, held: tuple[str, str] | None) -> None:
        if held:
            self.focus.held[held[0]] = held[1]

    def _keep(self, draft: Draft) -> None:
        """Keeps a reading; the same state told twice in a sentence at one point is one reading."""
        self.referee.judge(draft)
        for other in reversed(self.drafts):
            if self._sentence(other) != self._sentence(draft):
                break
            if draft.same_state(other):
                other.last, other.conditions = max(other.last, draft.last), draft.conditions | other.conditions
                return
        self.drafts.append(draft)
        self.focus.heading = draft.quantity
        self.focus.heard_line |= draft.quantity in ("dial_tone", "line_sound")

    def _sentence(self, draft: Draft) -> int:
        return self.found.clauses[draft.clause].sentence

    def _draft(self, scene: Scene, first: int, last: int, spot: Spot, *, acted: bool = False) -> Draft:
        heard = self.referee.spot(first, last, spot, self.focus)
        if heard.kind and heard.kind != spot.kind:
            self.focus.go(Spot(heard.kind, {key: value for key, value in heard.details.items() if key != "side"}))
        here = self._side_said == self.found.clauses[scene.number].sentence
        if here and heard.kind == spot.kind and "side" in spot.details:
            heard = Spot(heard.kind, heard.details | {"side": spot.details["side"]})
        sided, spot = "side" in spot.details, heard
        # With the plug out, the test jack looks at the provider, whatever the listener makes of it.
        if spot.kind == "demarc" and not sided and not acted and self.focus.held.get("plug") == "out":
            spot = Spot(spot.kind, spot.details | {"side": "provider"})
        return Draft(first, last, scene.number, point=self.points.id_of(spot))

    def _conditions(self, draft: Draft, scene: Scene) -> dict[str, str]:
        said = dict(scene.said)
        if "leads" in said:
            said["leads"] = scene.leads_before(draft.first) or said["leads"]
        return conditions_of(draft.quantity, self.points.kind_of(draft.point), said, self.focus.held)
