"""Reads plain text with a time mark before each paragraph: ``[0:47] At the demarc ...``.

A line without a mark goes on with the paragraph before it. The end of a paragraph is the start of the
next; the last one gets an end by its count of words.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from itertools import pairwise

from callnotes.records import Transcript
from callnotes.timed_text.draft import Draft, TextFile, estimate
from callnotes.timed_text.markup import clean
from callnotes.timed_text.stamps import STAMP, seconds_of

MARK = re.compile(rf"\s{{0,20}}\[({STAMP})\]")


@dataclass
class _Paragraph:
    line: int
    start: float
    pieces: list[str] = field(default_factory=list)


def read(file: TextFile) -> Transcript:
    """The transcript in a text with time marks. ``InputError`` if there is no mark in it."""
    draft = Draft(file)
    paragraphs = _paragraphs(file, draft)
    if any(after.start < before.start for before, after in pairwise(paragraphs)):
        draft.warn("the paragraphs were not in order of time; they were sorted")
        paragraphs.sort(key=lambda paragraph: paragraph.start)
    following: float | None = None
    ends: list[float | None] = []
    for paragraph, after in zip(reversed(paragraphs), [None, *reversed(paragraphs)], strict=False):
        # Two paragraphs under one mark both last until the next later mark.
        if after is not None and after.start > paragraph.start:
            following = after.start
        ends.append(following)
    for paragraph, end in zip(paragraphs, reversed(ends), strict=True):
        text = clean(" ".join(paragraph.pieces))
        if text:
            end = paragraph.start + estimate(text) if end is None else end
            draft.add(paragraph.start, end, text, label_allowed=True, line=paragraph.line)
    return draft.finish()


def _paragraphs(file: TextFile, draft: Draft) -> list[_Paragraph]:
    paragraphs: list[_Paragraph] = []
    for number, line in enumerate(file.lines, 1):
        mark = MARK.match(line)
        start = seconds_of(mark.group(1)) if mark else None
        if mark and start is not None:
            paragraphs.append(_Paragraph(number, start, [line[mark.end() :]]))
        elif paragraphs:
            paragraphs[-1].pieces.append(line)
            if mark:
                draft.warn("this is no time; the line was joined to the paragraph before", line=number, text=line)
        elif line.strip():
            draft.warn("text before the first time mark was not taken", line=number, text=clean(line))
    return paragraphs
