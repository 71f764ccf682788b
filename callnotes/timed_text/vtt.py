"""Reads and writes WebVTT.

Taken: cues with or without ids and settings, voice tags and leading labels as speakers. Passed over
knowingly: ``NOTE``, ``STYLE`` and ``REGION`` blocks, cue settings, word stamps inside a cue.
"""

from __future__ import annotations

import re

from callnotes.records import Cue, Transcript
from callnotes.timed_text.cue_blocks import blocks_of, take_block
from callnotes.timed_text.draft import Draft, TextFile
from callnotes.timed_text.markup import escaped
from callnotes.timed_text.speakers import looks_labelled
from callnotes.timed_text.stamps import stamp_of

_PASSED_OVER = re.compile(r"NOTE(?:[ \t].*)?|(?:STYLE|REGION)[ \t]*")


def read(file: TextFile) -> Transcript:
    """The transcript in a WebVTT file. ``InputError`` if there is no cue in it."""
    draft = Draft(file)
    lines = file.lines
    if lines[0].startswith("WEBVTT"):
        # Everything up to the first blank line is header, unless a cue follows at once.
        end = next((n for n, line in enumerate(lines) if not line.strip() or "-->" in line), len(lines))
        lines = [""] * end + lines[end:]
    else:
        draft.warn("the file does not begin with WEBVTT; read all the same", line=1)
    for block in blocks_of(lines):
        if not _PASSED_OVER.fullmatch(block.lines[0]):
            take_block(block, draft)
    return draft.finish()


def write(transcript: Transcript) -> str:
    """The transcript as WebVTT: one cue each, speakers as voice tags, text escaped, times to a millisecond.

    Word times, marks and tones have no place in it; they stay in the JSON.
    """
    return "\n".join(["WEBVTT\n", *(_cue(cue) for cue in transcript.cues)])


def _cue(cue: Cue) -> str:
    start = max(0, round(cue.start * 1000))
    end = max(start + 1, round(cue.end * 1000))
    text = escaped(cue.text)
    if cue.speaker:
        text = f"<v {escaped(cue.speaker)}>{text}</v>"
    elif looks_labelled(cue.text):
        # Said words that look like a label: the colon as an entity keeps them words when read again.
        text = text.replace(":", "&#58;", 1)
    return f"{stamp_of(start)} --> {stamp_of(end)}\n{text}\n"
