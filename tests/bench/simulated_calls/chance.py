"""Draws from one seeded source, so that the same number gives the same call."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from typing import TypeVar

T = TypeVar("T")


class Chance:
    """One call's source of chance."""

    def __init__(self, seed: int) -> None:
        self._random = random.Random(seed)

    def hit(self, rate: float) -> bool:
        """True at this rate (0..1)."""
        return self._random.random() < rate

    def pick(self, weights: Mapping[str, float]) -> str:
        """One key, in proportion to its weight."""
        return self._random.choices(list(weights), weights=list(weights.values()))[0]

    def weigh(self, items: Sequence[T], weights: Sequence[float]) -> T:
        """One item, in proportion to the weight at its place."""
        return self._random.choices(items, weights=weights)[0]

    def one(self, items: Sequence[T]) -> T:
        """One item, all alike."""
        return self._random.choice(items)

    def shuffled(self, items: Sequence[T]) -> list[T]:
        """The items in another order."""
        return self._random.sample(items, len(items))

    def whole(self, low: int, high: int) -> int:
        """A whole number from ``low`` to ``high``, both included."""
        return self._random.randint(low, high)

    def within(self, span: Sequence[float]) -> float:
        """A number of the span ``(low, high)``, evenly."""
        return self._random.uniform(span[0], span[1])

    def beta(self, mean: float, strength: float) -> float:
        """A share around ``mean``, the closer the greater ``strength``."""
        return self._random.betavariate(mean * strength, (1 - mean) * strength)

    def about(self, value: float, share: float) -> float:
        """The value as an instrument of that spread (a share of it) would show it."""
        return value * self._random.gauss(1.0, share)
