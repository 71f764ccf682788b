"""Where the rules and the trained listener meet: what to believe, by how likely the listener finds it.

Without a listener the rules stand alone. The bounds were set with a listener that was not taught the practice calls and
a part of the other talk, on that talk; see ``tests/training/README.md``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from callnotes.extract.clauses import Aside
from callnotes.extract.conditions import takes
from callnotes.extract.draft import Draft
from callnotes.extract.focus import Focus, Spot
from callnotes.extract.hearing import Heard, Hearing, Traits
from callnotes.extract.places import Place
from callnotes.extract.ties import Ties
from callnotes.trade import Trade

# Below these a finding of the rules is held back: a state or action, one with a "not" in it, a number with a unit or a
# named quantity, a bare number.
VETO, VETO_DENIED, NUMBER_VETO, NUMBER_BARE = 0.12, 0.0, 0.2, 0.6
# Above these the listener reads another quantity: from a state or bare number, from a unit said, from a quantity named.
SURE, OTHER, NAMED_BEST = 0.5, 0.75, 0.9
# How likely an event must be heard to stand against a cue word: some words leave little doubt.
AGAINST = {"quoted": 0.95, "hypothetical": 0.95, "recap": 0.95}
AGAINST_OTHERS = 0.8
# Above these what only the listener hears counts: at all, told a second time, in words that the rules used otherwise.
HEARD, TOLD, RIVAL = 0.7, 0.75, 0.95
# Places: the rules' are kept above the first, named anew above the second; the listener's own count above the third.
BELIEVED, NAMED, PLACE = 0.1, 0.8, 0.6
# What goes with an event: its side, conditions, verdict of a number, and a state called expected.
SIDE, CONDITION, VERDICT, EXPECTED = 0.6, 0.5, 0.7, 0.8
# A detail is tied above the first and dropped below the second; the place in hand weighs this much more than another.
HAS, LACKS, STAY = 0.15, 0.005, 12.0


class Referee:
    """Asks the listener about what the rules found, and for what they missed."""

    def __init__(self, hearing: Hearing | None, trade: Trade, ties: Ties | None = None) -> None:
        self._hearing, self._trade, self._ties = hearing, trade, ties
        self._states = [f"r:{q.quantity}={s.state}" for q in trade.quantities for s in q.states]
        self._runs = hearing.runs() if hearing else []
        self._at = 0
        self._used: set[tuple[str, int]] = set()

    def state(
        self, quantity: str, state: str, first: int, last: int, *, fixed: bool = False, negated: bool = False
    ) -> tuple[str, str, float] | None:
        """The (quantity, state, confidence) that those words carry; None where the listener hears no event.

        ``fixed``: the quantity is certain (the leads were named), so the listener may not read another.
        ``negated``: a "no" or "not" stands in the words, so the listener may not turn the state about.
        """
        if self._hearing is None:
            return quantity, state, 0.8
        label = f"r:{quantity}={state}"
        best, likely = self._hearing.best(self._states, first, last)
        turned = negated and best is not None and best.startswith(f"r:{quantity}=")
        if turned:
            self.found(f"r:{quantity}={state}", first, last)
            return quantity, state, likely
        if best and likely > SURE and not fixed and self._hearing.probability(label, first, last) < SURE:
            quantity, state = best[2:].split("=")
            label = best
        probability = self._hearing.probability(label, first, last)
        if probability < (VETO_DENIED if negated else VETO) and not (fixed and likely > SURE):
            return None
        self.found(label, first, last)
        return quantity, state, max(probability, 0.6 if fixed else 0.0)

    def number(
        self, quantity: str | None, symbol: str | None, first: int, last: int, *, named: bool = False
    ) -> tuple[str, float] | None:
        """The (quantity, confidence) of a number with that unit; None where the listener hears no reading.

        ``named``: the words just before name the quantity, so the listener must be all but certain of another.
        """
        if self._hearing is None:
            return (quantity, 0.8) if quantity else None
        fitting = [q for q in self._trade.quantities if q.units and (symbol is None or symbol in q.units)]
        best, likely = self._hearing.best((f"r:{q.quantity}" for q in fitting), first, last)
        mine = self._hearing.probability(f"r:{quantity}", first, last) if quantity else 0.0
        if symbol is None and max(likely, mine) < self._hearing.detail(first, last):
            return None  # a port, a row, a label
        if best and likely > (NAMED_BEST if named else OTHER if quantity and symbol else SURE) and likely > mine:
            quantity, mine = best[2:], likely
        elif named:
            mine = max(mine, likely)
        if quantity is None or mine < (NUMBER_VETO if symbol or named else NUMBER_BARE):
            return None
        self.found(f"r:{quantity}", first, last)
        return quantity, mine

    def action(self, action: str, first: int, last: int, *, done: bool) -> tuple[str, float] | None:
        """The (action, confidence) of those words; None where nothing was done. ``done`` is what the rules think."""
        if self._hearing is None:
            return (action, 0.8) if done else None
        best, likely = self._hearing.best((f"a:{a.action}" for a in self._trade.actions), first, last)
        if best and likely > SURE and self._hearing.probability(f"a:{action}", first, last) < SURE:
            action = best[2:]
        probability = self._hearing.probability(f"a:{action}", first, last)
        # Where something was plainly done, the listener may doubt what it was, not that it was.
        if probability < SURE and not (done and max(probability, likely) >= VETO):
            return None
        probability = max(probability, likely if done else 0.0)
        self.found(f"a:{action}", first, last)
        return action, probability

    def sure(self, first: int, last: int, labels: Iterable[str], aside: Aside) -> bool:
        """Whether the listener is sure of one of those events where a cue word speaks against it."""
        if self._hearing is None:
            return False
        # "says" by itself may be a helper reading a meter; "she says" tells what was reported.
        bare = aside.reason == "quoted" and " " not in aside.cue_word
        least = AGAINST_OTHERS if bare else AGAINST.get(aside.reason, AGAINST_OTHERS)
        return self._hearing.best(labels, first, last)[1] > least

    def is_reading(self, first: int, last: int) -> bool:
        """Whether a number is surely heard as a reading, and no detail of a place."""
        if self._hearing is None:
            return False
        likely = self._hearing.best((f"r:{q.quantity}" for q in self._trade.quantities if q.units), first, last)[1]
        return likely > max(NUMBER_BARE, self._hearing.detail(first, last))

    def missed(self, last: int) -> Iterator[Heard]:
        """What the listener hears before token ``last`` and the rules did not find, each once, in order."""
        while self._at < len(self._runs) and self._runs[self._at].first < last:
            heard = self._runs[self._at]
            self._at += 1
            if heard.probability > HEARD and not self._known(heard):
                yield heard

    def _known(self, heard: Heard) -> bool:
        """Whether the rules found that event, or another of its sort in the same words of which they are as sure."""
        tokens = range(heard.first, heard.last)
        if any((heard.label, token) in self._used for token in tokens):
            return True
        sort = heard.label[:2]
        taken = any((sort, token) in self._used for token in tokens)
        return taken and heard.probability < RIVAL

    def found(self, label: str, first: int, last: int) -> None:
        """Notes that the rules made an event of those words, so that the listener adds no second one."""
        self._used.update((name, token) for name in (label, label[:2]) for token in range(first, last))

    def stops(self, first: int, last: int, places: list[Place]) -> list[Place]:
        """The places that the talk goes to in those tokens: the rules' that the listener believes, and its own."""
        if self._hearing is None:
            return places
        kept = [
            self._named(place)
            for place in places
            if place.details or self._hearing.place(place.first, place.last) > BELIEVED
        ]
        for start, end in self._hearing.place_runs(first, last):
            if any(place.first < end and start < place.last for place in places):
                continue
            traits = self._hearing.traits(start, end)
            kind, likely = traits.kind
            side, sided = traits.side
            details = {"side": side} if side != "none" and sided > SIDE else {}
            if kind != "none" and likely > PLACE:
                kept.append(Place(start, end, kind, details, "heard"))
        return sorted(kept, key=lambda place: place.first)

    def _named(self, place: Place) -> Place:
        """A place of the rules, under the kind that the listener is sure of."""
        assert self._hearing is not None
        kind, likely = self._hearing.traits(place.first, place.last).kind
        if place.kind and likely > NAMED and kind not in ("none", place.kind):
            return Place(place.first, place.last, kind, place.details, place.noun)
        return place

    # --- what goes with an event

    def spot(self, first: int, last: int, spot: Spot, focus: Focus) -> Spot:
        """The spot that the rules found, or that of the kind and side that the listener is sure of."""
        traits = self._traits(first, last)
        if traits is None:
            return spot
        stays = spot.kind or "none"
        weighed = {kind: p * (STAY if kind == stays else 1.0) for kind, p in traits.kinds.items()}
        kind = max(weighed, key=lambda kind: weighed[kind])
        if kind == "none":
            spot = Spot()
        elif kind != spot.kind:
            spot = focus.turned(spot, kind)
        side, likely = traits.side
        if likely > SIDE and spot.kind:
            details = {key: value for key, value in spot.details.items() if key != "side"}
            spot = Spot(spot.kind, details | ({"side": side} if side != "none" else {}))
        if self._ties and spot.kind:
            tied = self._ties.details(first, last, spot.kind)
            rows = focus.rows()
            if tied.get("pair") in rows and tied["pair"] != spot.details.get("pair"):
                tied["row"] = (tied.pop("pair"),)  # "the one on eight", where rows 7 and 8 were spoken of
            details = {k: v for k, v in spot.details.items() if traits.has.get(k, 1.0) > LACKS}
            details |= {
                key: value
                for key, value in tied.items()
                if traits.has[key] > HAS and not _within(value, spot.details.get(key))
            }
            spot = Spot(spot.kind, details)
        return spot

    def judge(self, draft: Draft) -> None:
        """Puts the verdict and the conditions that the listener hears on a reading."""
        traits = self._traits(draft.first, draft.last)
        if traits is None or draft.kind != "reading":
            return
        for name, likely in traits.conditions.items():
            what, _, value = name.partition("=")
            if likely > CONDITION and takes(draft.quantity, what):
                draft.conditions.setdefault(what, value.replace("_", " "))
        said = {verdict: p for verdict, p in traits.verdicts.items() if verdict != "none"}
        verdict, likely = max(said.items(), key=lambda item: item[1])
        if draft.state is None and likely > VERDICT:
            draft.verdict, draft.stated = verdict, True
        elif draft.state is not None and likely > EXPECTED and verdict == "pass" and self._own(draft) != "pass":
            draft.verdict, draft.stated = verdict, True  # expected just now, as silence with the clips out

    def _own(self, draft: Draft) -> str | None:
        quantity = self._trade.quantity(draft.quantity)
        state = quantity.state(draft.state) if quantity else None
        return state.verdict if state else None

    def _traits(self, first: int, last: int) -> Traits | None:
        return self._hearing.traits(first, last) if self._hearing else None


def _within(value: Any, said: Any) -> bool:
    """Whether the rules already have a list, rows or pins, that holds those."""
    return isinstance(value, tuple) and isinstance(said, tuple) and set(value) <= set(said)
