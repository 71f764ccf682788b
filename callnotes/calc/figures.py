"""Refusal of nonsense figures, and the length and temperature conversions that the sums share."""

from __future__ import annotations

import math

FEET_PER_MILE = 5280.0
METERS_PER_FOOT = 0.3048
LIGHT_M_PER_S = 299_792_458.0
ABSOLUTE_ZERO_C = -273.15


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
    return above_zero_k((finite(fahrenheit, "temperature") - 32.0) / 1.8)


def fahrenheit(celsius: float) -> float:
    """Degrees F for degrees C, e.g. 20 -> 68."""
    return above_zero_k(celsius) * 1.8 + 32.0


def above_zero_k(temp_c: float) -> float:
    """``temp_c`` itself; ``ValueError`` below absolute zero."""
    if finite(temp_c, "temperature") < ABSOLUTE_ZERO_C:
        raise ValueError(f"a temperature of {temp_c:g} degC lies below absolute zero")
    return temp_c
