"""Time stamps as text and as seconds; nothing else."""

from __future__ import annotations

import re

# Digits are bounded so that no stamp can become an absurd number, and the pattern cannot backtrack far.
STAMP = r"(?:[0-9]{1,4}:)?[0-9]{1,3}:[0-9]{1,2}(?:[.,][0-9]{1,9})?"
_PARTS = re.compile(r"(?:([0-9]{1,4}):)?([0-9]{1,3}):([0-9]{1,2})(?:[.,]([0-9]{1,9}))?")


def seconds_of(stamp: str) -> float | None:
    """Seconds of ``[h:]mm:ss[.fff]``; None if it is no such stamp.

    A comma may stand for the point. Without hours the minutes may pass 59 (``75:00``); seconds never do.

    >>> seconds_of("1:02:03,5")
    3723.5
    """
    parts = _PARTS.fullmatch(stamp.strip())
    if parts is None:
        return None
    hours, minutes, seconds, fraction = parts.groups()
    if int(seconds) > 59 or (hours is not None and int(minutes) > 59):
        return None
    whole = int(hours or 0) * 3600 + int(minutes) * 60 + int(seconds)
    # One conversion of the whole decimal, so that 1.001 is the float 1.001 and not a sum beside it.
    return float(f"{whole}.{fraction or 0}")


def stamp_of(milliseconds: int) -> str:
    """``hh:mm:ss.mmm`` of whole milliseconds; hours grow past two digits where needed.

    >>> stamp_of(3_723_500)
    '01:02:03.500'
    """
    seconds, thousandths = divmod(milliseconds, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02d}:{minutes:02d}:{seconds:02d}.{thousandths:03d}"
