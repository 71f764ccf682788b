"""The shapes of the tables about words: how things are named, said and shown.

One class an entry of ``data/units.csv``, ``quantities.toml``, ``points.toml``, ``actions.toml``,
``context.toml``, ``conditions.toml`` and ``states/*.toml``.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field, field_validator

from callnotes.records import AsideReason, PointSide, Verdict
from callnotes.trade.tables import Entry


class Unit(Entry):
    """One unit. ``factor`` leads to the base of its dimension; ``shown`` is how papers print it."""

    symbol: str
    dimension: str
    factor: float
    shown: str
    said: tuple[str, ...] = ()

    @field_validator("said", mode="before")
    @classmethod
    def _parts(cls, value: object) -> object:
        return tuple(part.strip() for part in value.split(";")) if isinstance(value, str) else value


class StateWord(Entry):
    """One state of a quantity: the verdict that it carries by itself, and its word on paper."""

    state: str
    verdict: Verdict | None = None
    shown: str


class Quantity(Entry):
    """What can be read: a number with one of ``units``, or one of ``states``.

    ``said`` names the quantity in speech; ``leads`` tells that the reading means little without its leads;
    ``usual`` is the range of values that a listener expects, in the first of ``units``.
    """

    quantity: str
    name: str
    units: tuple[str, ...] = ()
    said: tuple[str, ...] = ()
    states: tuple[StateWord, ...] = ()
    leads: bool = False
    usual: tuple[float, float] | None = None

    def state(self, name: str | None) -> StateWord | None:
        """The entry of that state, or None."""
        return next((s for s in self.states if s.state == name), None)


class PointKind(Entry):
    """A kind of test point. ``chain`` is its usual place on the way from provider (0) to device (100).

    ``sides`` maps a word said to the side meant; ``numbered`` names the detail that a bare number after the
    name fills; ``guarded`` marks a line that protects life or property, never opened unannounced.
    """

    kind: str
    name: str
    plural: str
    chain: int
    said: tuple[str, ...]
    numbered: Literal["port", "label", "pair", "line", "pins", "row"] | None = None
    guarded: bool = False


class Detail(Entry):
    """Words that carry a detail of a point besides its kind: a block type, a label, a side."""

    say: str
    kind: str | None = None
    side: PointSide | None = None
    label: str | None = None
    block_type: str | None = None


class Saying(Entry):
    """One way of saying a state. ``needs`` = "place": alone it means nothing, a point must be in hand."""

    say: str
    quantity: str
    state: str
    needs: Literal["place", "listening"] | None = None
    object: str | None = None

    @property
    def rule(self) -> str:
        return f"states/{self.quantity}.{self.state}:{self.say}"


class Example(Entry):
    """A sentence and what must come of it; run as a test.

    ``gives`` is "quantity: state", "quantity: value unit", "action: kind", "aside: reason" or "nothing";
    several are parted by "; ".
    """

    text: str
    gives: str


class ActionWord(Entry):
    """A verb, with its particle if any, that does ``action`` to one of ``objects`` (word classes)."""

    verb: str
    objects: tuple[str, ...] = ()
    particle: str | None = None


class ActionKind(Entry):
    """A kind of action: how papers word it, what undoes it, and how it is said."""

    action: str
    past: str
    undone_by: tuple[str, ...] = ()
    disturbs: bool = False
    said: tuple[ActionWord, ...] = ()


class ContextCue(Entry):
    """Words that tell that what is near them was not observed here and now.

    ``reach``: how far the cue speaks: "forward" and "backward" to the end of the clause in that direction,
    "clause" the whole clause, "cue" the whole sentence. ``stops`` ends its reach.
    ``reason`` None makes it a pseudo cue: longer words that hide a shorter false one.
    """

    say: str
    reason: AsideReason | None = None
    reach: Literal["forward", "backward", "clause", "cue"] = "forward"
    at_start: bool = False


class ConditionWord(Entry):
    """Words that tell a condition; it holds for the clause, or until its opposite is said (``holds``)."""

    say: str
    what: str
    is_: str = Field(alias="is")
    holds: bool = False
