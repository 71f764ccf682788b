"""What a sum was given: words of the command line become measures in the sum's own units.

A number and its unit may be one word or several ("312ohm", "312 ohm", "0.3 kilo ohm"). Every complaint is one line
that says what was not understood and what would be.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from callnotes.calc import figures
from callnotes.calc.copper import Section
from callnotes.errors import InputError
from callnotes.trade.sums import Input, Sum, Sums
from callnotes.trade.words import Unit

_NUMBER = re.compile(r"([+-]?(?:\d{1,3}(?:,\d{3})+|\d+)?(?:\.\d*)?(?:e[+-]?\d+)?)(.*)", re.IGNORECASE)
_UNIT_WORDS = 3
_GAUGE_WORDS = ("awg", "ga", "gauge")


@dataclass(frozen=True, slots=True)
class Measure:
    """A number and the symbol of its unit, empty for a plain number."""

    value: float
    unit: str


Value = Measure | str | Section | bool


@dataclass(frozen=True)
class Given:
    """What was given, by the name of the input; the functions of the sums ask it by name."""

    values: dict[str, list[Value]] = field(default_factory=dict)

    def has(self, name: str) -> bool:
        """Whether it was given or has a default."""
        return bool(self.values.get(name))

    def measures(self, name: str) -> list[Measure]:
        """Every measure given under that name."""
        return [value for value in self.values.get(name, []) if isinstance(value, Measure)]

    def measure(self, name: str) -> Measure:
        """The one measure of that name."""
        return self.measures(name)[0]

    def number(self, name: str) -> float:
        """The value of the one measure of that name, in the first unit of its input."""
        return self.measure(name).value

    def maybe(self, name: str) -> float | None:
        """The same, or None where it was not given."""
        return self.number(name) if self.has(name) else None

    def count(self, name: str) -> int:
        """A plain number that must be whole; ``ValueError`` if it is not."""
        return whole(self.number(name), name)

    def words(self, name: str) -> list[str]:
        """Every word given under that name."""
        return [value for value in self.values.get(name, []) if isinstance(value, str)]

    def word(self, name: str) -> str:
        """The one word of that name."""
        return self.words(name)[0]

    def sections(self, name: str = "section") -> list[Section]:
        """Every stretch of cable given."""
        return [value for value in self.values.get(name, []) if isinstance(value, Section)]

    def celsius(self, name: str = "temperature") -> float | None:
        """A temperature in degC from either scale, or None where it was not given."""
        if not self.has(name):
            return None
        found = self.measure(name)
        return figures.celsius(found.value) if found.unit == "degF" else figures.cable_temperature(found.value)


def whole(value: float, name: str) -> int:
    """The value as an int; ``ValueError`` with its name where it is no whole number."""
    if value != int(figures.finite(value, name)):
        raise ValueError(f"the {name} must be a whole number, not {value:g}")
    return int(value)


def read_given(asked: Sum, words: Sequence[str], sums: Sums) -> Given:
    """The words after the sum's name, read by its inputs; ``InputError`` where they cannot be."""
    return _Reader(asked, list(words), sums).read()


class _Reader:
    """Goes through the words once, from left to right."""

    def __init__(self, asked: Sum, words: list[str], sums: Sums) -> None:
        self.asked, self.words, self.sums = asked, words, sums
        self.values: dict[str, list[Value]] = {}

    def read(self) -> Given:
        waiting = list(self.asked.places)
        while self.words:
            if self.words[0].startswith("--"):
                self._option()
                continue
            if not waiting:
                raise self._wrong(f"{self.words[0]!r} is one too many")
            self._take(waiting[0])
            if not waiting[0].many:
                waiting.pop(0)
        for one in self.asked.inputs:
            if not self.values.get(one.name):
                self._without(one)
        return Given(self.values)

    def _option(self) -> None:
        name, _, glued = self.words.pop(0).removeprefix("--").partition("=")
        found = self.asked.option(name)
        if found is None:
            names = [one.name for one in self.asked.inputs if one.option]
            near = difflib.get_close_matches(name, names, 1)
            there = f"there are {_listed([f'--{each}' for each in names])}" if names else "it takes none"
            raise self._wrong(f"no option --{name}", f"perhaps --{near[0]}" if near else there)
        if glued:
            self.words.insert(0, glued)
        if not found.many and self.values.get(name):
            raise self._wrong(f"--{name} was given twice")
        if found.kind == "flag":
            self.values[name] = [True]
        elif not self.words or self.words[0].startswith("--"):
            raise self._wrong(f"--{name} says nothing", found.says)
        else:
            self._take(found)

    def _without(self, one: Input) -> None:
        if one.default is not None:
            self.words = one.default.split()
            while self.words:
                self._take(one)
        elif one.needed:
            missing = f"--{one.name} is missing" if one.option else f"the {one.name} is missing"
            raise self._wrong(f"{missing} ({one.says})")

    def _take(self, one: Input) -> None:
        take: dict[str, Callable[[Input], Value]] = {
            "measure": self._measure,
            "number": self._plain,
            "word": self._word,
            "section": self._section,
        }
        self.values.setdefault(one.name, []).append(take[one.kind](one))

    def _word(self, one: Input) -> str:
        said = [self.words.pop(0)]
        while one.rest and self.words and not self.words[0].startswith("--"):
            said.append(self.words.pop(0))
        word = " ".join(said)
        if not one.choices:
            return word
        chosen = [choice for choice in one.choices if _folded(choice) == _folded(word)]
        chosen = chosen or [choice for choice in one.choices if _folded(choice).startswith(_folded(word))]
        if len(chosen) != 1:
            raise self._wrong(f"{word!r} is no {one.name} here", f"there are {_listed(one.choices)}")
        return chosen[0]

    def _plain(self, one: Input) -> Measure:
        value, unit = self._number(one)
        if unit.lower() not in ("", *map(str.lower, one.drop)):
            raise self._wrong(f"the {one.name} is a plain number ({one.says}), not {value:g} {unit}")
        if self.words and self.words[0].lower() in map(str.lower, one.drop):
            self.words.pop(0)
        return Measure(value, "")

    def _section(self, one: Input) -> Section:
        self.words[:1] = self.words[0].split(":", 1)
        gauge = self._plain(one.model_copy(update={"drop": _GAUGE_WORDS}))
        if not self.words or self.words[0].startswith("--"):
            raise self._wrong("a section is a gauge and a length", "e.g. --section 26 6000ft")
        feet = self._measure(one)
        return Section(whole(gauge.value, "gauge of a section"), feet.value)

    def _measure(self, one: Input) -> Measure:
        value, said = self._number(one)
        unit = self.sums.unit(said) if said else self._unit_ahead()
        if unit is None and one.plain and not said:
            return Measure(value, "")
        if unit is None and one.option and one.default and not said:
            return Measure(value, one.units[0])
        if unit is None:
            what = f"{said!r} is no unit here:" if said else f"{value:g} of what?"
            raise self._wrong(f"{what} say it with its unit" + (f", {_listed(one.units)}" if one.units else ""))
        if not one.units:
            return Measure(value, unit.symbol)
        for symbol in one.units:
            brought = unit.to(self.sums.symbol(symbol), value)
            if brought is not None:
                return Measure(brought, symbol)
        raise self._wrong(f"{value:g} {unit.symbol} does not fit the {one.name}", f"give it in {_listed(one.units)}")

    def _unit_ahead(self) -> Unit | None:
        """The unit that the next words name, the longest form first; the words are taken off."""
        for count in range(min(_UNIT_WORDS, len(self.words)), 0, -1):
            unit = self.sums.unit(" ".join(self.words[:count]))
            if unit is not None:
                del self.words[:count]
                return unit
        return None

    def _number(self, one: Input) -> tuple[float, str]:
        word = self.words.pop(0)
        found = _NUMBER.fullmatch(word.replace("−", "-"))
        try:
            value = float(found[1].replace(",", "")) if found else None
        except ValueError:
            value = None
        if found is None or value is None:
            raise self._wrong(f"{word!r} is no number", f"the {one.name} is {one.says}")
        return value, found[2].strip()

    def _wrong(self, what: str, hint: str | None = None) -> InputError:
        example = f"e.g. callnotes calc {self.asked.examples[0].ask}"
        return InputError(what, where=f"calc {self.asked.name}", hint=f"{hint}; {example}" if hint else example)


def _folded(text: str) -> str:
    return re.sub(r"[^a-z0-9]", "", text.lower())


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
