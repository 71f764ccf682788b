"""Reads SubRip: numbered cues, a comma before the milliseconds, HTML-like tags."""

from __future__ import annotations

from callnotes.records import Transcript
from callnotes.timed_text.cue_blocks import blocks_of, take_block
from callnotes.timed_text.draft import Draft, TextFile


def read(file: TextFile) -> Transcript:
    """The transcript in a SubRip file. ``InputError`` if there is no cue in it."""
    draft = Draft(file)
    for block in blocks_of(file.lines):
        take_block(block, draft)
    return draft.finish()
