"""Widths of text, and how far numbers must be moved right so that their decimal points stand under each other.

Widths are those of Arial and its metric twins, in which all figures are equally wide.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

# In thousandths of the size.
FIGURE, STOP, SIGN = 556, 278, 584
NUMBER = re.compile("^(over |under |at least |at most |about )?([−+]?[\\d,]+)(?=[.\\s\u202f\u00a0]|$)")
WORDS = {"over ": 2001, "under ": 2502, "at least ": 3170, "at most ": 3448, "about ": 2780}

NARROW_LETTERS = frozenset("iIjlftr.,;:'|!()[] -·\u202f\u00a0")
BROAD_LETTERS = frozenset("mwMW%@—Ω")


def width_of(text: str) -> float:
    """About how wide a text is, in ems of its size."""
    return sum(_letter(c) for c in text)


def _letter(c: str) -> float:
    if c in NARROW_LETTERS:
        return 0.28
    if c in BROAD_LETTERS:
        return 0.83
    return 0.69 if c.isupper() else 0.54


def shifts(cells: Sequence[str]) -> tuple[float | None, ...]:
    """For each cell the shift to the right in ems of its size, or None where the cell holds no number."""
    wide = [_width(cell) for cell in cells]
    most = max((w for w in wide if w is not None), default=0)
    return tuple(None if w is None else (most - w) / 1000 for w in wide)


def _width(cell: str) -> int | None:
    """Width of what stands before the decimal point."""
    found = NUMBER.match(cell)
    if not found:
        return None
    figures = sum(FIGURE if c.isdigit() else STOP if c == "," else SIGN for c in found[2])
    return figures + WORDS.get(found[1] or "", 0)
