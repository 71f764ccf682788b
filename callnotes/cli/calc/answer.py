"""The answer to a sum: a main line, figures as data, and what was used."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Figure:
    """One result as data: a number with its unit, or words, yes or no, or several of them."""

    value: float | str | bool | Sequence[float] | Sequence[str] | Sequence[int | None] | None
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """``line`` is the main line. ``used`` are the figures and tables used, ``notes`` what this result tells or not."""

    line: str
    figures: dict[str, Figure]
    used: tuple[str, ...] = ()
    notes: tuple[str, ...] = field(default=())
