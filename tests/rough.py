"""Transcripts made rough: case and punctuation gone, cues cut anew at fixed times, speakers untold."""

from __future__ import annotations

import re

from callnotes.records import Cue, Transcript

_MARKS = re.compile(r"[,.?!;:…—–\"](?!\d)")


def bare(text: str) -> str:
    """Small letters and no punctuation, as some engines write; a point inside a number stays."""
    return re.sub(r"\s+", " ", _MARKS.sub(" ", text.lower())).strip()


def roughened(transcript: Transcript) -> Transcript:
    """The same words at the same (estimated) times, bare, in cues of five seconds, with no speaker."""
    bared = (cue.model_copy(update={"text": bare(cue.text)}) for cue in transcript.cues)
    return recut(transcript.model_copy(update={"cues": tuple(bared)}), 5.0)


def recut(transcript: Transcript, seconds: float) -> Transcript:
    """The same words in cues that end after so many seconds, wherever that falls, with no speaker."""
    cues: list[Cue] = []
    for start, end, clean in _words(transcript):
        if cues and start < (cues[0].start + (int((cues[-1].start - cues[0].start) // seconds) + 1) * seconds):
            cues[-1] = cues[-1].model_copy(update={"end": end, "text": f"{cues[-1].text} {clean}"})
        else:
            cues.append(Cue(start=start, end=end, text=clean))
    return transcript.model_copy(update={"cues": tuple(cues)})


def _words(transcript: Transcript) -> list[tuple[float, float, str]]:
    found = []
    for cue in transcript.cues:
        a_letter = (cue.end - cue.start) / max(len(cue.text), 1)
        for match in re.finditer(r"\S+", cue.text):
            found.append((cue.start + match.start() * a_letter, cue.start + match.end() * a_letter, match.group()))
    return found
