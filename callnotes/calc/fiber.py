"""Optical budgets: the most a link may lose, what is typical, power margin, units, and fiber colors.

Maxima judge, typical values only flag: a link that loses more than is typical deserves a look, no more.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from callnotes.calc.figures import finite, not_negative, positive, whole

Kind = Literal[
    "multimode 850 nm",
    "multimode 1300 nm",
    "single-mode 1310 nm indoor",
    "single-mode 1550 nm indoor",
    "single-mode 1310 nm outside plant",
    "single-mode 1550 nm outside plant",
]
Basis = Literal["maximum", "typical"]


@dataclass(frozen=True, slots=True)
class Losses:
    """dB per km of fiber, per mated connection, per splice."""

    db_per_km: float
    db_per_connection: float
    db_per_splice: float


# ANSI/TIA-568.3, from memory (high). Later editions have 3.0 for multimode 850 nm (OM3 up), 0.4 for outside plant.
MAXIMUM: dict[Kind, Losses] = {
    "multimode 850 nm": Losses(3.5, 0.75, 0.3),
    "multimode 1300 nm": Losses(1.5, 0.75, 0.3),
    "single-mode 1310 nm indoor": Losses(1.0, 0.75, 0.3),
    "single-mode 1550 nm indoor": Losses(1.0, 0.75, 0.3),
    "single-mode 1310 nm outside plant": Losses(0.5, 0.75, 0.3),
    "single-mode 1550 nm outside plant": Losses(0.5, 0.75, 0.3),
}
# thefoa.org, Loss_Budget (read).
TYPICAL: dict[Kind, Losses] = {
    "multimode 850 nm": Losses(3.0, 0.5, 0.3),
    "multimode 1300 nm": Losses(0.8, 0.5, 0.3),
    "single-mode 1310 nm indoor": Losses(0.4, 0.5, 0.15),
    "single-mode 1550 nm indoor": Losses(0.2, 0.5, 0.15),
    "single-mode 1310 nm outside plant": Losses(0.4, 0.5, 0.15),
    "single-mode 1550 nm outside plant": Losses(0.2, 0.5, 0.15),
}
# Fibers 1 to 12: rose and aqua read at n-21.net, the order from memory (high).
COLORS = (
    *("blue", "orange", "green", "brown", "slate", "white"),
    *("red", "black", "yellow", "violet", "rose", "aqua"),
)


def budget(kind: Kind, km: float, *, connections: int, splices: int = 0, basis: Basis = "maximum") -> float:
    """dB that a link may lose (``maximum``) or mostly loses (``typical``).

    E.g. 0.3 km of multimode at 850 nm with 2 connections -> 2.55 at most. ``ValueError`` for an unknown kind.
    """
    table = {"maximum": MAXIMUM, "typical": TYPICAL}.get(basis)
    if table is None:
        raise ValueError(f"no basis {basis!r}; there are maximum and typical")
    if kind not in table:
        raise ValueError(f"no fiber {kind!r}; there are {', '.join(table)}")
    parts = table[kind]
    count_c = whole(connections, "number of connections", 0, 1000)
    count_s = whole(splices, "number of splices", 0, 1000)
    return (
        not_negative(km, "length") * parts.db_per_km + count_c * parts.db_per_connection + count_s * parts.db_per_splice
    )


def power_margin(sent_dbm: float, sensitivity_dbm: float, link_loss_db: float) -> float:
    """dB left over at the receiver, e.g. -5 dBm sent, -20 dBm needed, 7.7 dB lost -> 7.3.

    Negative: too little light.
    """
    return finite(sent_dbm, "sent power") - finite(sensitivity_dbm, "sensitivity") - finite(link_loss_db, "link loss")


def milliwatts(dbm: float) -> float:
    """mW for dBm, e.g. -18 -> 0.01585."""
    return math.pow(10, finite(dbm, "power") / 10)


def dbm(milliwatts: float) -> float:
    """dBm for mW, e.g. 0.5 -> -3.01."""
    return 10 * math.log10(positive(milliwatts, "power"))


def color(fiber: int) -> str:
    """Color of fiber 1 to 12 of a tube, e.g. 5 -> slate. ``ValueError`` outside."""
    return COLORS[whole(fiber, "fiber of a tube", 1, len(COLORS)) - 1]
