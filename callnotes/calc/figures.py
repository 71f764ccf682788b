"""Refusal of nonsense figures, and the length and temperature conversions that the sums share."""

from __future__ import annotations

import math

FEET_PER_MILE = 5280.0
METERS_PER_FOOT = 0.3048
LIGHT_M_PER_S = 299_792_458.0
# Beyond these no cable works, and the straight-line correction of copper no longer holds.
COLDEST_C, HOTTEST_C = -80.0, 150.0


def finite(value: float, name: str) -> float:
    """``value`` itself; ``ValueError`` if it is infinite or no number."""
    if not math.isfinite(value):
        raise ValueError(f"{name} must be a plain number, not {value}")
    return value


def positive(value: float, name: str) -> float:
    """``value`` itself; ``ValueError`` unless it is finite and above 0."""
    if finite(value, name) <= 0:
        raise ValueError(f"{name} must be more than 0, not {value:g}")
    return value


def not_negative(value: float, name: str) -> float:
    """``value`` itself; ``ValueError`` unless it is finite and 0 or more."""
    if finite(value, name) < 0:
        raise ValueError(f"{name} cannot be negative, but is {value:g}")
    return value


def whole(value: int, name: str, low: int, high: int) -> int:
    """``value`` as an int; ``ValueError`` unless it is a whole number from ``low`` to ``high``."""
    if value != int(finite(value, name)) or not low <= value <= high:
        raise ValueError(f"{name} must be a whole number from {low} to {high}, not {value}")
    return int(value)


def celsius(fahrenheit: float) -> float:
    """Degrees C for degrees F, e.g. 68 -> 20."""
    return cable_temperature((finite(fahrenheit, "temperature") - 32.0) / 1.8)


def fahrenheit(celsius: float) -> float:
    """Degrees F for degrees C, e.g. 20 -> 68."""
    return cable_temperature(celsius) * 1.8 + 32.0


def cable_temperature(temp_c: float) -> float:
    """``temp_c`` itself; ``ValueError`` where no cable can be that cold or hot."""
    if not COLDEST_C <= finite(temp_c, "temperature") <= HOTTEST_C:
        raise ValueError(f"a cable at {temp_c:g} degC? It must be from {COLDEST_C:g} to {HOTTEST_C:g} degC")
    return temp_c
