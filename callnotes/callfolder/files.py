"""Files read and written whole or not at all, and the one line for each way in which that fails."""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from callnotes.errors import InputError, OutputError

PART = ".part"

_CANNOT_WRITE = {
    errno.ENOSPC: ("the disk is full", "make room and run the same command again"),
    errno.ENOTDIR: ("a file stands where a folder is needed", "choose another folder"),
    errno.EEXIST: ("a file stands where a folder is needed", "choose another folder"),
    errno.EISDIR: ("is a folder", "give a file name"),
    errno.ENOENT: ("the folder is not there", "make it or check the path"),
}


def sha256_of(path: Path) -> str:
    """SHA-256 of a file as hexadecimal digits; ``InputError`` where it cannot be read."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise cannot_read(path, error) from error


def write_whole(path: Path, data: bytes) -> None:
    """Writes a file whole or not at all, safe against a kill; ``OutputError`` where that fails."""
    with _taking_the_place_of(path) as file:
        file.write(data)


def copy_whole(source: Path, target: Path, sha256: str) -> None:
    """Copies a file whole or not at all; ``InputError`` if what arrives has another hash."""
    with _taking_the_place_of(target) as file:
        try:
            reader = source.open("rb")
        except OSError as error:
            raise cannot_read(source, error) from error
        with reader:
            shutil.copyfileobj(reader, file, 1 << 20)
        file.flush()
        if sha256_of(Path(file.name)) != sha256:
            hint = "try again when nothing writes to it"
            raise InputError("changed while it was being copied", where=str(source), hint=hint)


def remove(path: Path) -> None:
    """Removes a file if it is there and can be removed."""
    with suppress(OSError):
        path.unlink(missing_ok=True)


def cannot_read(path: Path, error: OSError) -> InputError:
    """The error for a file that cannot be read."""
    if isinstance(error, FileNotFoundError | NotADirectoryError):
        return InputError("no such file", where=str(path), hint="check the path")
    if isinstance(error, IsADirectoryError):
        return InputError("is a folder", where=str(path), hint="give a file in it")
    return InputError(f"cannot be read ({error.strerror or error})", where=str(path), hint="check who may read it")


def cannot_write(path: Path, error: OSError) -> OutputError:
    """The error for a place that cannot be written."""
    default = (f"cannot be written ({error.strerror or error})", "choose another folder")
    what, hint = _CANNOT_WRITE.get(error.errno or 0, default)
    return OutputError(what, where=str(path), hint=hint)


@contextmanager
def _taking_the_place_of(path: Path) -> Iterator[BinaryIO]:
    """A file beside ``path`` that takes its place once it is complete and on the disk."""
    part = path.with_name(f".{path.name}.{os.getpid()}{PART}")
    try:
        with part.open("wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, path)
        _sync_folder(path.parent)
    except OSError as error:
        raise cannot_write(path, error) from error
    finally:
        remove(part)


def _sync_folder(path: Path) -> None:
    """Makes a rename last; folders cannot be opened on Windows, where it lasts without."""
    if os.name == "nt":
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
