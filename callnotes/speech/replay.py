"""An engine that hears nothing: it plays a transcript file with its times, for tests and for other engines' output."""

from __future__ import annotations

from pathlib import Path

from callnotes import timed_text
from callnotes.errors import InputError
from callnotes.progress import Progress
from callnotes.records import Transcript
from callnotes.settings import Settings
from callnotes.speech import audio


class Replay:
    """Plays ``settings.model`` if that is a transcript, else the recording itself if it is one, else a
    transcript of the same name beside it (``call.opus`` and ``call.vtt``)."""

    def transcribe(
        self, recording: Path, settings: Settings, progress: Progress, *, vocabulary_prompt: str | None = None
    ) -> Transcript:
        """The transcript in that file; beside a recording it carries the recording's name, hash and length."""
        source = _source(recording, settings.model)
        played = timed_text.read(source)
        if source != recording:
            heard = audio.survey(recording, progress)
            played = played.model_copy(update={"recordings": (heard,)})
        progress.begin("speech", played.recordings[0].duration_s)
        for cue in played.cues:
            progress.reach(cue.end)
        progress.end()
        made = played.made.model_copy(update={"engine": "replay"})
        return played.model_copy(update={"made": made})


def _source(recording: Path, model: str | None) -> Path:
    if model and Path(model).is_file():
        return Path(model)
    if not recording.exists():
        raise InputError("there is no such file", where=str(recording), hint="check the path")
    if timed_text.is_transcript(recording):
        return recording
    for ending in timed_text.READERS:
        beside = recording.with_suffix(ending)
        if beside.is_file() and timed_text.is_transcript(beside):
            return beside
    endings = ", ".join(timed_text.READERS)
    raise InputError("has no transcript beside it to replay", where=str(recording), hint=f"add one ending in {endings}")
