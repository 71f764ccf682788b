"""How one reading is worded: its value for a table, its noun phrase for a sentence, its conditions."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from callnotes.records import Condition, Event
from callnotes.render.figures import amount, number
from callnotes.render.words import Words
from callnotes.trade import Trade

BOUNDS = {">": "over", ">=": "at least", "<": "under", "<=": "at most", "~": "about"}
# Shown with the value itself, not among the conditions.
IN_VALUE = {"range", "bound"}


@dataclass(frozen=True)
class ReadingWords:
    """Words readings from the wording and the trade tables."""

    words: Words
    trade: Trade

    def quantity(self, event: Event) -> str:
        """The name of what was read: "dial tone", "DC voltage"."""
        quantity = self.trade.quantity(event.quantity)
        return quantity.name if quantity else (event.quantity or "reading").replace("_", " ")

    def value(self, event: Event) -> str:
        """The value of a reading as a table shows it: "51.2 V", "over 10 MΩ", "none"."""
        if event.value is not None:
            return self._amount(event)
        quantity = self.trade.quantity(event.quantity)
        state = quantity.state(event.state) if quantity else None
        shown = state.shown if state else (event.state or "").replace("_", " ")
        seen = lowered(event.object)
        if seen and event.quantity == "inspection" and event.state == "defect":
            return seen
        return f"{shown}: {seen}" if seen and seen != shown else shown

    def _amount(self, event: Event) -> str:
        given = {c.what: c.is_ for c in event.conditions}
        low, dots, high = given.get("range", "").partition("..")
        if dots and _is_number(low) and _is_number(high):
            return f"{number(float(low))} to {amount(float(high), event.unit, self.trade)}"
        bound = BOUNDS.get(given.get("bound", ""))
        shown = amount(event.value or 0.0, event.unit, self.trade)
        return f"{bound} {shown}" if bound else shown

    def conditions(self, event: Event) -> str:
        """All conditions but those that the value shows: "on hook, tip to ring"."""
        return ", ".join(self.condition(c) for c in event.conditions if c.what not in IN_VALUE)

    def condition(self, condition: Condition) -> str:
        """One condition: "on hook", "pins 3-6", "strap on"."""
        worded = self.words.text("conditions", condition.what, condition.is_)
        if worded:
            return worded
        named = self.words.text("conditions_named", condition.what)
        head = condition.what.replace("_", " ") if named is None else named
        return f"{head} {condition.is_}".strip()

    def phrase(self, event: Event) -> str:
        """The reading as a noun phrase: "no dial tone", "51.2 V DC on hook"."""
        plainly, in_brackets = (self.words.at("prose", key) or () for key in ("conditions", "in_brackets"))
        told = [self.condition(c) for c in event.conditions if c.what in plainly]
        told += [f"({self.condition(c)})" for c in event.conditions if c.what in in_brackets]
        return " ".join([self._number(event) if event.value is not None else self._state(event), *told])

    def brief(self, event: Event) -> str:
        """The reading as shortly as it can be told under its point: "no dial tone", "51.2 V"."""
        return self._amount(event) if event.value is not None else re.sub("^an? ", "", self._state(event))

    def _number(self, event: Event) -> str:
        shown = self._amount(event)
        pattern = self.words.text("numbers", event.quantity)
        return pattern.replace("{amount}", shown) if pattern else f"{shown} of {self.quantity(event)}"

    def _state(self, event: Event) -> str:
        entry = self.words.at("states", event.quantity, event.state)
        if isinstance(entry, list) and entry:
            entry = str(entry[0] if event.object else entry[-1])
        if not isinstance(entry, str):
            return f"{self.quantity(event)} {self.value(event)}".strip()
        if event.object and "{object}" not in entry and event.quantity == "line_sound":
            return f"{entry} ({lowered(event.object)})"
        return entry.replace("{object}", lowered(event.object))

    def phrases(self, events: Sequence[Event]) -> tuple[str, ...]:
        """The readings as noun phrases without repeats, pairs that read better as one joined."""
        waiting = list(events)
        said: list[str] = []
        for joined in self.words.at("together") or ():
            keys = [f"{e.quantity}.{e.state}" for e in waiting]
            if all(state in keys for state in joined["states"]):
                waiting = [e for e, key in zip(waiting, keys, strict=True) if key not in joined["states"]]
                said.append(joined["say"])
        return tuple(dict.fromkeys([*(self.phrase(e) for e in waiting), *said]))


def lowered(text: str | None) -> str:
    """Words heard at the beginning of a sentence, as they stand within one; "NEXT" and "DC" stay."""
    return text[:1].lower() + text[1:] if text and text[1:2].islower() else text or ""


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
