"""The shape of ``data/worked.toml``: which sums a call's own readings allow, and what forbids them."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from callnotes.trade.tables import Entry

# What must be known before a sum is made, or must not be so; each is a rule of that name in ``diagnose``.
Ground = Literal[
    "cut_off",
    "devices_lifted",
    "strapped",
    "perhaps_strapped",
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

    ``conditions`` gives, for a condition, the values accepted; "" accepts that it was not said. ``low`` and ``high``
    bound the value, in ``unit``. ``ported``: only where the port is known. ``place``, for all but the first: "here" at
    the place of the first, "before" at a point before it on one way, "cable" at the only cable of the call where
    such a thing was read. ``may_lack``: the sum is made without it, too.
    """

    name: str
    quantity: str
    unit: str
    also: tuple[str, ...] = ()
    conditions: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    at: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    ported: bool = False
    place: Literal["here", "before", "cable"] = "here"
    may_lack: bool = False


class Worked(Entry):
    """A sum that is worked out where the readings of a call allow it.

    ``code`` names the function that works it out, ``sum`` the entry of the table of sums with its formula and sources.
    ``needs`` must be known and ``never`` must not be so. ``ranked_first``: the fault that must be the likeliest, there;
    ``never_ranked``: faults that must not be likely at all. ``same``: conditions that all readings must have alike.
    ``gives``: the quantity that it works out. ``instead_of``: rows whose sums at that place it tells as well.
    ``text`` is filled in; ``says`` holds parts of it.
    """

    code: str
    sum: str
    readings: tuple[TakenReading, ...]
    text: str
    says: dict[str, str] = Field(default_factory=dict)
    needs: tuple[Ground, ...] = ()
    never: tuple[Ground, ...] = ()
    ranked_first: str | None = None
    never_ranked: tuple[str, ...] = ()
    same: tuple[str, ...] = ()
    gives: str | None = None
    instead_of: tuple[str, ...] = ()
