"""What a technician says, as drafts: where, what, under what; the clock runs along."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from callnotes.records import EventKind, Verdict, VerdictFrom
from tests.bench.simulated_calls.chance import Chance
from tests.bench.simulated_calls.plant import Element
from tests.bench.simulated_calls.rates import rate, span
from tests.bench.simulated_calls.words import say, state_verdict


@dataclass(frozen=True)
class Place:
    """An element and the word for the end of it that was meant, if any."""

    element: Element
    side: str | None = None


@dataclass(frozen=True)
class Draft:
    """An event before it was heard. ``holds`` are conditions: what, is, and where it holds elsewhere."""

    kind: EventKind
    start: float
    end: float
    text: str
    place: Place | None
    quantity: str | None = None
    value: float | None = None
    unit: str | None = None
    state: str | None = None
    thing: str | None = None
    holds: tuple[tuple[str, str, Place | None], ...] = ()
    verdict: Verdict | None = None
    verdict_from: VerdictFrom | None = None
    action: str | None = None


class Notes:
    """The run of the talk. ``walk`` is called on the way to another test point."""

    def __init__(self, chance: Chance) -> None:
        self.chance = chance
        self.clock = chance.within(span("pace.first"))
        self.drafts: list[Draft] = []
        self.slips: list[str] = []

    def slip(self, what: str) -> None:
        """Keep what misled, once."""
        if what not in self.slips:
            self.slips.append(what)

    def walk(self) -> None:
        """Time passes on the way."""
        self.clock += self.chance.within(span("pace.between_points"))

    def state(
        self,
        place: Place | None,
        quantity: str,
        state: str,
        thing: str | None = None,
        holds: Sequence[tuple[str, str, Place | None]] = (),
        expected: bool = False,
    ) -> None:
        """A reading that is a state. ``expected``: it would speak against the line, but is in order here."""
        verdict, ground = state_verdict(quantity, state), "state"
        if expected and self.chance.hit(rate("speech.expected_said")):
            verdict, ground = "pass", "stated"
        elif self.chance.hit(rate("speech.verdict_stated")):
            ground = "stated"
        text = say(quantity, state, thing)
        self._add("reading", place, text, holds, quantity=quantity, state=state, thing=thing,
                  verdict=verdict, verdict_from=ground)  # fmt: skip

    def number(
        self,
        place: Place | None,
        quantity: str,
        value: float,
        unit: str,
        good: bool | None = None,
        holds: Sequence[tuple[str, str, Place | None]] = (),
    ) -> None:
        """A reading that is a number. ``good`` is what the technician would say of it, if anything."""
        verdict: Verdict | None = None
        if good is not None and self.chance.hit(rate("speech.verdict_of_number")):
            verdict = "pass" if good else "fail"
            if self.chance.hit(rate("speech.marginal_stated")):
                verdict = "marginal"
        text = f"{value:g} {unit}" + {"pass": ", that's good", "fail": ", that's no good"}.get(verdict or "", "")
        self._add("reading", place, text, holds, quantity=quantity, value=value, unit=unit,
                  verdict=verdict, verdict_from="stated" if verdict else None)  # fmt: skip

    def act(self, place: Place | None, action: str, thing: str | None, text: str | None = None) -> None:
        """Something done."""
        self._add("action", place, text or f"{action.replace('_', ' ')} {thing or ''}".strip(), (), action=action,
                  thing=thing)  # fmt: skip

    def note(self, text: str) -> None:
        """Something that was told."""
        self._add("note", None, text, ())

    def _add(self, kind: EventKind, place: Place | None, text: str, holds: Sequence[Any], **fields: Any) -> None:
        self.clock += self.chance.within(span("pace.between_events"))
        end = self.clock + self.chance.within(span("pace.words"))
        self.drafts.append(Draft(kind, self.clock, end, text, place, holds=tuple(holds), **fields))
        self.clock = end
