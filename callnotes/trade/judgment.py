"""The shapes of the tables that judge: limits, faults, requirements, cautions."""

from __future__ import annotations

from typing import Literal

from pydantic import field_validator

from callnotes.trade.tables import Entry


class Limit(Entry):
    """One published limit. A reading is judged by it only at its place, leads and hook state.

    ``op`` keeps the sign of the source: S.C. says greater than 20 mA, Illinois 20 mA or greater.
    ``basis`` is ``read``, ``mem-H`` or ``mem-M``; a limit known by doubtful memory is not in the table.
    """

    id: str
    profile: str
    quantity: str
    op: Literal[">", ">=", "<", "<="]
    value: float
    unit: str
    places: tuple[str, ...] = ()
    leads: str | None = None
    hook: str | None = None
    source: str
    basis: Literal["read", "mem-H", "mem-M"]
    note: str | None = None

    @field_validator("places", mode="before")
    @classmethod
    def _parts(cls, value: object) -> object:
        return tuple(part.strip() for part in value.split(";")) if isinstance(value, str) else value
