"""The shapes of the tables about words: how things are named, said and shown.

One class an entry of ``data/units.csv``, ``quantities.toml``, ``points.toml``, ``places.toml``,
``actions.toml``, ``context.toml``, ``conditions.toml`` and ``states/*.toml``.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field, field_validator

from callnotes.records import AsideReason, PointSide, Verdict
from callnotes.trade.tables import Entry

# line: the talk is at a telephone point. alone: so, and the words are the whole clause. sound: so, and its sound was
# just heard. copper: the clause speaks of conductors. part: of a small part, as a screw. port: at a data port or a
# device. pair_leads, ground_leads: the clause names the leads tip-ring, or one of them and ground.
Needs = Literal["line", "alone", "sound", "copper", "part", "port", "pair_leads", "ground_leads"]
Reach = Literal["cue", "clause", "forward", "start"]


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

    def to(self, wanted: Unit, value: float) -> float | None:
        """The value in another unit of the same dimension; None where the dimensions differ."""
        if self.dimension != wanted.dimension:
            return None
        # Rounded so that 40 kohm said as 0.04 Mohm meets "40 kohm or more" in spite of binary fractions.
        return round(value * self.factor / wanted.factor, 9)


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

    ``numbered`` names the detail that a bare number after the name fills; ``guarded`` marks a line that
    protects life or property, never opened unannounced. ``near`` are kinds whose mention makes a name that
    several kinds share mean this one.
    """

    kind: str
    name: str
    plural: str
    chain: int
    said: tuple[str, ...]
    numbered: Literal["port", "label", "pair", "line", "pins", "row"] | None = None
    guarded: bool = False
    near: tuple[str, ...] = ()


class Detail(Entry):
    """Words that carry a detail of a point: its kind, its side, a label, a block type."""

    say: str
    kind: str | None = None
    side: PointSide | None = None
    label: str | None = None
    block_type: str | None = None


class Saying(Entry):
    """One way of saying a state.

    ``not_``: the state meant when the words are negated; without it a negation cancels them.
    ``needs``: what must be so for the words to mean this (see ``Needs``); of sayings with the same words the
    first whose need is met counts.
    """

    say: str
    quantity: str
    state: str
    not_: str | None = Field(None, alias="not")
    needs: Needs | None = None
    object: str | None = None

    @property
    def rule(self) -> str:
        """The name under which an event tells where it comes from."""
        return f"say.{self.quantity}.{self.state}: {self.say}"


class ActionWord(Entry):
    """A verb in its plain form, with its particle if any, and the classes of thing it is done to."""

    verb: str
    objects: tuple[str, ...] = ()
    particle: str | None = None


class ActionKind(Entry):
    """A kind of action: how papers word it, and how it is said."""

    action: str
    past: str
    said: tuple[ActionWord, ...] = ()


class ActionResult(Entry):
    """An action told by what is left after it: "plug's out". ``now`` are the words for where the thing is."""

    objects: tuple[str, ...]
    now: tuple[str, ...]
    action: str


class ActionPhrase(Entry):
    """Whole words that tell an action: "the account is on test"."""

    say: str
    action: str
    object: str | None = None


class ContextCue(Entry):
    """Words that tell that what is near them was not observed here and now.

    ``reach``: "cue" the whole sentence, "clause" the whole clause, "forward" what follows in the clause,
    "start" the rest of the sentence where a clause starts with them. ``reason`` None hides a shorter false cue.
    """

    say: str
    reason: AsideReason | None = None
    reach: Reach = "forward"


class ConditionWord(Entry):
    """Words that tell under what a reading was taken."""

    say: str
    what: str
    is_: str = Field(alias="is")


class StatedWord(Entry):
    """What a speaker says of a reading; ``expected``: it is as it should be just now."""

    say: str
    verdict: Verdict
    expected: bool = False
