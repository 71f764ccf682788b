"""Blocks of lines with a timing line, as WebVTT and SubRip both have them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from callnotes.timed_text.draft import Draft
from callnotes.timed_text.markup import parts_of
from callnotes.timed_text.stamps import STAMP, seconds_of

# What follows the second stamp are cue settings.
_TIMING = re.compile(rf"\s{{0,20}}({STAMP})\s{{0,20}}-->\s{{0,20}}({STAMP})(?:\s.*)?")


@dataclass
class Block:
    """Lines between blank lines; ``line`` is the number of the first, from 1."""

    line: int
    lines: list[str] = field(default_factory=list)


def blocks_of(lines: list[str]) -> Iterator[Block]:
    """The runs of lines that are not blank."""
    block: Block | None = None
    for number, line in enumerate(lines, 1):
        if not line.strip():
            if block:
                yield block
            block = None
        else:
            block = block or Block(number)
            block.lines.append(line)
    if block:
        yield block


def take_block(block: Block, draft: Draft) -> None:
    """Gives the block's cues to the draft, and complaints about what is none.

    A block may hold several cues where the blank line between them is missing.
    """
    stray: list[str] = []
    cue: _Open | None = None
    for number, line in enumerate(block.lines, block.line):
        if "-->" in line:
            head = cue.lines if cue else stray
            identifier = head.pop() if head and (cue is None or head[-1].strip().isdigit()) else None
            _close(cue, draft)
            cue = _opened(line, number, identifier, draft)
        elif cue:
            cue.lines.append(line)
        else:
            stray.append(line)
    _close(cue, draft)
    if stray:
        draft.warn("text outside of any cue was not taken", line=block.line, text=" / ".join(stray))


@dataclass
class _Open:
    line: int
    start: float | None
    end: float
    lines: list[str] = field(default_factory=list)


def _opened(line: str, number: int, identifier: str | None, draft: Draft) -> _Open:
    match = _TIMING.fullmatch(line)
    start, end = (seconds_of(match.group(1)), seconds_of(match.group(2))) if match else (None, None)
    if start is not None and end is not None:
        return _Open(number, start, end)
    text = line if identifier is None or identifier.strip().isdigit() else f"{identifier} / {line}"
    draft.warn("the times of this cue cannot be read", line=number, text=text)
    return _Open(number, None, 0.0)


def _close(cue: _Open | None, draft: Draft) -> None:
    if cue is None:
        return
    payload = " ".join(cue.lines)
    parts = parts_of(payload)
    if cue.start is None:
        if payload:
            draft.warn("text of a cue without times was not taken", line=cue.line + 1, text=payload)
        return
    if not parts:
        return
    # Two voices in one cue share its time by their length.
    total = sum(len(part.text) for part in parts)
    begin, span = cue.start, cue.end - cue.start
    for part in parts:
        last = part is parts[-1]
        end = cue.end if last else begin + span * len(part.text) / total
        draft.add(begin, end, part.text, speaker=part.speaker, label_allowed=part.label_allowed, line=cue.line)
        begin = end
