"""Rounding that claims no more than a sum knows, and figures set into sentences."""

from __future__ import annotations

import math
from collections.abc import Sequence

from callnotes.calc.figures import METERS_PER_FOOT


def about(value: float, digits: int = 3) -> str:
    """A number to so many significant digits, thousands parted, no trailing zeros after the point."""
    if value == 0:
        return "0"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    text = f"{round(value, places):,.{max(places, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def exact(value: float, places: int = 2) -> str:
    """A number that was only added or looked up: at most so many decimals, none that are zero."""
    text = f"{round(value, places) + 0.0:,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def signed(value: float, places: int = 1) -> str:
    """The same with its sign, plus too."""
    return f"{'+' if round(value, places) > 0 else ''}{exact(value, places)}"


def spread(value: float, low: float, high: float) -> tuple[str, str, str]:
    """Value, low and high in steps that fit the spread; the ends are rounded outward.

    A spread of 66 goes in steps of 10, one of 1,500 in steps of 100. Without a spread: three significant digits.
    """
    half = (high - low) / 2
    if half <= 0:
        return about(value), about(low), about(high)
    step = 10.0 ** math.floor(math.log10(half))
    places = max(0, -math.floor(math.log10(step)))
    ends = (round(value / step), math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9))
    shown = tuple(f"{end * step:,.{places}f}" for end in ends)
    return shown[0], shown[1], shown[2]


def feet(value: float, low: float | None = None, high: float | None = None, *, to: str = "") -> str:
    """``about 6,080 ft (1,850 m) to the short``, and where there is a spread ``, between 6,010 and 6,080 ft``."""
    if low is None or high is None:
        return f"about {about(value)} ft ({about(value * METERS_PER_FOOT)} m){to}"
    middle, least, most = spread(value, low, high)
    meters = about(value * METERS_PER_FOOT, max(2, len(middle.replace(",", "").rstrip("0"))))
    return f"about {middle} ft ({meters} m){to}, between {least} and {most} ft"


def scaled(value: float, unit: str, digits: int = 3) -> str:
    """A small amount with the prefix that makes it readable: 0.0003084 V is ``0.308 mV``."""
    for prefix, factor in (("", 1.0), ("m", 1e3), ("u", 1e6), ("n", 1e9)):
        if abs(value) * factor >= 0.1:
            return f"{about(value * factor, digits)} {prefix}{unit}"
    return f"{about(value * 1e12, digits)} p{unit}"


def listed(names: Sequence[object]) -> str:
    """``a, b and c``."""
    words = [str(name) for name in names]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
