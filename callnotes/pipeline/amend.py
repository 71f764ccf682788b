"""What a person fills in or accepts, written down in the call folder, and everything that follows from it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from callnotes import callfolder, corrections
from callnotes.callfolder import CORRECTIONS, TIMELINE
from callnotes.corrections import Correction
from callnotes.pipeline.one import REPORTS, Job, ready
from callnotes.pipeline.timelines import corrected, read_call, read_timeline
from callnotes.progress import Progress
from callnotes.records import Timeline
from callnotes.settings import Settings
from callnotes.trade import Trade

Ask = Callable[[Timeline, tuple[Correction, ...], Trade], list[Correction]]


@dataclass(frozen=True)
class Amended:
    """The call after the corrections ``made``, and the ``files`` of the folder that were made anew."""

    timeline: Timeline
    made: tuple[Correction, ...]
    files: tuple[Path, ...]


def amend(call: Path, ask: Ask, settings: Settings, progress: Progress) -> Amended:
    """Writes the corrections that ``ask`` makes of the call as it stands, then the timeline and the papers anew.

    Only papers that the folder has already are made anew; one that a person changed is kept, and the new one gets
    a number. Raises what ``ask`` raises before anything is written, and ``InputError`` or ``OutputError`` where the
    folder is none, is in use or cannot be written.
    """
    trade = ready(settings)
    with callfolder.reopen(call) as folder:
        before = read_call(call, trade)
        made = tuple(ask(before, corrections.read(call), trade))
        folder.append(CORRECTIONS, "\n".join(corrections.to_line(line) for line in made))
        job = Job(folder, settings, progress, trade)
        timeline = corrected(read_timeline(call / TIMELINE), call, trade)
        files = [] if folder.edited(TIMELINE) else [job.keep_timeline(timeline)]
        files += [job.keep_report(timeline, kind) for kind in REPORTS if folder.has(f"report.{kind}")]
    return Amended(timeline, made, tuple(files))
