"""Things done: a verb with its object, what is left after it, or a whole phrase."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from callnotes.extract.clauses import Clause
from callnotes.extract.matching import Phrases
from callnotes.extract.normal import Talk, norms
from callnotes.extract.places import Place
from callnotes.extract.verbs import forms_of
from callnotes.trade import Trade
from callnotes.trade.words import ActionKind, ActionWord

# with: no action but how things stand ("with the panel unplugged").
Mood = Literal["done", "ordered", "with", "other"]
_OBJECT_REACH = 8
_TELLING = 20
_BE = {"'s", "is", "'re", "are", "'m", "am", "was", "were", "been", "being", "got"}
_NOT_DONE = {
    "to",
    "'ll",
    "will",
    "can",
    "could",
    "should",
    "would",
    "'d",
    "might",
    "must",
    "n't",
    "not",
    "never",
    "you",
    "did",
}
_I = {"i", "we", "he", "she", "they"}
_AFTER_RESULT = {"and", "of", "from", "again", "now", "too", "so", "both", "but"}
_STAYING = {"stays", "stay", "staying", "leave", "leaving", "left", "remains", "keep", "keeping", "still"}
_ARTICLES = {
    "the",
    "a",
    "an",
    "my",
    "his",
    "her",
    "their",
    "our",
    "this",
    "that",
    "'s",
    "no",
    "any",
    "new",
    "test",
    "house",
}
_SMALL_OPENERS = {"and", "then", "now", "so", "okay", "ok", "well", "just", "also", "go", "ahead", ","}


@dataclass(frozen=True, slots=True)
class Done:
    """An action over tokens ``first`` up to ``last``; ``thing`` are the tokens of its object, if any."""

    first: int
    last: int
    action: str
    mood: Mood
    thing: tuple[int, int] | None = None
    object: str | None = None
    rule: str = ""


@dataclass(frozen=True, slots=True)
class _Verb:
    kind: ActionKind
    word: ActionWord
    form: str


class ActionFinder:
    """Finds actions in the talk from the tables of a ``Trade``."""

    def __init__(self, trade: Trade) -> None:
        irregular = {name: forms for (table, name), forms in trade.words.items() if table == "irregular"}
        self._verbs: dict[str, list[_Verb]] = {}
        for kind in trade.actions:
            for said in kind.said:
                for text, form in forms_of(said.verb, irregular.get(said.verb)):
                    self._verbs.setdefault(text, []).append(_Verb(kind, said, form))
        things = [
            (word, name) for (table, name), words in trade.words.items() if table == "object_words" for word in words
        ]
        classes: dict[str, set[str]] = {}
        for word, name in things:
            classes.setdefault(word, set()).add(name)
        self._things: Phrases[set[str]] = Phrases(classes.items())
        self._results = trade.action_results
        self._phrases = Phrases((phrase.say, phrase) for phrase in trade.action_phrases)

    def find(self, talk: Talk, doc: Any, clauses: Sequence[Clause], places: Sequence[Place]) -> list[Done]:
        """The actions in order, at most one at a place."""
        things = {hit.first: (hit.first, hit.last, hit.entry) for hit in self._things.find(doc)}
        for place in places:
            if place.kind:
                first, last, classes = things.get(place.first, (place.first, place.last, set()))
                things[place.first] = (first, max(last, place.last), classes | {"*"})
        found = [
            Done(hit.first, hit.last, hit.entry.action, "done", None, hit.entry.object, f"phrase: {hit.entry.say}")
            for hit in self._phrases.find(doc)
        ]
        for clause in clauses:
            found += self._in_clause(talk, clause, things)
        return _without_overlap(found)

    def _in_clause(self, talk: Talk, clause: Clause, things: dict[int, Any]) -> list[Done]:
        mine = [things[at] for at in range(clause.first, clause.last) if at in things]
        found = []
        for at in range(clause.first, clause.last):
            if at > clause.first and talk.norms[at - 1] in _ARTICLES:
                continue
            for verb in self._verbs.get(talk.norms[at], ()):
                done = _verb_action(talk, clause, at, verb, mine)
                if done:
                    found.append(done)
                    break
        return found or self._results_in(talk, clause, mine)

    def _results_in(self, talk: Talk, clause: Clause, things: list[Any]) -> list[Done]:
        """ "house plug's out", "clips back in": the thing, then where it is now."""
        found = []
        for first, last, classes in things:
            at = last
            if talk.norms[first] == "it" and (at >= clause.last or talk.norms[at] not in _BE):
                continue
            if at < clause.last and talk.norms[at] in _BE:
                at += 1
            while at < clause.last and talk.norms[at] in ("both", "all", "now", "just", "been"):
                at += 1
            best: Done | None = None
            for result in self._results:
                if not classes & set(result.objects):
                    continue
                for now in result.now:
                    words = norms(now)
                    if talk.norms[at : at + len(words)] == words and at + len(words) <= clause.last:
                        end = at + len(words)
                        if best is None or end > best.last:
                            best = Done(first, end, result.action, "done", (first, last), None, f"result: {now}")
            if best and _is_whole(talk, clause, best):
                found.append(replace(best, mood="with") if _stands(talk, clause, first, best.last) else best)
        return found


def _stands(talk: Talk, clause: Clause, thing: int, last: int) -> bool:
    """Whether the words tell how things stand and not what was done: "with the plug out", "it stays unplugged"."""
    if "with" in talk.norms[max(clause.first, thing - 3) : thing]:
        return True
    return not _STAYING.isdisjoint(talk.norms[max(clause.first, thing - 3) : last])


def _is_whole(talk: Talk, clause: Clause, done: Done) -> bool:
    """Whether "out", "in", "on" really ends the thought: "plug's in the jack" does, "cord on the tester" does not."""
    if done.last >= clause.last:
        return True
    return talk.tokens[done.last].kind == "mark" or talk.norms[done.last] in _AFTER_RESULT


def _verb_action(talk: Talk, clause: Clause, at: int, verb: _Verb, things: list[Any]) -> Done | None:
    wanted = set(verb.word.objects)
    ahead = [t for t in things if at < t[0] <= at + _OBJECT_REACH and t[2] & wanted]
    behind = [t for t in things if at - 5 <= t[1] <= at and t[2] & wanted]
    passive = verb.form in ("past", "participle") and behind and (not ahead or talk.norms[at - 1] in _BE)
    thing = behind[-1] if passive else (ahead[0] if ahead else None)
    if thing is None:
        return _told(talk, clause, at, verb) if not wanted else None
    last = max(at + 1, thing[1])
    if verb.word.particle:
        end = min(clause.last, last + 3)
        if verb.word.particle not in talk.norms[at + 1 : end]:
            return None
        last = max(last, at + 2 + talk.norms[at + 1 : end].index(verb.word.particle))
    mood = "with" if _stands(talk, clause, min(at, thing[0]), last) else _mood(talk, clause, at, verb.form)
    rule = f"actions.{verb.kind.action}: {verb.word.verb}"
    return Done(min(at, thing[0]), last, verb.kind.action, mood, (thing[0], thing[1]), None, rule)


def _told(talk: Talk, clause: Clause, at: int, verb: _Verb) -> Done | None:
    """A verb that takes anybody as its object: "I told Mister Harris that it's fixed"; not "he told me"."""
    before = talk.norms[max(clause.first, at - 2) : at]
    own = set(before) & {"i", "we", "'ve"} or not set(talk.norms[clause.first : at]) - _SMALL_OPENERS
    if verb.form not in ("past", "participle") or not own or talk.norms[at + 1 : at + 2] in (("me",), ("us",)):
        return None
    last = min(clause.last, at + _TELLING)
    while talk.tokens[last - 1].kind == "mark":
        last -= 1
    told = talk.text(at + 1, last) if last > at + 1 else None
    return Done(at, last, verb.kind.action, "done", None, told, f"actions.{verb.kind.action}: {verb.word.verb}")


def _mood(talk: Talk, clause: Clause, at: int, form: str) -> Mood:
    """Whether the verb tells what was done, orders it, or neither (wishes, denials, "to pull")."""
    before = talk.norms[max(clause.first, at - 3) : at]
    if set(before) & _NOT_DONE and not (before[-1:] and before[-1] in _BE):
        return "other"
    if form in ("past", "participle"):
        return "done"
    if form == "gerund":
        return "done" if set(before) & _BE or not set(talk.norms[clause.first : at]) - _SMALL_OPENERS else "other"
    if form == "third":
        return "done"
    if set(before) & _I:
        return "done"
    same_as_past = form == "plain_or_past"
    opens = not set(talk.norms[clause.first : at]) - _SMALL_OPENERS
    if same_as_past:
        alone = talk.cues[talk.tokens[at].cue].speaker is None
        return "done" if alone or not opens else "ordered"
    return "ordered" if opens or talk.norms[at - 1] == "," else "other"


def _without_overlap(found: list[Done]) -> list[Done]:
    """In order of place; of actions that overlap a whole phrase stays, then the done one, then the longer."""
    kept: list[Done] = []
    for done in sorted(found, key=lambda d: (d.rule[:6] != "phrase", d.mood != "done", d.first - d.last, d.first)):
        if all(done.last <= other.first or other.last <= done.first for other in kept):
            kept.append(done)
    return sorted(kept, key=lambda d: d.first)
