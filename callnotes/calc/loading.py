"""Load coils: where they stand, and the cut-off they give.

A loaded pair cannot carry DSL; the coils must come off (read).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from callnotes.calc.capacitance import MUTUAL_NF_PER_MILE
from callnotes.calc.figures import FEET_PER_MILE, positive

# H was read at adslm.dohrenburg.net (6,000 ft, H88 = 88 mH, 3,000 ft from each end); B and D are from memory (high).
SPACING_FT = {"B": 3000, "D": 4500, "H": 6000}
# Own bound: no copper loop is a hundred miles long.
MOST_LOOP_FT = 528_000.0


@dataclass(frozen=True, slots=True)
class Scheme:
    """A loading scheme: spacing in feet, inductance of a coil in mH."""

    spacing_ft: int
    coil_mh: float


@dataclass(frozen=True, slots=True)
class Loading:
    """Places of the coils in feet from the office, and the feet left after the last."""

    positions_ft: tuple[float, ...]
    end_section_ft: float


def scheme(name: str) -> Scheme:
    """The scheme of a name such as ``H88`` (6,000 ft, 88 mH) or ``D66``; ``ValueError`` for an unknown letter."""
    found = re.fullmatch(r"([A-Za-z])\s*-?\s*(\d+)", name.strip())
    if not found or found[1].upper() not in SPACING_FT or int(found[2]) == 0:
        raise ValueError(
            f"no loading scheme {name!r}; a name is a spacing letter (B, D, H) and the mH of the coil, e.g. H88"
        )
    return Scheme(SPACING_FT[found[1].upper()], float(found[2]))


def coil_positions(name: str, loop_ft: float) -> Loading:
    """Places of the coils on a loop, e.g. H88 on 24,000 ft -> 3000, 9000, 15000, 21000 and 3,000 ft left.

    The first stands half a spacing from the office, the others a spacing apart, and half a spacing or more is kept at
    the end. A loop shorter than one spacing gets none. Source: adslm.dohrenburg.net (read, for H).
    """
    spacing = scheme(name).spacing_ft
    if loop_ft > MOST_LOOP_FT:
        raise ValueError(f"a loop of {loop_ft:g} ft? No copper loop is over {MOST_LOOP_FT:,.0f} ft")
    half = spacing / 2
    count = max(0, math.floor((positive(loop_ft, "loop length") - 2 * half) / spacing) + 1)
    positions = tuple(half + spacing * number for number in range(count))
    return Loading(positions, loop_ft - (positions[-1] if positions else 0.0))


def cutoff_hz(coil_mh: float, spacing_ft: float, *, nf_per_mile: float = MUTUAL_NF_PER_MILE) -> float:
    """Hz above which a loaded line passes nothing, e.g. H88 at 83 nF/mile -> 3494.

    Source: constant-k line, from memory (high). Pages that were read quote 3.5 to 3.8 kHz; not for verdicts.
    """
    section_f = positive(nf_per_mile, "capacitance per mile") * 1e-9 * positive(spacing_ft, "spacing") / FEET_PER_MILE
    return 1 / (math.pi * math.sqrt(positive(coil_mh, "inductance") * 1e-3 * section_f))
