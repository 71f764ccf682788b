"""How numbers are set on paper: true minus, thin space before the unit, grouped thousands."""

from __future__ import annotations

import re
from decimal import Decimal

from callnotes.trade import Trade

MINUS = "\N{MINUS SIGN}"
THIN = "\N{NARROW NO-BREAK SPACE}"
NO_BREAK = "\N{NO-BREAK SPACE}"


def number(value: float) -> str:
    """A number in the digits that were said: ``-49.8`` as "−49.8", ``1600.0`` as "1,600"."""
    text = f"{abs(Decimal(repr(float(value)))):,f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return (MINUS if value < 0 and text.strip("0.,") else "") + text


def amount(value: float, unit: str | None, trade: Trade) -> str:
    """A value with its unit as papers print it, e.g. "51.2 V" with a thin space that does not break."""
    if unit is None:
        return number(value)
    entry = trade.unit(unit)
    return number(value) + THIN + (entry.shown if entry else unit)


def thin_spaced(text: str, trade: Trade) -> str:
    """A sentence with the space between each figure and its unit thin and unbroken: "1,180 ft"."""
    units = "|".join(sorted((re.escape(unit.shown) for unit in trade.units), key=len, reverse=True))
    return re.sub(rf"(?<=\d) (?=(?:{units})(?!\w))", THIN, text)


def counted(quantity: float | None, unit: str | None, item: str, trade: Trade) -> str:
    """A material: "2 bridging clips", "85 ft of station wire", or the item alone."""
    if quantity is None:
        return item
    if unit is None:
        return f"{number(quantity)}{NO_BREAK}{item if quantity == 1 else plural(item)}"
    return f"{amount(quantity, unit, trade)} of {item}"


def plural(item: str) -> str:
    """The plural of a thing's name; what is one already stays so."""
    if item.endswith(("s", "x", "ch", "sh")):
        return item if item.endswith("s") and not item.endswith("ss") else f"{item}es"
    if item.endswith("y") and item[-2:-1] not in "aeiou":
        return f"{item[:-1]}ies"
    return f"{item}s"


def series(parts: tuple[str, ...] | list[str], word: str = "and") -> str:
    """Parts as a sentence lists them: "a", "a and b", "a, b, and c"."""
    if len(parts) < 3:
        return f" {word} ".join(parts)
    return f"{', '.join(parts[:-1])}, {word} {parts[-1]}"
