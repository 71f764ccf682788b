"""Joins a model that comes in pieces into the user's cache: once, whole or not at all, and checked each time."""

from __future__ import annotations

import hashlib
import os
import shutil
from dataclasses import dataclass
from pathlib import Path

from callnotes.errors import ModelError, OutputError

_PIECE = 2**20
_LOCK_SECONDS = 300


@dataclass(frozen=True)
class Whole:
    """A file to be made: its pieces in order, and the size and SHA-256 that must come out."""

    name: str
    pieces: tuple[Path, ...]
    size: int
    sha256: str


def root() -> Path:
    """The folder for joined models in the user's cache; not made here."""
    from platformdirs import user_cache_path

    return user_cache_path("callnotes", appauthor=False) / "models"


def assembled(name: str, wholes: list[Whole]) -> Path:
    """The folder with all files of the model, made if it is not there or does not hold.

    Two runs at a time wait for each other. ``OutputError`` where the cache cannot be written.
    """
    from filelock import FileLock, Timeout

    main = next(whole for whole in wholes if whole.name == "model.bin")
    folder = root() / f"{name}-{main.sha256[:12]}"
    if _holds(folder, wholes):
        return folder
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with FileLock(folder.with_name(folder.name + ".lock"), timeout=_LOCK_SECONDS):
            if not _holds(folder, wholes):
                _make(folder, wholes)
    except Timeout as error:
        raise OutputError("another run is still joining the model", where=str(folder), hint="try again") from error
    except OSError as error:
        what = f"the speech model cannot be put together ({error.strerror or error})"
        raise OutputError(what, where=str(folder), hint="make room there or make it writable") from error
    return folder


def _make(folder: Path, wholes: list[Whole]) -> None:
    # Under the lock nobody else works here: what lies beside the folder was left by a run that was killed.
    beside = folder.with_name(folder.name + ".partial")
    shutil.rmtree(beside, ignore_errors=True)
    beside.mkdir()
    try:
        for whole in wholes:
            _join(beside / whole.name, whole)
        if folder.exists():
            shutil.rmtree(folder)
        os.replace(beside, folder)
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def _join(target: Path, whole: Whole) -> None:
    check = hashlib.sha256()
    with target.open("wb") as out:
        for piece in whole.pieces:
            with piece.open("rb") as source:
                while data := source.read(_PIECE):
                    check.update(data)
                    out.write(data)
        out.flush()
        os.fsync(out.fileno())
    if check.hexdigest() != whole.sha256:
        raise ModelError(
            f"{whole.name} joined from its parts has other content than it should", hint="install it again"
        )


def _holds(folder: Path, wholes: list[Whole]) -> bool:
    return all(_same(folder / whole.name, whole) for whole in wholes)


def _same(path: Path, whole: Whole) -> bool:
    # The size first: it shows most damage for nothing. Then all bytes, a third of a second for 150 MB.
    try:
        if path.stat().st_size != whole.size:
            return False
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest() == whole.sha256
    except OSError:
        return False
