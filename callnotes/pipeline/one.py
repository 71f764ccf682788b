"""The stages of one call, a function each, and ``run``, which does them all in a call folder.

Nothing is decided here: this module hands the record of one stage to the next and keeps the files.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from callnotes import callfolder
from callnotes.callfolder import CAPTIONS, TIMELINE, TRANSCRIPT, CallFolder
from callnotes.errors import InputError, OptionError
from callnotes.pipeline.timelines import corrected, read_timeline
from callnotes.progress import Progress, Silent
from callnotes.records import Timeline, Transcript, to_json
from callnotes.render import Kind
from callnotes.settings import Settings

if TYPE_CHECKING:
    from callnotes.speech import Engine
    from callnotes.trade import Trade

REPORTS: tuple[Kind, ...] = ("docx", "html", "md")

_WARNINGS_SHOWN = 5


@dataclass(frozen=True)
class Outcome:
    """What came of one call.

    ``files`` are all files of the folder that this run stands behind, the reports first; ``reused`` names
    the stages that were not done again; ``kept`` are files that a person changed and that were left alone.
    """

    folder: Path
    timeline: Timeline
    files: tuple[Path, ...]
    reused: tuple[str, ...] = ()
    kept: tuple[Path, ...] = ()


def transcribe(source: Path, settings: Settings, progress: Progress | None = None) -> Transcript:
    """The timed words of a recording, or of a file that already is a transcript.

    ``InputError`` where the file cannot be used or nobody speaks in it, ``ModelError`` where the speech
    model cannot, ``OptionError`` for an engine that does not exist.
    """
    if _is_words(source):
        return read_transcript(source)
    return _of_use(_engine(settings.engine).transcribe(source, settings, progress or Silent()), source)


def read_transcript(path: Path) -> Transcript:
    """The transcript in a file; ``InputError`` where it is none, or where nobody speaks in it."""
    from callnotes import timed_text

    return _of_use(timed_text.read(path), path)


def make_timeline(transcript: Transcript, settings: Settings, trade: Trade | None = None) -> Timeline:
    """The timeline of a transcript: events found, readings judged by ``settings.profile``, fault diagnosed.

    ``trade`` spares loading the tables again. ``DataError`` for a bad vocabulary file, ``OptionError`` for
    an unknown profile.
    """
    from callnotes.diagnose import diagnose
    from callnotes.extract import extract
    from callnotes.judge import judge

    trade = trade or ready(settings)
    return diagnose(judge(extract(transcript, trade), trade, settings.profile), trade)


def render(timeline: Timeline, settings: Settings, kind: Kind, trade: Trade | None = None) -> bytes:
    """The closeout report as the bytes of a file of that kind; ``TemplateError`` for a bad template."""
    from callnotes.render import render_report

    return render_report(timeline, trade or ready(settings), kind=kind, templates=settings.templates)


def run(source: Path, out: Path, settings: Settings, progress: Progress | None = None) -> Outcome:
    """The whole job on a recording, a transcript or a call folder; goes on where it stopped before.

    Makes ``out/NAME`` (a call folder is worked on in place) with the copy of the recording, the transcript,
    the timeline, an empty corrections file and the reports. Raises what the stages raise, and
    ``OutputError`` where the folder cannot be written or another run is at work in it.
    """
    progress = progress or Silent()
    trade = ready(settings)
    if source.is_dir():
        with callfolder.reopen(source) as folder:
            return Job(folder, settings, progress, trade).work(None)
    with callfolder.claim(out, callfolder.source_of(source)) as folder:
        return Job(folder, settings, progress, trade).work(source)


def ready(settings: Settings) -> Trade:
    """The tables of the trade, once it is clear that the settings hold; before any long work is begun.

    ``DataError`` for a bad vocabulary file, ``OptionError`` for a profile or template folder that is not there.
    """
    from callnotes.trade import load_trade

    trade = load_trade(settings.vocabulary)
    if settings.profile is not None:
        trade.limits_of(settings.profile)
    if settings.templates is not None and not settings.templates.is_dir():
        raise OptionError("no such folder of templates", where=str(settings.templates), hint="check --templates")
    return trade


class Job:
    """The stages at work in one call folder that is locked (``callfolder.reopen``).

    ``work`` does them all; a ``keep_...`` method writes what one stage gave. What a person changed is
    never overwritten: the new file gets a number, and ``progress.warn`` says so.
    """

    def __init__(self, folder: CallFolder, settings: Settings, progress: Progress, trade: Trade) -> None:
        self.folder = folder
        self.settings = settings
        self.progress = progress
        self.trade = trade
        self.reused: list[str] = []

    def work(self, source: Path | None) -> Outcome:
        """All stages, from ``source`` or, where that is None, from what the folder holds."""
        timeline = self._timeline(source)
        self.folder.start_corrections()
        reports = [self.keep_report(timeline, kind) for kind in REPORTS]
        usual = [self.folder.path / f"report.{kind}" for kind in REPORTS]
        data = [self.folder.path / name for name in (TIMELINE, TRANSCRIPT, CAPTIONS) if self.folder.has(name)]
        recording = self.folder.recording
        return Outcome(
            folder=self.folder.path,
            timeline=timeline,
            files=(*reports, *data, *([recording] if recording else [])),
            reused=tuple(self.reused),
            kept=tuple(path for path in usual if path not in reports),
        )

    def _timeline(self, source: Path | None) -> Timeline:
        if self._by_hand(TIMELINE):
            return corrected(read_timeline(self.folder.path / TIMELINE), self.folder.path, self.trade)
        transcript = self._transcript(source)
        self._write(CAPTIONS, _captions(transcript))
        self.progress.begin("finding readings and actions")
        timeline = corrected(make_timeline(transcript, self.settings, self.trade), self.folder.path, self.trade)
        self.keep_timeline(timeline)
        self.progress.end()
        return timeline

    def _transcript(self, source: Path | None) -> Transcript:
        if self._by_hand(TRANSCRIPT):
            return read_transcript(self.folder.path / TRANSCRIPT)
        if source is not None and _is_words(source):
            transcript = read_transcript(source)
            self.keep_transcript(transcript)
            return transcript
        if source is not None:
            self.folder.keep_recording(source)
        recording = self.folder.recording
        if self.folder.has(TRANSCRIPT) and (recording is None or self._was_heard_so()):
            self.reused.append("transcript")
            return read_transcript(self.folder.path / TRANSCRIPT)
        if recording is None:
            hint = "give the recording or the transcript itself"
            raise InputError("holds no recording and no transcript", where=str(self.folder.path), hint=hint)
        try:
            transcript = transcribe(recording, self.settings, self.progress)
        except InputError as error:
            if source is not None and error.where == str(recording):
                error.where = str(source)  # the user knows the file as given, not our copy of it
            raise
        self.keep_transcript(transcript)
        return transcript

    def keep_transcript(self, transcript: Transcript) -> list[Path]:
        """Writes the transcript, as JSON and as WebVTT, and remembers how it was heard."""
        for line in transcript.warnings[:_WARNINGS_SHOWN]:
            self.progress.warn(line)
        if len(transcript.warnings) > _WARNINGS_SHOWN:
            self.progress.warn(f"{len(transcript.warnings) - _WARNINGS_SHOWN} more warnings stand in {TRANSCRIPT}")
        written = self._write(TRANSCRIPT, to_json(transcript).encode())
        # Only now: killed before, the next run must not take the old transcript for this one.
        self.folder.memory.heard_with = self._hearing()
        self.folder.remember()
        return [written, self._write(CAPTIONS, _captions(transcript))]

    def keep_timeline(self, timeline: Timeline) -> Path:
        """Writes the timeline; the path says where it went."""
        return self._write(TIMELINE, to_json(timeline).encode())

    def keep_report(self, timeline: Timeline, kind: Kind) -> Path:
        """Renders and writes the report of that kind; the path says where it went."""
        name = f"report.{kind}"
        self.progress.begin(f"writing {name}")
        path = self._write(name, render(timeline, self.settings, kind, self.trade))
        self.progress.end()
        return path

    def _by_hand(self, name: str) -> bool:
        """Whether a person changed that file; then it is taken as it is, and the user is told."""
        if not self.folder.edited(name):
            return False
        self.progress.warn(f"{name} was changed by hand and is used as it is")
        self.reused.append(Path(name).stem)
        return True

    def _hearing(self) -> dict[str, Any]:
        """The settings that change what is heard."""
        hashes = [callfolder.sha256_of(path) for path in self.settings.vocabulary]
        return {"engine": self.settings.engine, "model": self.settings.model, "vocabulary": hashes}

    def _was_heard_so(self) -> bool:
        """Whether the stored transcript came about with these settings; a model not asked for is any model."""
        asked, then = self._hearing(), dict(self.folder.memory.heard_with or {})
        if asked["model"] is None:
            then["model"] = None
        return asked == then

    def _write(self, name: str, data: bytes) -> Path:
        path = self.folder.write(name, data)
        if path.name != name:
            self.progress.warn(f"{name} was changed by hand and is kept; the new one is {path.name}")
        return path


@lru_cache(maxsize=1)
def _engine(name: str) -> Engine:
    """The engine, kept for the next recording, since it holds its loaded model."""
    from callnotes import speech

    return speech.engine(name)


def _of_use(transcript: Transcript, source: Path) -> Transcript:
    if all({"no_speech", "repeat"} & set(cue.marks) or not cue.text.strip() for cue in transcript.cues):
        raise InputError("nobody speaks in it", where=str(source), hint="was the microphone on?")
    return transcript


def _captions(transcript: Transcript) -> bytes:
    from callnotes.timed_text import write_vtt

    return write_vtt(transcript).encode()


def _is_words(source: Path) -> bool:
    """Whether the file is timed text; JSON that is none is left to the reader, which says what it is."""
    from callnotes.timed_text import is_transcript

    return is_transcript(source) or source.suffix.lower() == ".json"
