"""The shape of the table of fields: what a person can fill in of a call."""

from __future__ import annotations

from typing import Literal

from callnotes.trade.tables import Entry


class CallField(Entry):
    """One field of the call. ``kind`` tells how a value is written and checked; ``also`` are other names for it.

    ``holds``: where the record of the call keeps it, if not under ``name``; "on_test.until" is a part of a part.
    """

    name: str
    kind: Literal["text", "time", "date", "yes_no", "names", "goods", "tickets"]
    plain: str
    also: tuple[str, ...] = ()
    holds: str | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """Every name that it goes by."""
        return (self.name, *self.also)
