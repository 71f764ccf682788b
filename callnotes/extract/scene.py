"""One clause with everything found in it: what the fold looks at in one step."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from callnotes.extract.actions import Done
from callnotes.extract.clauses import Aside, Clause
from callnotes.extract.findings import Findings
from callnotes.extract.matching import Hit
from callnotes.extract.measures import Measure
from callnotes.extract.normal import Talk
from callnotes.extract.places import Place
from callnotes.extract.states import Said
from callnotes.trade.words import ConditionWord

Found = TypeVar("Found", Place, Measure, Said, Done, Hit[ConditionWord])


@dataclass
class Scene:
    """A clause and what starts in it. ``said`` are the conditions of its sentence up to its end, by what they tell."""

    number: int
    clause: Clause
    words: tuple[str, ...]
    sentence: tuple[int, int]
    places: list[Place] = field(default_factory=list)
    measures: list[Measure] = field(default_factory=list)
    states: list[Said] = field(default_factory=list)
    actions: list[Done] = field(default_factory=list)
    conditions: list[Hit[ConditionWord]] = field(default_factory=list)
    asides: list[Aside] = field(default_factory=list)
    said: dict[str, str] = field(default_factory=dict)

    def aside_at(self, token: int) -> Aside | None:
        """Why that token is no observation, if it is none."""
        return next((aside for aside in self.asides if aside.first <= token < aside.last), None)

    def leads_before(self, token: int) -> str | None:
        """The leads named nearest before a token in the clause, else those named behind it."""
        hits = [hit for hit in self.conditions if hit.entry.what == "leads"]
        before = [hit for hit in hits if hit.last <= token]
        return before[-1].entry.is_ if before else (hits[0].entry.is_ if hits else None)

    @property
    def things(self) -> list[tuple[int, int]]:
        """The tokens of what was acted on."""
        return [done.thing for done in self.actions if done.thing]


def scenes_of(talk: Talk, found: Findings) -> Iterator[Scene]:
    """The clauses in order, each with what was found in it; one pass over the talk."""
    places, measures, states = _By(found.places), _By(found.measures), _By(found.states)
    actions, conditions = _By(found.actions), _By(found.conditions)
    asides = sorted(found.asides, key=lambda aside: aside.first)
    open_asides: list[Aside] = []
    at_aside, sentence = 0, -1
    said: dict[str, str] = {}
    spans = found.sentence_spans()
    for number, clause in enumerate(found.clauses):
        if clause.sentence != sentence:
            sentence, said = clause.sentence, {}
        while at_aside < len(asides) and asides[at_aside].first < clause.last:
            open_asides.append(asides[at_aside])
            at_aside += 1
        open_asides = [aside for aside in open_asides if aside.last > clause.first]
        here = conditions.take(clause)
        said = said | {hit.entry.what: hit.entry.is_ for hit in here}
        yield Scene(
            number=number,
            clause=clause,
            words=talk.norms[clause.first : clause.last],
            sentence=spans[clause.sentence],
            places=places.take(clause),
            measures=measures.take(clause),
            states=states.take(clause),
            actions=actions.take(clause),
            conditions=here,
            asides=sorted(open_asides, key=lambda aside: aside.last - aside.first),
            said=said,
        )


class _By(Generic[Found]):
    """Findings in order of place, handed out clause by clause."""

    def __init__(self, found: Sequence[Found]) -> None:
        self._found: Sequence[Found] = found
        self._at = 0

    def take(self, clause: Clause) -> list[Found]:
        first = self._at
        while self._at < len(self._found) and self._found[self._at].first < clause.last:
            self._at += 1
        return [item for item in self._found[first : self._at] if item.first >= clause.first]
