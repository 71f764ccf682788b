"""One call on disk: its file names, its lock, whole-or-not-at-all writes, and what a person changed.

Knows nothing of what the files mean. A call folder remembers, in a small hidden file, from which input
it was made and the hash of every file written here; a file whose hash is another one was changed by a
person, and is never overwritten.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from itertools import count
from pathlib import Path
from typing import Any, Literal

from filelock import FileLock, Timeout
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from callnotes.callfolder.files import (
    PART,
    cannot_read,
    cannot_write,
    copy_whole,
    remove,
    sha256_of,
    write_whole,
)
from callnotes.errors import InputError, OutputError

__all__ = [
    "CAPTIONS",
    "CORRECTIONS",
    "TIMELINE",
    "TRANSCRIPT",
    "CallFolder",
    "Source",
    "cannot_read",
    "claim",
    "is_call_folder",
    "recording_of",
    "reopen",
    "sha256_of",
    "source_of",
    "was_edited",
    "write_whole",
]

TRANSCRIPT = "transcript.json"
CAPTIONS = "transcript.vtt"
TIMELINE = "timeline.json"
CORRECTIONS = "corrections.jsonl"
MEMORY = ".callnotes.json"
LOCK = ".callnotes.lock"

LOCK_PATIENCE_S = 0.5  # long enough for another run to write down whose folder it has taken


class Source(BaseModel):
    """The input a call folder was made from: its file name and its SHA-256."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str
    sha256: str


class Memory(BaseModel):
    """What a call folder remembers of itself. ``wrote`` holds the last hashes of each file, newest first."""

    model_config = ConfigDict(extra="forbid", validate_assignment=True)

    format: Literal["callnotes.folder/1"] = "callnotes.folder/1"
    source: Source | None = None
    recording: str | None = None
    heard_with: dict[str, Any] | None = None
    wrote: dict[str, list[str]] = Field(default_factory=dict)


class CallFolder:
    """A call folder that this process holds the lock of (see ``claim`` and ``reopen``)."""

    def __init__(self, path: Path, memory: Memory, *, fresh: bool) -> None:
        self.path = path
        self.memory = memory
        self.fresh = fresh

    @property
    def recording(self) -> Path | None:
        """The copy of the recording, or None where the call came from a transcript."""
        path = self.path / self.memory.recording if self.memory.recording else None
        return path if path and path.is_file() else None

    def has(self, name: str) -> bool:
        return (self.path / name).is_file()

    def edited(self, name: str) -> bool:
        """Whether a file of that name is there that differs from everything written here."""
        return self.has(name) and sha256_of(self.path / name) not in self.memory.wrote.get(name, ())

    def write(self, name: str, data: bytes) -> Path:
        """Writes a file whole; where a person changed the one that is there, under the next free number.

        Returns the path written. ``OutputError`` where the place cannot be written.
        """
        stem, ending = Path(name).stem, Path(name).suffix
        path = self.path / next(each for each in _numbered(stem, ending) if not self.edited(each))
        digest = hashlib.sha256(data).hexdigest()
        there = [sha256_of(path)] if path.is_file() else []
        if there == [digest]:
            return path
        # The hash goes down first: killed between the two, neither version passes for a person's work.
        self.memory.wrote[path.name] = [digest, *there]
        self.remember()
        write_whole(path, data)
        return path

    def keep_recording(self, source: Path) -> Path:
        """Copies the recording in, untouched, unless it is there already."""
        target = self.path / source.name
        sha256 = self.memory.source.sha256 if self.memory.source else sha256_of(source)
        if not (target.is_file() and sha256_of(target) == sha256):
            if target.exists():
                raise OutputError("is another recording of that name", where=str(target), hint="move it elsewhere")
            copy_whole(source, target, sha256)
        self.memory.recording = target.name
        self.remember()
        return target

    def start_corrections(self) -> None:
        """Makes the empty corrections file; one that is there is left alone."""
        if not self.has(CORRECTIONS):
            write_whole(self.path / CORRECTIONS, b"")

    def append(self, name: str, line: str) -> None:
        """Adds one line to a file that only grows; the file holds the whole line after it, or is as before."""
        path = self.path / name
        try:
            before = path.read_bytes() if path.exists() else b""
        except OSError as error:
            raise cannot_read(path, error) from error
        break_ = b"" if not before or before.endswith(b"\n") else b"\n"
        write_whole(path, before + break_ + line.encode() + b"\n")

    def remember(self) -> None:
        """Writes the folder's memory down."""
        write_whole(self.path / MEMORY, (self.memory.model_dump_json(indent=2) + "\n").encode())


def is_call_folder(path: Path) -> bool:
    """Whether the folder holds a call that was begun."""
    return path.is_dir() and any((path / name).is_file() for name in (MEMORY, TIMELINE, TRANSCRIPT))


def was_edited(path: Path, name: str) -> bool:
    """Whether a person changed that file of the call folder at ``path``; asked without its lock."""
    return CallFolder(path, _recall(path), fresh=False).edited(name)


def recording_of(path: Path) -> Path:
    """The copy of the recording that a call folder holds; ``InputError`` where it holds none."""
    name = _recall(path).recording
    if name is None or not (path / name).is_file():
        raise InputError("holds no recording", where=str(path), hint="give the recording itself")
    return path / name


def source_of(path: Path) -> Source:
    """What a folder remembers of an input; ``InputError`` where it cannot be read."""
    return Source(name=path.name, sha256=sha256_of(path))


@contextmanager
def claim(out: Path, source: Source) -> Iterator[CallFolder]:
    """The call folder of this input under ``out``, locked: the one made from it before, else a new one.

    An input with another content is another call, whatever it is named. A name that something else has
    taken gets a number. A new folder in which nothing came about because of an error is taken away again.
    """
    for path in (out / name for name in _numbered(Path(source.name).stem)):
        if not _may_be(path, source):
            continue
        fresh = not is_call_folder(path)
        _make(path)
        try:
            lock = _lock(path)
        except Timeout:
            if is_call_folder(path) and _may_be(path, source):
                raise _busy(path) from None
            continue
        with lock:
            if not _may_be(path, source):
                continue
            folder = CallFolder(path, _recall(path), fresh=fresh)
            folder.memory.source = source
            with _taken_away_if_barren(folder):
                folder.remember()
                yield folder
            return


@contextmanager
def reopen(path: Path) -> Iterator[CallFolder]:
    """The call folder at ``path``, locked; ``InputError`` where it is none, ``OutputError`` where in use."""
    if not is_call_folder(path):
        raise InputError(
            "is not a call folder", where=str(path), hint="give a recording, a transcript or a call folder"
        )
    try:
        lock = _lock(path)
    except Timeout:
        raise _busy(path) from None
    with lock:
        yield CallFolder(path, _recall(path), fresh=False)


def _numbered(stem: str, ending: str = "") -> Iterator[str]:
    """``report.docx``, ``report-2.docx``, ``report-3.docx`` and so on."""
    yield stem + ending
    yield from (f"{stem}-{number}{ending}" for number in count(2))


def _may_be(path: Path, source: Source) -> bool:
    """Whether the folder is free, empty, or was made from this very input."""
    if not path.exists():
        return True
    if not path.is_dir():
        return False
    if not is_call_folder(path):
        return all(entry.name == LOCK or entry.name.endswith(PART) for entry in path.iterdir())
    known = _recall(path).source
    return known is not None and known.sha256 == source.sha256


def _recall(path: Path) -> Memory:
    file = path / MEMORY
    try:
        return Memory.model_validate_json(file.read_bytes())
    except FileNotFoundError:
        return Memory()
    except OSError as error:
        raise cannot_read(file, error) from error
    except (ValidationError, json.JSONDecodeError) as error:
        hint = "delete it; the files beside it then count as yours and are kept"
        raise InputError("is not readable as the folder's memory", where=str(file), hint=hint) from error


def _make(path: Path) -> None:
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise cannot_write(path, error) from error


def _lock(path: Path) -> AbstractContextManager[object]:
    """The acquired lock of a folder, given back at the end of its ``with``.

    It is the operating system's own, so a killed run leaves none behind.
    """
    try:
        held = FileLock(path / LOCK).acquire(timeout=LOCK_PATIENCE_S)
    except Timeout:
        raise
    except OSError as error:
        raise cannot_write(path, error) from error
    except NotImplementedError as error:
        raise OutputError("this disk cannot lock files", where=str(path), hint="choose a folder elsewhere") from error
    for part in path.glob(f".*{PART}"):
        remove(part)
    return held


@contextmanager
def _taken_away_if_barren(folder: CallFolder) -> Iterator[None]:
    try:
        yield
    except Exception:
        if folder.fresh and not folder.has(TRANSCRIPT):
            for name in (folder.memory.recording, MEMORY, LOCK):
                if name:
                    remove(folder.path / name)
            with suppress(OSError):
                folder.path.rmdir()
        raise


def _busy(path: Path) -> OutputError:
    return OutputError("another run is at work in this folder", where=str(path), hint="wait until it is done")
