"""The shape of ``data/worked.toml``: which sums a call's own readings allow, and what forbids them."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from callnotes.trade.tables import Entry

# What must be known before a sum is made, and what must not be so; each is a rule of that name.
Ground = Literal[
    "cut_off",
    "devices_lifted",
    "strapped",
    "far_open",
    "live",
    "leaks",
    "swings",
    "added",
    "limited_feed",
    "read_itself",
]


class TakenReading(Entry):
    """One reading that a sum takes; every key given must hold.

    ``conditions`` gives, for a condition, the values accepted. ``low`` and ``high`` bound the value, in ``unit``.
    ``place``, for all but the first: "here" at the place of the first, "before" at a point before it on one way, "cable"
    at the only cable of the call where that was read. ``ported``: only where the port is known.
    """

    name: str
    quantity: tuple[str, ...]
    unit: str
    conditions: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    at: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    place: Literal["here", "before", "cable"] = "here"
    ported: bool = False


class Worked(Entry):
    """A sum that is worked out where the readings of a call allow it.

    ``code`` names the function that works it out, ``sum`` the entry of the table of sums that gives formula and sources.
    ``needs`` must be known and ``never`` must not be so. ``ranked_first``: the fault that must be the likeliest;
    ``never_ranked``: faults that must not be likely at all. ``same``: conditions that all readings must have alike.
    ``instead_of``: rows whose sums this one tells as well. ``text`` is filled in; ``says`` holds parts of it.
    """

    code: str
    sum: str
    readings: tuple[TakenReading, ...]
    needs: tuple[Ground, ...] = ()
    never: tuple[Ground, ...] = ()
    ranked_first: str | None = None
    never_ranked: tuple[str, ...] = ()
    same: tuple[str, ...] = ()
    instead_of: tuple[str, ...] = ()
    text: str
    says: dict[str, str] = Field(default_factory=dict)
