"""Who works the call: an order of testing and habits between hasty and thorough."""

from __future__ import annotations

from dataclasses import dataclass

from tests.bench.simulated_calls.chance import Chance
from tests.bench.simulated_calls.rates import shares, span


@dataclass(frozen=True)
class Technician:
    """Rates of the ``[habits]`` table as this one has them; ``style`` is the order of testing."""

    style: str
    parts_first: float
    meters: float
    inspects: float
    retests: float
    stops_early: float
    mends_first: float
    restores: float
    refers: float
    patience: int


def draw_technician(chance: Chance) -> Technician:
    """A technician somewhere between hasty (0) and thorough (1)."""
    care = chance.within((0.0, 1.0))

    def habit(name: str) -> float:
        low, high = span(f"habits.{name}")
        return low + care * (high - low)

    return Technician(
        style=chance.pick(shares("style")),
        parts_first=habit("parts_first"),
        meters=chance.within(span("habits.meters")),
        inspects=habit("inspects"),
        retests=habit("retests"),
        stops_early=habit("stops_early"),
        mends_first=habit("mends_first"),
        restores=habit("restores"),
        refers=habit("refers"),
        patience=round(habit("patience")),
    )
