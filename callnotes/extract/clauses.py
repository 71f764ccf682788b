"""Sentences and clauses over the tokens, and what each asserts: observed here and now, or set aside."""

from __future__ import annotations

from dataclasses import dataclass

from callnotes.extract.matching import Hit
from callnotes.extract.normal import Talk, Token
from callnotes.records import AsideReason
from callnotes.trade import Trade
from callnotes.trade.words import ContextCue

_OPENERS = {"but", "so", "because", "although", "though", "then", "which", "and"}
_SUBJECTS = {"i", "we", "he", "she", "it", "they", "you", "there", "that", "this", "here", "who"}
_DANGLING = {
    "and", "or", "the", "a", "an", "to", "of", "is", "was", "in", "on", "at", "for", "with", "from", "by", "than",
    "my", "your", "his", "her", "their", "minus", "negative", "point", "between", "about", "no", "not",
    "says", "reads", "i", "we",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Clause:
    """Tokens ``first`` up to ``last``; ``sentence`` numbers the sentence it belongs to; ``asked`` by a ``?``."""

    first: int
    last: int
    sentence: int
    asked: bool
    speaker: str | None


@dataclass(frozen=True, slots=True)
class Aside:
    """Why a stretch of tokens is no observation, and the cue word that says so."""

    first: int
    last: int
    reason: AsideReason
    cue_word: str


def find_clauses(talk: Talk) -> list[Clause]:
    """The clauses of the talk in order."""
    clauses: list[Clause] = []
    for number, (first, last) in enumerate(_sentences(talk)):
        asked = any(talk.norms[i] == "?" for i in range(max(first, last - 2), last))
        speaker = talk.cues[talk.tokens[first].cue].speaker
        for start, end in _split(talk.tokens, first, last):
            clauses.append(Clause(start, end, number, asked, speaker))
    return clauses


def _sentences(talk: Talk) -> list[tuple[int, int]]:
    """Spans that end at a full stop or at the end of a cue whose talk does not go on in the next."""
    spans, first = [], 0
    tokens = talk.tokens
    for at, token in enumerate(tokens):
        last = at + 1 == len(tokens)
        next_cue = not last and tokens[at + 1].cue != token.cue
        if last or token.is_stop or (next_cue and not _goes_on(talk, at)):
            if at + 1 > first:
                spans.append((first, at + 1))
            first = at + 1
    return spans


def _goes_on(talk: Talk, at: int) -> bool:
    """Whether the sentence at the end of a cue plainly runs into the next cue of the same speaker."""
    here, there = talk.cues[talk.tokens[at].cue], talk.cues[talk.tokens[at + 1].cue]
    if here.speaker != there.speaker:
        return False
    return talk.norms[at] in _DANGLING or talk.norms[at] == "..."


def _split(tokens: tuple[Token, ...], first: int, last: int) -> list[tuple[int, int]]:
    cuts = [first]
    for at in range(first + 1, last):
        norm, before = tokens[at].norm, tokens[at - 1].norm
        if (
            (before in (";", ":", "...") and tokens[at - 1].kind == "mark")
            or (before == "," and (norm in _SUBJECTS or norm in _OPENERS))
            or (norm in ("but", "because") and at - cuts[-1] > 1)
            or (
                norm in ("and", "so", "then")
                and at + 1 < last
                and tokens[at + 1].norm in _SUBJECTS
                and at - cuts[-1] > 2
            )
        ):
            cuts.append(at)
    return [(a, b) for a, b in zip(cuts, [*cuts[1:], last], strict=True) if b > a]


def find_asides(talk: Talk, clauses: list[Clause], hits: list[Hit[ContextCue]], trade: Trade) -> list[Aside]:
    """The stretches that are no observation, each with its cue; earlier in the list wins where they overlap."""
    at_clause = {token: clause for clause in clauses for token in range(clause.first, clause.last)}
    spans = sentence_spans(clauses)
    asides = [
        Aside(clause.first, clause.last, "question", "?")
        for clause in clauses
        if clause.asked and not _tag_question(talk, clause)
    ]
    for hit in hits:
        clause = at_clause.get(hit.first)
        if clause is None or hit.entry.reason is None or _read_off(talk, hit, trade):
            continue
        word = talk.text(hit.first, hit.last)
        if hit.entry.reach == "cue":
            asides.append(Aside(*spans[clause.sentence], hit.entry.reason, word))
        elif hit.entry.reach == "start" and _opens(talk, clause, hit.first):
            asides.append(Aside(clause.first, spans[clause.sentence][1], hit.entry.reason, word))
        elif hit.entry.reach == "clause":
            asides.append(Aside(clause.first, clause.last, hit.entry.reason, word))
        elif hit.entry.reach == "forward":
            asides.append(Aside(hit.first, clause.last, hit.entry.reason, word))
    return sorted(asides, key=lambda aside: aside.last - aside.first)


def _read_off(talk: Talk, hit: Hit[ContextCue], trade: Trade) -> bool:
    """ "the meter says fifty", "I'd say fifty": what shows a result is read off, and one's own word is no quotation."""
    if hit.entry.reason != "quoted" or hit.last - hit.first > 1 or hit.first == 0:
        return False
    before, word = talk.norms[hit.first - 1], talk.norms[hit.first]
    own = word == "say" and (before in trade.words["word_set", "own_say"] or not before[:1].isalnum())
    return own or before in trade.words["word_set", "showing"]


def sentence_spans(clauses: list[Clause]) -> dict[int, tuple[int, int]]:
    """The tokens of each sentence by its number."""
    spans: dict[int, tuple[int, int]] = {}
    for clause in clauses:
        first, _ = spans.get(clause.sentence, (clause.first, 0))
        spans[clause.sentence] = (first, clause.last)
    return spans


def _opens(talk: Talk, clause: Clause, at: int) -> bool:
    """Whether only small words stand before the token in its clause."""
    small = {"and", "so", "but", "now", "okay", "ok", "well", "then", ","}
    return all(talk.norms[i] in small for i in range(clause.first, at))


def _tag_question(talk: Talk, clause: Clause) -> bool:
    """A statement spoken with a rising end ("0.4 volts?"): it holds a figure and no question word."""
    words = talk.norms[clause.first : clause.last]
    asking = {
        "what",
        "which",
        "do",
        "does",
        "is",
        "are",
        "did",
        "can",
        "could",
        "would",
        "how",
        "why",
        "where",
        "who",
        "any",
        "bad",
    }
    return any(w[:1].isdigit() for w in words) and asking.isdisjoint(words)
