"""What a speech engine's own measures say against its text; used wherever such measures are at hand.

Marked cues are kept: what was marked may still have been said. The names of the marks are those of
``records.Cue``.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import groupby

from callnotes.records import Cue

# Mean log probability of the tokens: under -1.0 the engine itself decodes again (Whisper's own threshold).
UNSURE_LOGPROB = -1.0
# Length of the text over its zlib length; over 2.4 it goes in circles (Whisper's own threshold).
UNSURE_COMPRESSION = 2.4
# Probability of the no-speech token (Whisper's own threshold), and the text's own probability beside it.
NO_SPEECH = 0.6
NO_SPEECH_LOGPROB = -0.6
REPEATS = 3


def marks_of(
    *, avg_logprob: float | None = None, no_speech_prob: float | None = None, compression_ratio: float | None = None
) -> tuple[str, ...]:
    """The marks for a segment with these measures; a measure that is None speaks neither way.

    ``no_speech`` asks for two witnesses: the no-speech token, and a text that is weak or goes in circles.
    """
    likelihood = 0.0 if avg_logprob is None else avg_logprob
    in_circles = compression_ratio is not None and compression_ratio > UNSURE_COMPRESSION
    silent = no_speech_prob is not None and no_speech_prob > NO_SPEECH
    marks = []
    if silent and (in_circles or likelihood < NO_SPEECH_LOGPROB):
        marks.append("no_speech")
    if in_circles or likelihood < UNSURE_LOGPROB:
        marks.append("unsure")
    return tuple(marks)


def with_repeats(cues: Sequence[Cue]) -> tuple[Cue, ...]:
    """The cues, with ``repeat`` on every one of three or more in a row that say the same."""
    marked: list[Cue] = []
    for _same, run in groupby(cues, key=_bare):
        group = list(run)
        if len(group) >= REPEATS and _bare(group[0]):
            group = [cue.model_copy(update={"marks": (*cue.marks, "repeat")}) for cue in group]
        marked += group
    return tuple(marked)


def _bare(cue: Cue) -> str:
    return re.sub(r"[^\w ]+", "", cue.text.casefold()).strip()
