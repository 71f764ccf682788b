"""What the speaker says of a reading: its verdict in the same breath, or in a short remark right after."""

from __future__ import annotations

from collections.abc import Sequence

from callnotes.extract.draft import Draft
from callnotes.extract.findings import Findings
from callnotes.extract.matching import Hit
from callnotes.extract.normal import Talk
from callnotes.trade.words import StatedWord

_SHORT = 9


def state_verdicts(talk: Talk, found: Findings, drafts: Sequence[Draft]) -> None:
    """Sets ``verdict`` and ``stated`` on the readings that were spoken of; changes the drafts in place."""
    readings = [d for d in drafts if d.kind == "reading"]
    for hit in found.stated:
        number = next((n for n, c in enumerate(found.clauses) if c.first <= hit.first < c.last), None)
        if number is None or _held_back(found, hit) or _inside_state(readings, hit):
            continue
        for draft in _meant(talk, found, readings, hit, number):
            _apply(talk, draft, hit)


def _apply(talk: Talk, draft: Draft, hit: Hit[StatedWord]) -> None:
    if hit.entry.expected:
        draft.verdict, draft.stated = "pass", True
    elif draft.value is not None and not draft.stated:
        verdict = hit.entry.verdict
        before = talk.norms[max(0, hit.first - 3) : hit.first]
        if {"not", "n't", "no"} & set(before):
            verdict = "fail" if verdict == "pass" else "pass"
        draft.verdict, draft.stated = verdict, True


def _meant(talk: Talk, found: Findings, readings: list[Draft], hit: Hit[StatedWord], number: int) -> list[Draft]:
    """The readings that the word speaks of: those before it in its sentence, or the one just before a short remark."""
    sentence = found.clauses[number].sentence
    mine = [d for d in readings if found.clauses[d.clause].sentence == sentence]
    before = [d for d in mine if d.last <= hit.first]
    if before:
        return before[-1:]
    if mine:
        return mine[:1] if hit.last + 2 >= mine[0].first else []
    clause = found.clauses[number]
    if clause.last - clause.first > _SHORT or any(clause.first <= p.first < clause.last for p in found.places):
        return []
    last = [d for d in readings if found.clauses[d.clause].sentence == sentence - 1]
    return last[-1:]


def _held_back(found: Findings, hit: Hit[StatedWord]) -> bool:
    return any(a.first <= hit.first < a.last and a.reason not in ("comment", "recap") for a in found.asides)


def _inside_state(readings: Sequence[Draft], hit: Hit[StatedWord]) -> bool:
    """Whether the word is part of a state's own words ("clean" in "clean as a whistle")."""
    return any(d.state and d.first < hit.last and hit.first < d.last for d in readings)
