"""States said in words, with the negation that turns them round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from callnotes.extract.clauses import Clause
from callnotes.extract.matching import Hit
from callnotes.extract.normal import Talk
from callnotes.trade import Trade
from callnotes.trade.words import Saying

_REACH = 5
_STOPS = {"but", "except", "only", "just", "until"}
_LINKS = {"or", "nor", "and", ",", "no", "any", "a", "not"}


@dataclass(frozen=True, slots=True)
class Said:
    """A state over tokens ``first`` up to ``last``; ``negated`` when a negation turned it round.

    ``readings`` holds each saying that these words can be, with the state it comes to, in the table's order.
    """

    first: int
    last: int
    readings: tuple[tuple[Saying, str], ...]
    negated: bool = False


def find_states(
    talk: Talk, clauses: Sequence[Clause], hits: Sequence[Hit[tuple[Saying, ...]]], trade: Trade
) -> list[Said]:
    """The states of the talk in order; what a negation cancels is left out."""
    before = {tuple(words.split()) for words in trade.words["negation", "before"]}
    behind = {tuple(words.split()) for words in trade.words["negation", "behind"]}
    clause_of = {token: clause for clause in clauses for token in range(clause.first, clause.last)}
    found: list[Said] = []
    for hit in hits:
        clause = clause_of.get(hit.first)
        if clause is None:
            continue
        first = _negation_before(talk, clause, hit, before)
        last = _negation_behind(talk, clause, hit, behind)
        if first is None and last is None and found and _carries_on(talk, found[-1], hit, clause):
            first = hit.first
        said = _turned(hit, first, last)
        if said is not None:
            found.append(said)
    return found


def _turned(hit: Hit[tuple[Saying, ...]], first: int | None, last: int | None) -> Said | None:
    if first is None and last is None:
        return Said(hit.first, hit.last, tuple((saying, saying.state) for saying in hit.entry))
    turned = tuple((saying, saying.not_) for saying in hit.entry if saying.not_)
    if not turned:
        return None
    return Said(first if first is not None else hit.first, last or hit.last, turned, negated=True)


def _negation_before(
    talk: Talk, clause: Clause, hit: Hit[tuple[Saying, ...]], words: set[tuple[str, ...]]
) -> int | None:
    """Where a negation stands that reaches the hit: at most a few words before it, with no mark between."""
    for at in range(hit.first - 1, max(clause.first, hit.first - _REACH) - 1, -1):
        if talk.tokens[at].kind == "mark" or talk.norms[at] in _STOPS:
            return None
        if any(talk.norms[at : at + len(w)] == w for w in words):
            return at
    return None


def _negation_behind(
    talk: Talk, clause: Clause, hit: Hit[tuple[Saying, ...]], words: set[tuple[str, ...]]
) -> int | None:
    """Where a negation behind the hit ends: "the hum is gone", "corrosion? not any"."""
    for at in range(hit.last, min(clause.last, hit.last + 3)):
        if talk.tokens[at].kind == "mark" and talk.norms[at] not in (",", ":"):
            return None
        for w in words:
            if talk.norms[at : at + len(w)] == w and at + len(w) <= clause.last:
                return at + len(w)
    return None


def _carries_on(talk: Talk, before: Said, hit: Hit[tuple[Saying, ...]], clause: Clause) -> bool:
    """ "no hum or static": a negation holds on over a list."""
    gap = talk.norms[before.last : hit.first]
    return before.negated and before.first >= clause.first and len(gap) <= 3 and set(gap) <= _LINKS and "or" in gap
