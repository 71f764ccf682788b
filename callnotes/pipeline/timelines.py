"""A timeline as it stands: read from a file or a call folder, with what a person corrected."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import ValidationError

from callnotes import callfolder, corrections
from callnotes.callfolder import TIMELINE
from callnotes.errors import InputError
from callnotes.records import Timeline

if TYPE_CHECKING:
    from callnotes.trade import Trade


def read_timeline(path: Path) -> Timeline:
    """The timeline in a file; ``InputError`` naming the place in it that does not hold."""
    try:
        data = path.read_bytes()
    except OSError as error:
        raise callfolder.cannot_read(path, error) from error
    try:
        return Timeline.model_validate_json(data)
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(map(str, first["loc"]))
        what = f"is not a timeline: {place + ': ' if place else ''}{first['msg']}"
        raise InputError(what, where=str(path), hint="callnotes timeline makes one from a transcript") from error


def timeline_file(given: Path) -> Path:
    """The timeline of a call folder, or the file itself; ``InputError`` where a folder has none yet."""
    if not given.is_dir():
        return given
    if not (given / TIMELINE).is_file():
        hint = f"callnotes run {given} makes it" if any(given.iterdir()) else "give a call folder"
        raise InputError(f"holds no {TIMELINE}", where=str(given), hint=hint)
    return given / TIMELINE


def read_call(given: Path, trade: Trade | None = None) -> Timeline:
    """The timeline in a file, or that of a call folder with its corrections; ``InputError`` where there is none."""
    timeline = read_timeline(timeline_file(given))
    return corrected(timeline, given, trade) if given.is_dir() else timeline


def corrected(timeline: Timeline, folder: Path, trade: Trade | None = None) -> Timeline:
    """A timeline of that call folder with the folder's corrections; its conclusions follow the facts that changed.

    Applied twice it stays the same. Of a timeline that a person edited only the open items are made anew.
    """
    lines = corrections.read(folder)
    if not lines:
        return timeline
    from callnotes.diagnose import diagnose, reopened
    from callnotes.trade import load_trade

    trade = trade or load_trade()
    call = corrections.with_facts(timeline.call, lines, trade)
    if call != timeline.call:
        again = reopened if callfolder.was_edited(folder, TIMELINE) else diagnose
        timeline = again(timeline.model_copy(update={"call": call}), trade)
    return corrections.with_acceptances(timeline, lines)
