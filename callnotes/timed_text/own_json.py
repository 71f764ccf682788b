"""Reads callnotes' own ``callnotes.transcript/1``; strict, since nobody but callnotes writes it."""

from __future__ import annotations

from pydantic import ValidationError

import callnotes
from callnotes.errors import InputError
from callnotes.records import TRANSCRIPT_FORMAT, Cue, Recording, Transcript, Word
from callnotes.timed_text.draft import TextFile, is_time
from callnotes.timed_text.json_file import parsed
from callnotes.timed_text.markup import clean


def read(file: TextFile) -> Transcript:
    """The transcript as it was written. ``InputError`` names the first key that does not hold."""
    content = parsed(file)
    where = str(file.path)
    if content.get("format") != TRANSCRIPT_FORMAT:
        found = clean(str(content.get("format")))[:60]
        raise InputError(f"has the format {found!r}, not {TRANSCRIPT_FORMAT!r}", where=where, hint="give a transcript")
    content.setdefault("made", {"version": callnotes.__version__, "engine": "replay"})
    try:
        transcript = Transcript.model_validate(content)
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(step) for step in first["loc"])
        raise InputError(f"does not hold at {key}: {first['msg']}", where=where, hint="transcribe again") from error
    if not transcript.cues:
        raise InputError("holds no cue", where=where, hint="transcribe again")
    _check_times(transcript, where)
    cues = tuple(sorted((_cleaned(cue) for cue in transcript.cues), key=lambda cue: cue.start))
    length = max(cue.end for cue in cues)
    recordings = transcript.recordings or (Recording(name=file.path.name, sha256=file.sha256, duration_s=length),)
    return transcript.model_copy(update={"cues": cues, "recordings": recordings})


def _check_times(transcript: Transcript, where: str) -> None:
    for number, cue in enumerate(transcript.cues, 1):
        spans: tuple[Cue | Word, ...] = (cue, *cue.words)
        if not all(is_time(span.start) and is_time(span.end) and span.start <= span.end for span in spans):
            raise InputError(f"cue {number} has times that cannot be", where=where, hint="transcribe again")


def _cleaned(cue: Cue) -> Cue:
    text = clean(cue.text)
    return cue if text == cue.text else cue.model_copy(update={"text": text})
