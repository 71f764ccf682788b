"""What all readers share: the file's text with its line numbers, and the transcript as it grows.

A reader gives cues and complaints to a ``Draft``; the draft puts times right, sorts, and makes the
``Transcript``. No knowledge of any format here.
"""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import TypeGuard

import callnotes
from callnotes.errors import InputError
from callnotes.records import Cue, Made, Recording, Transcript, Word
from callnotes.timed_text.speakers import with_labels

LARGEST_BYTES = 256 * 2**20
MOST_WARNINGS = 500
WORDS_PER_SECOND = 2.5  # unhurried talk, 150 words a minute
_QUOTED_CHARACTERS = 300


@dataclass(frozen=True)
class TextFile:
    """A file as text: lines without their ends, and the hash of its bytes."""

    path: Path
    text: str
    sha256: str
    doubts: tuple[str, ...] = ()

    @property
    def lines(self) -> list[str]:
        """The lines; only line feeds part them (a form feed in a cue does not)."""
        return self.text.split("\n")


def open_text(path: Path) -> TextFile:
    """The file decoded: UTF-8 or UTF-16 by its byte-order mark, else UTF-8, else Windows-1252 with a doubt.

    ``InputError`` if it is missing, no file, empty, too large or cannot be read.
    """
    data = _bytes(path)
    if not data.strip(b"\x00 \t\r\n\xef\xbb\xbf"):
        raise InputError("is empty", where=str(path), hint="give a transcript that holds timed text")
    doubts: tuple[str, ...] = ()
    try:
        utf16 = data.startswith((b"\xff\xfe", b"\xfe\xff"))
        text = data.decode("utf-16") if utf16 else data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
        doubts = ("the file is not UTF-8; it was read as Windows-1252, so some characters may be wrong",)
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return TextFile(path, text, hashlib.sha256(data).hexdigest(), doubts)


def _bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError as error:
        raise InputError("there is no such file", where=str(path), hint="check the path") from error
    except IsADirectoryError as error:
        raise InputError("is a folder, not a transcript", where=str(path), hint="give the file in it") from error
    except OSError as error:
        reason = error.strerror or "unknown reason"
        raise InputError(f"cannot be read ({reason})", where=str(path), hint="check the path and its rights") from error
    if len(data) > LARGEST_BYTES:
        limit = f"the limit is {LARGEST_BYTES // 2**20} MB"
        raise InputError(f"is too large for a transcript ({limit})", where=str(path), hint="split it")
    return data


@dataclass
class Draft:
    """Cues and complaints on their way to a transcript."""

    file: TextFile
    cues: list[Cue] = field(default_factory=list)
    label_allowed: list[bool] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    unsaid: int = 0

    def warn(self, what: str, *, line: int | None = None, text: str = "") -> None:
        """Notes what could not be taken, with its line (from 1) and its words."""
        if len(self.warnings) >= MOST_WARNINGS:
            self.unsaid += 1
            return
        quoted = text if len(text) <= _QUOTED_CHARACTERS else text[:_QUOTED_CHARACTERS] + "..."
        place = f"line {line}: " if line is not None else ""
        self.warnings.append(place + what + (f": {quoted}" if text else ""))

    def add(
        self,
        start: float,
        end: float,
        text: str,
        *,
        speaker: str | None = None,
        words: tuple[Word, ...] = (),
        marks: tuple[str, ...] = (),
        label_allowed: bool = False,
        line: int | None = None,
    ) -> None:
        """Takes one cue; one that ends where it starts, or before, gets an end by its count of words."""
        if end <= start:
            what = "the cue has no length" if end == start else "the cue ends before it starts"
            self.warn(f"{what}; its end is estimated", line=line, text=text)
            end = start + estimate(text)
        self.cues.append(Cue(start=start, end=end, text=text, speaker=speaker, words=words, marks=marks))
        self.label_allowed.append(label_allowed)

    def finish(self) -> Transcript:
        """The transcript, cues in order of time. ``InputError`` if no cue was found."""
        if not self.cues:
            raise InputError("holds no timed text that can be read", where=str(self.file.path), hint=self._first_hint())
        cues = list(with_labels(self.cues, self.label_allowed))
        if any(after.start < before.start for before, after in pairwise(cues)):
            self.warn("the cues were not in order of time; they were sorted")
            cues.sort(key=lambda cue: cue.start)
        length = max(cue.end for cue in cues)
        more = (f"and {self.unsaid} more such places",) if self.unsaid else ()
        return Transcript(
            recordings=(Recording(name=self.file.path.name, sha256=self.file.sha256, duration_s=length),),
            made=Made(version=callnotes.__version__, engine="replay"),
            cues=tuple(cues),
            warnings=(*self.file.doubts, *self.warnings, *more),
        )

    def _first_hint(self) -> str:
        known = "WebVTT, SubRip, JSON with segments, or text with [m:ss] marks"
        return f"{self.warnings[0]} (known are {known})" if self.warnings else f"known are {known}"


def estimate(text: str) -> float:
    """Seconds that the text takes to say, at least one."""
    return max(1.0, round(len(text.split()) / WORDS_PER_SECOND, 3))


def is_time(value: object) -> TypeGuard[int | float]:
    """Whether a value from a JSON file is a time: a finite number of seconds, not negative, under a year."""
    return (
        isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value) and 0 <= value < 3.2e7
    )
