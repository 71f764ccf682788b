"""The table of the sums that ``callnotes calc`` offers: ``data/sums.toml``, checked, with the units beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pydantic import field_validator

from callnotes.errors import DataError
from callnotes.records import Basis
from callnotes.resources import DATA
from callnotes.trade.tables import Entry, entries_of, read_csv, read_toml
from callnotes.trade.words import Unit

InputKind = Literal["measure", "number", "word", "section", "flag"]


class Input(Entry):
    """One thing that a sum is given, in the order in which it is said, or after ``--name`` where ``option``.

    ``units``: what a measure may be in; it is brought to the first of them of its dimension, and any unit goes where
    there are none; ``plain`` also takes a number without a unit. ``drop``: words after a plain number that may be said
    and mean nothing more (``AWG``). ``choices``: the words allowed. ``rest``: a word that takes all words up to the
    next option. ``default`` is read as if it had been said; without one an option may be missing, unless ``needed``.
    """

    name: str
    says: str
    kind: InputKind = "measure"
    option: bool = False
    units: tuple[str, ...] = ()
    drop: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    plain: bool = False
    rest: bool = False
    many: bool = False
    default: str | None = None
    needed: bool = False


class Source(Entry):
    """Where a figure or a formula comes from, and how sure it is."""

    name: str
    basis: Basis


class Example(Entry):
    """What may be asked, and the first line of the answer."""

    ask: str
    answer: str


class Refusal(Entry):
    """Words after ``--with`` that tell of a pair on which the sum would give nonsense, and why."""

    when: tuple[str, ...]
    why: str


class Sum(Entry):
    """One sum: its name on the command line, what it is in plain words, formula, sources, and what it is worth."""

    name: str
    title: str
    group: str
    inputs: tuple[Input, ...] = ()
    formula: str
    sources: tuple[Source, ...]
    examples: tuple[Example, ...]
    worth: str | None = None
    care: str | None = None
    refused: tuple[Refusal, ...] = ()

    @field_validator("examples", "sources")
    @classmethod
    def _some(cls, value: tuple[Entry, ...]) -> tuple[Entry, ...]:
        if not value:
            raise ValueError("at least one is needed")
        return value

    def option(self, name: str) -> Input | None:
        """The input after ``--name``, or None."""
        return next((one for one in self.inputs if one.option and one.name == name), None)

    @property
    def places(self) -> tuple[Input, ...]:
        """The inputs that are told by their order."""
        return tuple(one for one in self.inputs if not one.option)


@dataclass(frozen=True)
class Sums:
    """All sums in the order of the table, the units they are said in, and short forms that only they take."""

    sums: tuple[Sum, ...]
    units: tuple[Unit, ...]
    short_units: dict[str, str]

    def named(self, name: str) -> Sum | None:
        """The sum of that name, or None."""
        return next((one for one in self.sums if one.name == name), None)

    def symbol(self, symbol: str) -> Unit:
        """The unit of a symbol that the table of sums names; ``DataError`` where the table of units lacks it."""
        found = next((unit for unit in self.units if unit.symbol == symbol), None)
        if found is None:
            raise DataError(f"no unit {symbol!r} in units.csv", where="sums.toml", hint="mend one of the two")
        return found

    def unit(self, said: str) -> Unit | None:
        """The unit of a symbol or a spoken form: the exact symbol first, so that mW is no MW; else None."""
        said = said.replace("μ", "µ")
        said = self.short_units.get(said, said)
        exact = (unit for unit in self.units if said in (unit.symbol, unit.shown))
        spoken = (unit for unit in self.units if said.lower() in (unit.symbol.lower(), *unit.said))
        return next(exact, None) or next(spoken, None)


def load_sums() -> Sums:
    """The shipped table; ``DataError`` names the entry and the key that do not hold."""
    path = DATA / "sums.toml"
    tree = read_toml(path)
    sums = entries_of(tree.get("sum", []), Sum, path)
    return Sums(sums, read_csv(DATA / "units.csv", Unit), tree.get("short_units", {}))
