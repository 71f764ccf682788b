"""Numbers with units, and ranges and bounds of them: what was measured, before it is known of what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from callnotes.extract.matching import Hit
from callnotes.extract.normal import Talk, norms
from callnotes.extract.numbers import Number
from callnotes.trade import Trade
from callnotes.trade.words import Unit

_SIGNS = {"over": ">", "under": "<"}
_SMALL = {"of", "a", "about", "an"}


@dataclass(frozen=True, slots=True)
class Measure:
    """A number, its unit if one was said, and what was said of its bounds.

    ``struck``: taken back at once. ``way``: "down" or "up" said right behind it.
    """

    first: int
    last: int
    value: float
    unit: Unit | None
    number: Number
    bound: str | None = None
    span: tuple[float, float] | None = None
    struck: bool = False
    way: str | None = None


def find_measures(
    talk: Talk, numbers: Sequence[Number], units: Sequence[Hit[Unit]], blocked: set[int], trade: Trade
) -> list[Measure]:
    """Every number outside ``blocked`` tokens (rows, ports, telephone numbers), with its unit where one follows."""
    by_start = {hit.first: hit for hit in units} | _inside_numbers(talk, numbers, units, trade)
    bounds = [(norms(p), sign) for name, sign in _SIGNS.items() for p in trade.words["measure_words", name]]
    measures = []
    for number in numbers:
        if number.first in blocked:
            continue
        unit = _unit_behind(talk, number, by_start)
        last = unit.last if unit else number.last
        measure = Measure(number.first, last, number.value, unit.entry if unit else None, number)
        measures.append(replace(measure, bound=_bound_before(talk, number.first, bounds), way=_way_behind(talk, last)))
    measures += _lone_gigabits(talk, measures, units)
    measures.sort(key=lambda measure: measure.first)
    return _with_corrections(talk, _with_ranges(talk, _with_fractions(talk, measures)), retracting(trade))


def retracting(trade: Trade) -> list[tuple[str, ...]]:
    """The phrases that take back what was just said."""
    return [norms(phrase) for phrase in trade.words["measure_words", "retracted"]]


def _inside_numbers(
    talk: Talk, numbers: Sequence[Number], units: Sequence[Hit[Unit]], trade: Trade
) -> dict[int, Hit[Unit]]:
    """ "eighteen thousand ohms": the thousand is the number's, so the unit is what is left of "thousand ohms"."""
    said = {norms(word): unit for unit in trade.units for word in unit.said}
    starts = {i: number.last for number in numbers for i in range(number.first + 1, number.last)}
    found = {}
    for hit in units:
        last = starts.get(hit.first)
        unit = said.get(tuple(talk.norms[last : hit.last])) if last is not None else None
        if last is not None and unit:
            found[last] = Hit(last, hit.last, unit)
    return found


def _unit_behind(talk: Talk, number: Number, by_start: dict[int, Hit[Unit]]) -> Hit[Unit] | None:
    at = number.last
    hit = by_start.get(at)
    if hit is None and at < len(talk.norms) and talk.norms[at] in _SMALL:
        at += 1
        hit = by_start.get(at)
        if hit is None and at < len(talk.norms) and talk.norms[at] in _SMALL:
            hit = by_start.get(at + 1)
    return hit


def _way_behind(talk: Talk, at: int) -> str | None:
    word = talk.norms[at] if at < len(talk.norms) else ""
    return {"down": "down", "up": "up", "downstream": "down", "upstream": "up"}.get(word)


def _lone_gigabits(talk: Talk, measures: list[Measure], units: Sequence[Hit[Unit]]) -> list[Measure]:
    """ "a gig", "gig link": one gigabit a second without the number said."""
    taken = {i for measure in measures for i in range(measure.first, measure.last)}
    found = []
    for hit in units:
        if hit.entry.symbol != "Gb/s" or hit.first in taken:
            continue
        before, behind = talk.norms[hit.first - 1 : hit.first], talk.norms[hit.last : hit.last + 1]
        if set(before) & {"a", "full", "at"} or set(behind) & {"link", "full"}:
            first = hit.first - 1 if before == ("a",) else hit.first
            found.append(Measure(first, hit.last, 1.0, hit.entry, Number(first, hit.last, 1.0, "1")))
    return found


def _with_fractions(talk: Talk, measures: list[Measure]) -> list[Measure]:
    """ "three meg and a half" adds its half behind the unit."""
    made = []
    for measure in measures:
        tail = talk.norms[measure.last : measure.last + 3]
        if measure.unit and tail == ("and", "a", "half"):
            measure = replace(measure, value=measure.value + 0.5, last=measure.last + 3)
        made.append(measure)
    return made


def _bound_before(talk: Talk, at: int, bounds: Sequence[tuple[tuple[str, ...], str]]) -> str | None:
    for words, sign in bounds:
        if talk.norms[max(0, at - len(words)) : at] == words:
            return sign
    return None


def _with_ranges(talk: Talk, measures: list[Measure]) -> list[Measure]:
    """ "between 48 and 50 volts" and "15 to 17": one measure with the middle as its value."""
    made: list[Measure] = []
    for measure in measures:
        before = made[-1] if made else None
        if before and before.span is None and not before.struck and _is_range(talk, before, measure):
            unit = measure.unit or before.unit
            low, high = sorted((before.value, measure.value))
            made[-1] = replace(
                measure,
                first=before.first,
                value=round((low + high) / 2, 6),
                unit=unit,
                span=(low, high),
                number=before.number,
            )
        else:
            made.append(measure)
    return made


def _is_range(talk: Talk, one: Measure, two: Measure) -> bool:
    gap = talk.norms[one.last : two.first]
    if two.first - one.last > 2 or (one.unit and two.unit and one.unit.dimension != two.unit.dimension):
        return False
    opener = talk.norms[max(0, one.first - 3) : one.first]
    if gap == ("and",) or (gap[-1:] == ("and",) and one.unit):
        return "between" in opener
    return gap == ("to",) and (two.unit is not None) and two.value > one.value and one.value > 0


def _with_corrections(talk: Talk, measures: list[Measure], words: list[tuple[str, ...]]) -> list[Measure]:
    """Marks a number that is taken back in flight: "forty, no, four hundred K"."""
    made = list(measures)
    for i, (one, two) in enumerate(pairwise(measures)):
        alike = one.unit is None or two.unit is None or one.unit.dimension == two.unit.dimension
        if alike and two.first - one.last <= 9 and retracted(talk.norms[one.last : two.first], words):
            made[i] = replace(one, struck=True)
    return made


def retracted(gap: tuple[str, ...], words: list[tuple[str, ...]]) -> bool:
    """Whether the words between two numbers take the first back, and start to do so at once."""
    if not gap or not (gap[0] in (",", "...") or any(gap[: len(w)] == w for w in words)):
        return False
    return any(gap[i : i + len(w)] == w for w in words for i in range(len(gap)))
