"""Materials used, as counted or measured in the sentence that names them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from callnotes.extract.matching import Hit
from callnotes.extract.normal import Talk
from callnotes.extract.numbers import Number, find_numbers
from callnotes.records import Material

_ENDS = {
    "and", ",", ".", "!", "?", "off", "from", "out", "is", "was", "that", "for", "on", "in", "to", "i", "we", "but",
    "no", "with", "only", "at", "so", "he", "she", "it", "they", "a", "an", "up", "because", "today", "of",
    "past", "till",
}  # fmt: skip
_ARTICLES = {"a": 1.0, "an": 1.0, "one": 1.0}
NUMBERED_NAMES = {"category", "cat", "type", "class", "size", "number"}
_LENGTHS = {"feet": "ft", "foot": "ft", "ft": "ft", "meters": "m", "meter": "m", "yards": "yd"}
_NOT_GOODS = {
    "hour",
    "hours",
    "minute",
    "minutes",
    "dollar",
    "dollars",
    "trip",
    "trips",
    "man",
    "people",
    "o'clock",
    "time",
    "thing",
    "more",
    "lot",
}


def find_materials(
    talk: Talk, numbers: Sequence[Number], cues: Mapping[str, list[Hit[Any]]], told: Sequence[tuple[int, int]] = ()
) -> tuple[Material, ...]:
    """The goods used, with count or length; a struck item is left out.

    Those in the stretches ``told`` (half-open tokens) where the listener hears goods, else those of each sentence
    that speaks of material.
    """
    by_start = {number.first: number for number in numbers}
    found: list[Material] = []
    for first, last in told:
        found += [material for material in _goods(talk, _before(talk, first), last, by_start) if material not in found]
    if found:
        return tuple(found)
    for hit in cues["materials"]:
        first, last = _sentence(talk, hit.first)
        for material in _goods(talk, first, last, by_start):
            if material not in found:
                found.append(material)
    return tuple(found)


def _before(talk: Talk, first: int) -> int:
    """One token back where an article or a number stands there: "a" jack."""
    return first - 1 if first and talk.norms[first - 1] in _ARTICLES else first


def _sentence(talk: Talk, at: int) -> tuple[int, int]:
    """The tokens of the cue that holds the token."""
    cue = talk.tokens[at].cue
    first = last = at
    while first > 0 and talk.tokens[first - 1].cue == cue:
        first -= 1
    while last < len(talk.tokens) and talk.tokens[last].cue == cue:
        last += 1
    return first, last


def _goods(talk: Talk, first: int, last: int, by_start: dict[int, Number]) -> list[Material]:
    goods: list[Material] = []
    at = first
    while at < last:
        number = by_start.get(at)
        if number is None and talk.norms[at] not in _ARTICLES:
            at += 1
            continue
        quantity = number.value if number else _ARTICLES[talk.norms[at]]
        behind = number.last if number else at + 1
        material, at = _one(talk, behind, last, quantity)
        if material and talk.norms[first:at].count("no") and goods and talk.norms[behind - 2 : behind - 1] == ("no",):
            goods.pop()
        if material:
            goods.append(material)
    return goods


def _one(talk: Talk, at: int, last: int, quantity: float) -> tuple[Material | None, int]:
    unit = None
    if at < last and talk.norms[at] in _LENGTHS:
        unit, at = _LENGTHS[talk.norms[at]], at + 1
        if at < last and talk.norms[at] == "of":
            at += 1
    start = at
    while at < last and talk.norms[at] not in _ENDS and at - start < 4 and _in_name(talk, at, start):
        at += 1
    words = talk.norms[start:at]
    if not words or _NOT_GOODS & set(words):
        return None, max(at, start + 1)
    return Material(item=_singular(" ".join(words), quantity), quantity=quantity, unit=unit), at


def _in_name(talk: Talk, at: int, start: int) -> bool:
    """Whether a word belongs to the name of a thing; a number does behind "category" and the like."""
    number = bool(find_numbers(talk.norms[at : at + 1]))
    return not number or (at > start and talk.norms[at - 1] in NUMBERED_NAMES)


def _singular(item: str, quantity: float) -> str:
    return item[:-1] if quantity > 1 and item.endswith("s") and not item.endswith("ss") else item
