"""Everything found in the talk before it is joined: places, measures, states, actions, clauses, cues."""

from __future__ import annotations

from dataclasses import dataclass

from callnotes.extract.actions import ActionFinder, Done
from callnotes.extract.clauses import Aside, Clause, find_asides, find_clauses, sentence_spans
from callnotes.extract.matching import Hit, Phrases, doc_of, grouped
from callnotes.extract.measures import Measure, find_measures
from callnotes.extract.normal import Talk
from callnotes.extract.numbers import Number, find_numbers
from callnotes.extract.places import Place, PlaceFinder
from callnotes.extract.states import Said, find_states
from callnotes.trade import Trade
from callnotes.trade.words import ConditionWord, StatedWord, Unit


@dataclass(frozen=True)
class Findings:
    """What the finders gave, each in order of place."""

    clauses: list[Clause]
    asides: list[Aside]
    places: list[Place]
    measures: list[Measure]
    states: list[Said]
    actions: list[Done]
    conditions: list[Hit[ConditionWord]]
    stated: list[Hit[StatedWord]]
    named: list[Hit[str]]

    def sentence_spans(self) -> dict[int, tuple[int, int]]:
        """The tokens of each sentence by its number."""
        return sentence_spans(self.clauses)

    def named_before(self, at: int, first: int, last: int, end: int) -> str | None:
        """The quantity named nearest before token ``at`` (from ``first`` on), else nearest behind ``last``."""
        before = [hit for hit in self.named if first <= hit.first and hit.last <= at]
        if before:
            blocked = any(before[-1].last <= m.first < at for m in self.measures)
            if not blocked:
                return before[-1].entry
        behind = [hit for hit in self.named if last <= hit.first < min(end, last + 4)]
        return behind[0].entry if behind else None


class Finder:
    """All finders over one ``Trade``; made once, used for any number of talks."""

    def __init__(self, trade: Trade) -> None:
        self._trade = trade
        self._units = Phrases((said, unit) for unit in trade.units for said in unit.said)
        self._sayings = Phrases(grouped((saying.say, saying) for saying in trade.sayings))
        self._cues = Phrases((cue.say, cue) for cue in trade.cues)
        self._conditions = Phrases((word.say, word) for word in trade.conditions)
        self._stated = Phrases((word.say, word) for word in trade.stated)
        self._named = Phrases(
            (said, q.quantity) for q in trade.quantities if q.units for said in (*q.said, *_unit_names(trade, q.units))
        )
        self._places = PlaceFinder(trade)
        self._actions = ActionFinder(trade)

    def find(self, talk: Talk) -> Findings:
        """Looks for everything once; the order of the finders is the order in which they need each other."""
        doc = doc_of(talk)
        clauses = find_clauses(talk)
        numbers = find_numbers(talk.norms)
        units = self._units.find(doc)
        places, used = self._places.find(talk, doc, _without_unit(numbers, units))
        conditions = self._conditions.find(doc)
        used |= {i for hit in conditions for i in range(hit.first, hit.last)}
        measures = find_measures(talk, numbers, units, used, self._trade)
        in_measures = {i for m in measures for i in range(m.first, m.last)}
        return Findings(
            clauses=clauses,
            asides=find_asides(talk, clauses, self._cues.find(doc), self._trade),
            places=places,
            measures=measures,
            states=find_states(talk, clauses, self._sayings.find(doc), self._trade),
            actions=self._actions.find(talk, doc, clauses, places),
            conditions=conditions,
            stated=self._stated.find(doc),
            named=[hit for hit in self._named.find(doc) if hit.first not in in_measures],
        )


def _without_unit(numbers: list[Number], units: list[Hit[Unit]]) -> list[Number]:
    """The numbers that no unit follows: only those can number a place."""
    measured = {hit.first for hit in units}
    return [number for number in numbers if number.last not in measured]


def _unit_names(trade: Trade, symbols: tuple[str, ...]) -> list[str]:
    """The long names of a quantity's first unit: "volts 49.6" names the quantity before the number."""
    unit = trade.unit(symbols[0]) if symbols else None
    return [said for said in (unit.said if unit else ()) if len(said) > 3 and unit and unit.dimension in ("V", "A")]
