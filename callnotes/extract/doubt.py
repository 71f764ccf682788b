"""Stretches that the speech engine itself doubts: no event, but a number with a unit in one is worth a listen."""

from __future__ import annotations

from callnotes.extract.normal import split
from callnotes.extract.numbers import find_numbers
from callnotes.records import Cue, OpenItem
from callnotes.trade import Trade


def marked_stretches(cues: tuple[Cue, ...], trade: Trade) -> tuple[OpenItem, ...]:
    """An open item for each marked cue that holds a number with a unit."""
    units = {said.lower() for unit in trade.units for said in unit.said}
    items = []
    for cue in cues:
        if not cue.marks:
            continue
        words = [norm for norm, kind, _, _ in split(cue.text) if kind != "mark"]
        if any(number.last < len(words) and words[number.last] in units for number in find_numbers(words)):
            clock = f"{int(cue.start) // 60}:{int(cue.start) % 60:02d}"
            text = f"{clock}: could be a reading, listen (“{cue.text.strip()}”)"
            items.append(OpenItem(code="listen", text=text, level="noted"))
    return tuple(items)
