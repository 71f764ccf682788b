"""The facts of the call as said: order, site, contact, technician, numbers, times, materials, tickets."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from itertools import islice

from callnotes.extract.clock import TimeOfDay, clock, find_times
from callnotes.extract.findings import Findings
from callnotes.extract.heard_facts import HeardFacts, fuller
from callnotes.extract.hearing import Hearing
from callnotes.extract.matching import Phrases, doc_of
from callnotes.extract.materials import find_materials
from callnotes.extract.names import NameFinder
from callnotes.extract.normal import Talk
from callnotes.extract.numbers import Number, find_numbers
from callnotes.records import Call, OnTest, Ticket
from callnotes.trade import Trade

_TELEPHONE = re.compile(r"(?:\(?\b(\d{3})\)?[-. ]{1,2})?\b(\d{3})[-. ](\d{4})\b")
# Area codes and exchange codes begin with 2 to 9 (North American Numbering Plan, NXX-NXX-XXXX).
_SPOKEN = re.compile(r"(?:[2-9]\d{2})?[2-9]\d{6}")
_BEFORE_CODE = {"is", "'s", "number", "it", ",", ":", "the"}
_BEFORE_TICKET, _TICKET_REACH = {"is", "'s", "number"}, 10
_OPENING, _ENDING = 0.3, 0.8
# A telephone number is said in no more words than this.
_LONGEST_RUN = 60
# A time heard this surely stands against one that only a cue word speaks for.
_SURELY = 0.8


def find_call_facts(talk: Talk, found: Findings, trade: Trade, hearing: Hearing | None = None) -> Call:
    """What was said of the call itself; every field that was not said stays empty."""
    if not talk.tokens:
        return Call()
    return _Facts(talk, found, trade, HeardFacts(hearing, talk)).call()


class _Facts:
    def __init__(self, talk: Talk, found: Findings, trade: Trade, heard: HeardFacts) -> None:
        self.talk, self.found, self.heard = talk, found, heard
        self.words = {name: words for (table, name), words in trade.words.items() if table == "call_cue"}
        doc = doc_of(talk)
        self.cues = {name: Phrases((word, name) for word in words).find(doc) for name, words in self.words.items()}
        self.numbers = find_numbers(talk.norms)
        self.times = find_times(talk.norms, self.numbers)
        self.opening = int(len(talk.tokens) * _OPENING)
        self.ending = int(len(talk.tokens) * _ENDING)
        self.clause_starts = [clause.first for clause in found.clauses]
        self.inferred: list[str] = []

    def call(self) -> Call:
        placed = {i for place in self.found.places for i in range(place.first, place.last)}
        names = NameFinder(self.talk, self.words, self.cues, self.numbers, self.times, self.opening, placed)
        technician = fuller(self.heard.name("technician"), names.technician())
        arrived = self._arrived()
        departed = self._departed(arrived)
        told = [(first, last) for first, last, _ in sorted(self.heard.runs("material")) if first >= self.opening]
        materials = find_materials(self.talk, self.numbers, self.cues, told)
        return Call(
            work_order=self._order(),
            site=fuller(self.heard.name("site", technician), names.site()),
            contact=fuller(self.heard.name("contact", technician), names.contact()),
            technicians=(technician,) if technician else (),
            line_numbers=self._line_numbers(),
            arrived=clock(arrived) if arrived is not None else None,
            departed=clock(departed) if departed is not None else None,
            date=self._date(),
            materials=materials,
            no_materials=bool(self.cues["none_used"]) and not materials,
            return_visit=self._return_visit(),
            tickets=self._tickets(),
            on_test=self._on_test(),
            inferred=tuple(self.inferred),
        )

    # --- numbers

    def _order(self) -> str | None:
        for hit in self.cues["order"]:
            if hit.first < self.opening and (code := self._code_behind(hit.last)):
                return code
        heard = (self._code_behind(first) for first, _, _ in self.heard.runs("work_order") if first < self.opening)
        return next((code for code in heard if code), None)

    def _code_behind(self, at: int) -> str | None:
        """A code of three digits or more, right behind a token, with a letter before it if one was said."""
        prefix = ""
        while at < len(self.talk.norms) and (self.talk.norms[at] in _BEFORE_CODE or self._letter(at)):
            if self._letter(at):
                prefix += self.talk.norms[at].upper()
            at += 1
        digits = ""
        for number in self.numbers:
            if number.first == at and number.value == int(number.value):
                digits, at = digits + number.digits, number.last
                if (
                    at < len(self.talk.norms)
                    and self.talk.norms[at] == ","
                    and any(n.first == at + 1 for n in self.numbers)
                ):
                    at += 1
        if at < len(self.talk.norms) and not digits and self.talk.tokens[at].kind == "code":
            return self.talk.norms[at].upper()
        return prefix + digits if len(digits) >= 3 else None

    def _letter(self, at: int) -> bool:
        return len(self.talk.norms[at]) == 1 and self.talk.norms[at].isalpha()

    def _line_numbers(self) -> tuple[str, ...]:
        """Telephone numbers of the opening, less those that were only called or belong to somebody else.

        With none there, those that are said later to be the line's own.
        """
        found: list[str] = []
        for number, clause_words, first in self._telephone_numbers():
            if first < self.opening and not self._elsewhere(clause_words) and number not in found:
                found.append(number)
        return tuple(found) or self._heard_lines() or self._own_numbers()

    def _elsewhere(self, clause_words: str) -> bool:
        """Whether a clause speaks of somebody else's telephone: a cell, the shop."""
        return any(f" {word} " in f" {clause_words} " for word in self.words["elsewhere"])

    def _own_numbers(self) -> tuple[str, ...]:
        """Telephone numbers in a sentence that says whose they are: "the gate's own number, ..."."""
        said = {self._sentence_of(hit.first) for hit in self.cues["own_number"]}
        told = [number for number, _, first in self._telephone_numbers() if self._sentence_of(first) in said]
        return tuple(dict.fromkeys(told))

    def _heard_lines(self) -> tuple[str, ...]:
        """The numbers that the listener hears as those of the lines, in the order of speech."""
        runs = self.heard.tokens("line_number")
        told = [
            number
            for number, words, first in self._telephone_numbers()
            if not runs.isdisjoint(range(first, first + 24)) and not self._elsewhere(words)
        ]
        return tuple(dict.fromkeys(told)) if runs else ()

    def _telephone_numbers(self) -> Iterator[tuple[str, str, int]]:
        for clause in self.found.clauses:
            words = " ".join(self.talk.norms[clause.first : clause.last])
            text = self.talk.text(clause.first, clause.last)
            for match in _TELEPHONE.finditer(text):
                yield "-".join(part for part in match.groups() if part), words, clause.first
            if not _TELEPHONE.search(text):
                yield from ((number, words, clause.first) for number in self._spoken(clause.first, clause.last))

    def _spoken(self, first: int, last: int) -> Iterator[str]:
        """Seven or ten digits said one by one, commas between groups allowed."""
        digits, end = "", -1
        inside = [number for number in self._numbers_from(first) if number.first < last]
        for number in [*inside, Number(len(self.talk.norms) + 9, 0, 0, "")]:
            joined = digits and set(self.talk.norms[end : number.first]) <= {","} and number.first - end <= 1
            if not joined:
                if _SPOKEN.fullmatch(digits) and not self._is_code(end):
                    yield "-".join(part for part in (digits[:-7], digits[-7:-4], digits[-4:]) if part)
                digits = ""
            if number.value == int(number.value):
                digits, end = digits + number.digits, number.last

    def _numbers_from(self, first: int) -> Iterator[Number]:
        """The numbers from a token on, in order."""
        at = bisect_left(self.numbers, first, key=lambda number: number.first)
        return islice(self.numbers, at, at + _LONGEST_RUN)

    def _is_code(self, last: int) -> bool:
        """Whether the digits that end there are those of an order or a ticket."""
        cues = [*self.cues["order"], *self.cues["ticket"]]
        return any(
            hit.last < last <= hit.last + 14 and self._sentence_of(hit.first) == self._sentence_of(last - 1)
            for hit in cues
        )

    # --- times

    def _arrived(self) -> int | None:
        times = [t for t in self.times if t.first < self.opening and self._is_clock(t)]
        cued = [t for t in times if self._cued("arrived", t)]
        surely, perhaps = self._heard_as("arrived", 0, self.opening)
        time = surely or next(iter(cued), None) or perhaps or next((t for t in times if not t.loose), None)
        if time is None:
            return None
        if not time.half_known:
            self.inferred.append("arrived")
        return time.near(None)

    def _departed(self, arrived: int | None) -> int | None:
        times = [t for t in self.times if t.first >= self.ending and self._is_clock(t)]
        cued = [t for t in times if self._cued("departed", t)]
        surely, perhaps = self._heard_as("departed", self.opening, len(self.talk.tokens))
        time = surely or (cued[-1] if cued else None) or perhaps
        if time is None:
            return None
        if not time.half_known:
            self.inferred.append("departed")
        return time.near(arrived)

    def _heard_as(self, name: str, first: int, last: int) -> tuple[TimeOfDay | None, TimeOfDay | None]:
        """The time among those tokens that is heard as when the technician came or went: surely so, or perhaps."""
        for start, end, likely in self.heard.runs(name):
            time = next((t for t in self.times if first <= t.first < last and t.first < end and start < t.last), None)
            if time:
                return (time, None) if likely > _SURELY else (None, time)
        return None, None

    def _cued(self, name: str, time: TimeOfDay) -> bool:
        sentence = self._sentence_of(time.first)
        return any(self._sentence_of(hit.first) == sentence for hit in self.cues[name])

    def _is_clock(self, time: TimeOfDay) -> bool:
        """Not a part of another number, a code or a telephone number."""
        orders = [h.last for h in self.cues["order"]]
        return not any(0 <= time.first - at <= 2 for at in orders)

    def _sentence_of(self, token: int) -> int:
        at = bisect_right(self.clause_starts, token) - 1
        return self.found.clauses[at].sentence if at >= 0 else -1

    def _on_test(self) -> OnTest | None:
        for hit in self.cues["on_test"]:
            time = next((t for t in self.times if hit.last <= t.first <= hit.last + 2), None)
            if time:
                return OnTest(until=clock(time.near(self._arrived())))
            number = next((n for n in self.numbers if hit.last <= n.first <= hit.last + 1 and 1 <= n.value <= 12), None)
            if number:
                return OnTest(until=clock(TimeOfDay(0, 0, int(number.value) * 60, False).near(self._arrived())))
        return None

    def _date(self) -> str | None:
        months = set(self.words["months"])
        for at, norm in enumerate(self.talk.norms[: self.opening]):
            if norm not in months:
                continue
            day = next((n for n in self.numbers if n.first == at + 1 or n.last in (at, at - 1)), None)
            named = self.talk.text(at, at + 1)[0].isupper() or (day is not None and self.talk.norms[at - 1] == "of")
            if norm in ("may", "march") and not named:
                continue
            if day and 1 <= day.value <= 31:
                return f"{norm.capitalize()} {int(day.value)}"
        return None

    # --- what was agreed

    def _return_visit(self) -> bool | None:
        if self.cues["return_no"]:
            return False
        late = [hit for hit in self.cues["return_yes"] if hit.first >= self.opening]
        return True if late else None

    def _tickets(self) -> tuple[Ticket, ...]:
        tickets: list[Ticket] = []
        for hit in self.cues["ticket"]:
            number = self._ticket_number(hit.last) if hit.first >= self.opening else None
            if number and all(t.number != number for t in tickets):
                sentence = self._sentence_of(hit.first)
                tickets.append(Ticket(number=number, owner=self._owner(sentence), promised=self._promised(sentence)))
        return tuple(tickets)

    def _ticket_number(self, at: int) -> str | None:
        """The code right behind "ticket", or behind an "is" of the same sentence: "a ticket for them, it is 12"."""
        sentence, end = self._sentence_of(at - 1), min(at + _TICKET_REACH, len(self.talk.norms))
        behind = [
            i + 1 for i in range(at, end) if self.talk.norms[i] in _BEFORE_TICKET and self._sentence_of(i) == sentence
        ]
        return next((code for first in (at, *behind) if (code := self._code_behind(first))), None)

    def _owner(self, sentence: int) -> str | None:
        near = range(sentence - 2, sentence + 1)
        for name, owner in (("alarm_owner", "alarm company"), ("provider", "provider")):
            if any(self._sentence_of(hit.first) in near for hit in self.cues[name]):
                return owner
        return None

    def _promised(self, sentence: int) -> str | None:
        near = range(sentence, sentence + 3)
        hit = next((h for h in self.cues["promised"] if self._sentence_of(h.first) in near), None)
        if hit is None:
            return None
        clause = next(c for c in self.found.clauses if c.first <= hit.first < c.last)
        return self.talk.text(hit.first, clause.last).strip(" ,.")
