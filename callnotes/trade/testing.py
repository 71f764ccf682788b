"""The shapes of the table of field tests: what can be tested where, at what cost, and what comes first."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, field_validator

from callnotes.trade.tables import Entry

Sees = Literal["line", "toward_provider", "toward_set", "itself", "without"]
GateName = Literal["station", "people", "volts"]


class FieldTestKind(Entry):
    """A test that can be made at some kinds of point; ``field_tests.toml`` says what each key means. Times in minutes.

    ``repeats`` None stands for all quantities of its family; ``told_by`` empty for any trouble.
    """

    id: str
    say: str
    reads: str
    at: tuple[str, ...]
    minutes: float = Field(gt=0)
    minutes_back: float = Field(0.0, ge=0)
    takes_off: str | None = None
    told_by: tuple[str, ...] = ()
    sees: Sees = "line"
    family: str | None = None
    finds: tuple[str, ...] = ()
    repeats: tuple[str, ...] | None = None
    quiet: bool = False
    ohms: bool = False
    sends_tone: bool = False

    @field_validator("say")
    @classmethod
    def _names_the_place(cls, value: str) -> str:
        if value.count("{place}") != 1 or value.count("{") + value.count("}") != 2:
            raise ValueError("it must hold {place} once and no other braces")
        return value


class Way(Entry):
    """How many minutes it takes to get to a place; the first row whose words fit counts, else whose kinds do."""

    place: str
    minutes: float = Field(ge=0)
    at: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


class GateKind(Entry):
    """What is told or read before some tests, in the words of the advice, and its minutes."""

    name: GateName
    text: str
    minutes: float = Field(ge=0)


class AdviceLimits(Entry):
    """When the advice stops (probability; minutes), what is doubtful (confidence 0 to 1) and dead (volts)."""

    isolated_at: float = Field(gt=0, le=1)
    stake_minutes: float = Field(gt=0)
    doubtful: float
    dead_volts: float


class Chances(Entry):
    """How likely a test reads bad, 0 to 1, by what is wrong; ``weighing.toml`` says what each is."""

    reached: float
    unsteady: float
    seen: float
    anyway: float
    unknown: float
