"""Where a talk says the details of its points and the facts of its call, found from what the annotation says they are.

An annotation says "pair 7" of a point and "41907" of the order; these functions find the words that said so.
Letters are offsets in the text of one stream (half-open).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from callnotes.extract.clock import find_times
from callnotes.extract.normal import split
from callnotes.extract.numbers import find_numbers

Span = tuple[int, int]
NOUNS = {
    "pair": {"pair", "pairs"}, "row": {"row", "rows"}, "port": {"port", "ports", "position", "station"},
    "line": {"line", "lines"}, "pins": {"pin", "pins", "screw", "screws"},
}  # fmt: skip
ORDINALS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "1st": 1, "2nd": 2, "3rd": 3, "4th": 4}
_BEFORE_BLOCK = r"(?=\W+(?:\w+\W+){0,2}(?:block|punch|split|side|frame|one\b|pair))"
BLOCKS = {
    "66": re.compile(rf"\b(?:66|6 6|sixty[- ]six|six[- ]six){_BEFORE_BLOCK}", re.IGNORECASE),
    "110": re.compile(rf"\b(?:110|1 10|one[- ]ten|one hundred (?:and )?ten){_BEFORE_BLOCK}", re.IGNORECASE),
}
COLORS = {"gray": "slate", "grey": "slate", "purple": "violet"}
NEAR_NOUN = 4


class Words:
    """The tokens, numbers and times of a text, searched by letters."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens = list(split(text))
        self.norms = [norm for norm, _, _, _ in self.tokens]
        self.numbers = find_numbers(self.norms)

    def span(self, first: int, last: int) -> Span:
        return self.tokens[first][2], self.tokens[last - 1][3]

    def detail(self, key: str, value: Any, within: Span) -> list[Span]:
        """The stretches within those letters that say that detail."""
        found = BLOCKS[str(value)].finditer(self.text) if key == "block_type" and str(value) in BLOCKS else ()
        spans = [match.span() for match in found]
        if key == "color":
            spans = list(self._color(str(value)))
        elif key == "label" and not re.fullmatch(r"\d+[a-z]?", str(value).lower()):
            spans = list(self.phrase(str(value)))
        elif key != "block_type":
            spans = list(self._number(str(value)))
        return [span for span in spans if within[0] <= span[0] and span[1] <= within[1]]

    def _number(self, value: str) -> Iterator[Span]:
        digits = re.sub(r"\D", "", value)
        for number in self.numbers:
            if number.digits.lstrip("0") == digits.lstrip("0") or (digits and number.value == int(digits)):
                yield self.span(number.first, number.last)
        for at, norm in enumerate(self.norms):
            if str(ORDINALS.get(norm, "")) == value or norm == value.lower():
                yield self.span(at, at + 1)

    def _color(self, value: str) -> Iterator[Span]:
        tip, _, ring = value.partition("/")
        same = {name for name, color in COLORS.items() if color == ring} | {ring, COLORS.get(ring, ring)}
        for at, norm in enumerate(self.norms):
            if norm in same:
                beside = [i for i in (at - 1, at + 1) if 0 <= i < len(self.norms) and self.norms[i] == tip]
                first, last = min([at, *beside]), max([at, *beside])
                yield self.span(first, last + 1)

    def phrase(self, phrase: str) -> Iterator[Span]:
        """Where those words stand, whatever their case and marks."""
        wanted = re.sub(r"[^a-z0-9]", "", phrase.lower())
        for first in range(len(self.tokens)):
            if self.tokens[first][1] == "mark":
                continue
            joined = ""
            for last in range(first, min(first + 14, len(self.tokens))):
                joined += re.sub(r"[^a-z0-9]", "", self.text[self.tokens[last][2] : self.tokens[last][3]].lower())
                if joined == wanted:
                    yield self.span(first, last + 1)
                    break
                if not wanted.startswith(joined):
                    break

    def near_noun(self, key: str, span: Span) -> bool:
        """Whether a noun that numbers such places stands shortly before the span: "pair 7", "rows 13 and 14"."""
        at = next(i for i, token in enumerate(self.tokens) if token[2] >= span[0])
        return not NOUNS.get(key, set()).isdisjoint(self.norms[max(0, at - NEAR_NOUN) : at])

    def code(self, code: str, size: int = 3) -> list[Span]:
        """Where the digits of a code are said, in one number or in several one after another."""
        digits = re.sub(r"\D", "", code)
        spans = []
        for start, number in enumerate(self.numbers):
            joined, end = "", number.first
            for other in self.numbers[start : start + 12]:
                if other.first - end > 1 or len(joined) >= len(digits):
                    break
                joined, end = joined + other.digits, other.last
            if len(digits) >= size and joined == digits:
                spans.append(self.span(number.first, end))
        return spans

    def times(self, clock: str) -> list[Span]:
        """Where that time of day is said, whichever half of the day."""
        hours, minutes = (int(part) for part in clock.split(":"))
        wanted = (hours * 60 + minutes) % 720
        return [
            self.span(time.first, time.last)
            for time in find_times(self.norms, self.numbers)
            if time.minutes % 720 == wanted
        ]


OPENING, ENDING = 0.35, 0.6


def facts_of(words: Words, call: dict[str, Any]) -> list[tuple[int, int, str]]:
    """Where the facts of a call are said, as (first letter, behind the last, which fact)."""
    opening, ending = int(len(words.text) * OPENING), int(len(words.text) * ENDING)
    found: list[tuple[int, int, str]] = []

    def add(name: str, spans: list[Span]) -> None:
        found.extend((a, b, name) for a, b in spans)

    if call.get("work_order"):
        add("work_order", [span for span in words.code(str(call["work_order"])) if span[0] < opening])
    for name in ("site", "contact", "technician"):
        for value in _several(call.get(name) or call.get(name + "s")):
            parts = [value, value.split(",")[0], " ".join(value.split()[:2])]
            spans = next((spans for part in parts if len(part) > 2 and (spans := list(words.phrase(part)))), [])
            add(name, spans[:1] if name == "site" else spans)
    for value in _several(call.get("line_numbers")):
        add("line_number", [*words.code(value[-8:], 7), *words.code(value[-4:], 4)][:2])
    if call.get("arrived"):
        add("arrived", [span for span in words.times(call["arrived"]) if span[0] < opening][:1])
    if call.get("departed"):
        add("departed", [span for span in words.times(call["departed"]) if span[0] > ending][-1:])
    for ticket in call.get("tickets") or ():
        add("ticket", words.code(str(ticket.get("number") or "")))
    for material in call.get("materials") or ():
        add("material", [span for span in _material(words, material) if span[0] > ending][-1:])
    return found


def _several(value: Any) -> list[str]:
    return [] if not value else [str(one) for one in (value if isinstance(value, list) else [value])]


def _material(words: Words, material: dict[str, Any]) -> Iterator[Span]:
    """The item with the amount before it, by the last word of its name, singular or plural."""
    head = re.sub(r"[^a-z ]", "", str(material["item"]).lower().split(",")[0]).split()
    for at, norm in enumerate(words.norms):
        if head and norm.rstrip("s") == head[-1].rstrip("s"):
            first = at
            while first and words.norms[first - 1] in head:
                first -= 1
            near = [n for n in words.numbers if first - 5 <= n.first < first and n.value == material.get("quantity")]
            yield words.span(near[0].first if near else first, at + 1)
