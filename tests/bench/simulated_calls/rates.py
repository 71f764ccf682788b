"""``rates.toml`` read once: every rate of the simulator by its dotted name, and the faults that can be drawn."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

OUTSIDE = "outside the list"


@dataclass(frozen=True)
class FaultKind:
    """A row of the fault table: what can be wrong, where, and what it does to the line.

    ``word`` is the contract's fault, or ``OUTSIDE``. ``at`` are kinds of element that can have it.
    ``series`` is what it does to a current through the element (``open``, ``resistive``),
    ``shunt`` what it puts across the pair or to ground (``short``, ``held``, ``ground``, ``leak``, ``hum``,
    ``foreign``, ``crosstalk``); ``does`` is any other effect. ``seen`` is the chance that
    a look at the element shows it, as ``defect``. ``fair`` and ``fair_at`` are other words and kinds
    of point that a careful listener may use for it.
    """

    world: str
    word: str
    what: str
    at: tuple[str, ...]
    weight: float
    symptom: str
    series: str | None = None
    shunt: str | None = None
    does: str | None = None
    whose: tuple[str, ...] = ("customer",)
    seen: float = 0.0
    defect: str = "damaged"
    fair: tuple[str, ...] = ()
    fair_at: tuple[str, ...] = ()
    mend: tuple[str, str] | None = None
    wet: bool = False
    wavers: bool = False


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads((Path(__file__).parent / "rates.toml").read_text(encoding="utf-8"))


@cache
def fault_kinds(world: str) -> tuple[FaultKind, ...]:
    """The faults of one world, in the table's order."""
    rows = (r for r in _table()["fault"] if r["world"] == world)
    return tuple(_fault_kind(row) for row in rows)


def _fault_kind(row: dict[str, Any]) -> FaultKind:
    fields: dict[str, Any] = {k: tuple(v) if isinstance(v, list) else v for k, v in row.items()}
    return FaultKind(**fields)


@cache
def rate(name: str) -> float:
    """The rate of that dotted name, e.g. ``slips.bad_cord``."""
    return float(_find(name))


@cache
def span(name: str) -> tuple[float, float]:
    """The two ends of that dotted name."""
    low, high = _find(name)
    return float(low), float(high)


@cache
def shares(name: str) -> dict[str, float]:
    """The weights of that dotted name, by key."""
    return {key: float(value) for key, value in _find(name).items()}


def _find(name: str) -> Any:
    value: Any = _table()
    for part in name.split("."):
        value = value[part]
    return value
