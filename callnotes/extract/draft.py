"""Events in the making, and speech held back from becoming one."""

from __future__ import annotations

from dataclasses import dataclass, field

from callnotes.records import Condition


@dataclass
class Draft:
    """An event in the making, over tokens ``first`` up to ``last`` of clause ``clause``."""

    first: int
    last: int
    clause: int
    kind: str = "reading"
    point: str | None = None
    quantity: str | None = None
    value: float | None = None
    unit: str | None = None
    state: str | None = None
    action: str | None = None
    object: str | None = None
    conditions: dict[str, str] = field(default_factory=dict)
    verdict: str | None = None
    stated: bool = False
    confidence: float = 0.8
    rules: tuple[str, ...] = ()

    @property
    def sort(self) -> str:
        """What its confidence is measured among: "note", "action", "state" or "number"."""
        return self.kind if self.kind != "reading" else "number" if self.value is not None else "state"

    def as_conditions(self) -> tuple[Condition, ...]:
        """The conditions as records."""
        return tuple(Condition(what=what, is_=value) for what, value in self.conditions.items())

    def same_state(self, other: Draft) -> bool:
        """Whether both tell one state of one point, so that the second adds nothing."""
        if self.state is None or self.quantity == "inspection":
            return False
        mine = (self.quantity, self.state, self.point)
        agree = all(other.conditions.get(what, value) == value for what, value in self.conditions.items())
        return mine == (other.quantity, other.state, other.point) and agree


@dataclass
class HeldBack:
    """A stretch that sounds like an observation and is none."""

    first: int
    last: int
    reason: str
    cue_word: str | None
