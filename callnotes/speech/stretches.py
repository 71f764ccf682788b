"""Cuts a stream of samples into stretches that an engine takes whole, at the quietest place near the end of each.

So a recording of four hours needs no more memory than one of ten minutes, and no word is cut in two.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from callnotes.speech.audio import RATE

if TYPE_CHECKING:
    from callnotes.speech.audio import Samples

LONGEST_SECONDS = 600.0
SEARCH_SECONDS = 60.0
_QUIET_SECONDS = 0.5


def stretches(
    blocks: Iterable[Samples], *, longest_s: float = LONGEST_SECONDS, search_s: float = SEARCH_SECONDS
) -> Iterator[tuple[float, Samples]]:
    """Pairs of (start in seconds, samples), each at most ``longest_s`` plus one block, together all samples."""
    import numpy as np

    held: Samples = np.zeros(0, dtype=np.float32)
    start = 0
    for block in blocks:
        held = np.concatenate([held, block])
        while held.size > longest_s * RATE:
            cut = _quietest(held[: round(longest_s * RATE)], round(search_s * RATE))
            yield start / RATE, held[:cut]
            start, held = start + cut, held[cut:]
    if held.size:
        yield start / RATE, held


def _quietest(samples: Samples, search: int) -> int:
    """The middle of the quietest half second among the last ``search`` samples."""
    import numpy as np

    window = round(_QUIET_SECONDS * RATE)
    from_ = max(0, samples.size - search)
    power = np.cumsum(np.concatenate([[0.0], np.square(samples[from_:], dtype=np.float64)]))
    if power.size <= window:
        return samples.size
    return from_ + int(np.argmin(power[window:] - power[:-window])) + window // 2
