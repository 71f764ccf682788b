"""Timed text in, ``records.Transcript`` out; no meaning is read into it here.

Stands below ``speech``: its ``replay`` engine plays what is read here.

A new format takes three steps:

1. one module with ``read(file: TextFile) -> Transcript`` that gives cues and complaints to a ``Draft``;
2. one entry in ``READERS`` and, if its content gives it away, one line in ``_by_content``;
3. a pair of files in ``tests/cases/timed_text``.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from callnotes.errors import InputError
from callnotes.records import TIMELINE_FORMAT, TRANSCRIPT_FORMAT, Transcript
from callnotes.timed_text import marked_text, own_json, segments_json, srt, vtt
from callnotes.timed_text.draft import TextFile, open_text

__all__ = ["READERS", "is_transcript", "read", "write_vtt"]

Reader = Callable[[TextFile], Transcript]

READERS: dict[str, Reader] = {
    ".vtt": vtt.read,
    ".srt": srt.read,
    ".json": segments_json.read,
    ".txt": marked_text.read,
}

_HEAD = 65536
_OWN = re.compile(r'"format"\s{0,20}:\s{0,20}"' + re.escape(TRANSCRIPT_FORMAT.split("/")[0]) + "/")
_TIMELINE = re.compile(r'"format"\s{0,20}:\s{0,20}"' + re.escape(TIMELINE_FORMAT.split("/")[0]) + "/")
_SEGMENTS = re.compile(r'"segments"\s{0,20}:\s{0,20}\[')


def read(path: Path) -> Transcript:
    """The transcript in a file of any known format, cues in order of time.

    What could not be taken stands in ``Transcript.warnings`` with its line. ``InputError`` if nothing could.
    """
    file = open_text(path)
    head = file.text[:_HEAD]
    if _looks_binary(head):
        raise InputError("is no text", where=str(path), hint="is it a recording?")
    if _TIMELINE.search(head):
        raise InputError(
            "is a timeline, not a transcript", where=str(path), hint="give the transcript it was made from"
        )
    reader = _by_content(head) or READERS.get(path.suffix.lower()) or _by_likeness(head)
    if reader is None:
        known = ", ".join(READERS)
        raise InputError("is no transcript that callnotes knows", where=str(path), hint=f"known endings are {known}")
    return reader(file)


def is_transcript(path: Path) -> bool:
    """Whether the file is timed text, not a recording (or anything else), by its content, then by its ending."""
    known = path.suffix.lower() in READERS
    try:
        with path.open("rb") as file:
            data = file.read(_HEAD)
    except OSError:
        return known
    utf16 = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    head = data.decode("utf-16" if utf16 else "utf-8-sig", errors="replace").replace("\r\n", "\n")
    if _looks_binary(head) or _TIMELINE.search(head):
        return False
    return known or _by_content(head) is not None


def write_vtt(transcript: Transcript) -> str:
    """The transcript as WebVTT text, escaped, ending in a newline."""
    return vtt.write(transcript)


def _by_content(head: str) -> Reader | None:
    """The reader for content that gives itself away, whatever the file is called."""
    if re.match(r"WEBVTT(?:[ \t\n]|$)", head):
        return vtt.read
    if head.lstrip().startswith("{"):
        if _OWN.search(head):
            return own_json.read
        return segments_json.read if _SEGMENTS.search(head) else None
    return None


def _by_likeness(head: str) -> Reader | None:
    """A guess for an unknown ending."""
    if "-->" in head:
        return srt.read
    if any(marked_text.MARK.match(line) for line in head.split("\n")):
        return marked_text.read
    return None


def _looks_binary(head: str) -> bool:
    # A stray control character is tolerated (and taken out later); recordings are full of NULs.
    return head.count("\x00") * 20 > len(head)
