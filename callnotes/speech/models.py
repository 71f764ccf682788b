"""Finds a speech model and proves that it is whole; loads none.

In this order: the folder or name that was asked for, an installed package that carries one, the engine's
own cache, the engine's own download (never with ``HF_HUB_OFFLINE`` set). Packages are places of data
here: their files are found without running any code of theirs, and each is checked by SHA-256 against
``data/speech_models.csv`` every time. A model that is asked for and missing or damaged is a
``ModelError``; no other one is put in its place.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from importlib.machinery import PathFinder
from itertools import groupby
from pathlib import Path
from typing import Literal

from callnotes.errors import ModelError
from callnotes.resources import DATA
from callnotes.speech import model_cache, model_hub
from callnotes.trade.tables import Entry, read_csv

State = Literal["intact", "damaged", "missing"]

TABLE = DATA / "speech_models.csv"
# Without one of these the engine would look for it on the network, or fail in words of its own.
_NEEDED = ("model.bin", "config.json", "tokenizer.json")
_VOCABULARIES = ("vocabulary.txt", "vocabulary.json")


class PinnedFile(Entry):
    """One row of the table: a file of a model as a package of that version carries it."""

    rank: int
    model: str
    package: str
    version: str
    module: str
    path: str
    target: str
    part: int | None = None
    bytes: int
    sha256: str
    whole_sha256: str | None = None

    def place(self) -> Path | None:
        """Where the file lies if the package is installed, else None. Runs no code of the package."""
        spec = PathFinder.find_spec(self.module)
        folders = spec.submodule_search_locations if spec else None
        return Path(next(iter(folders))) / self.path if folders else None


@dataclass(frozen=True)
class ModelFound:
    """What an inspection saw of one model: ``detail`` is one line for people, ``path`` its folder."""

    name: str
    package: str
    state: State
    detail: str
    path: Path | None


@dataclass(frozen=True)
class ModelFolder:
    """A folder that the engine can load. ``source`` says where it came from: folder, package, cache."""

    name: str
    path: Path
    source: str
    sha256: str | None = None


def find(wanted: str | None, *, table: Path = TABLE) -> ModelFolder:
    """The model to use. ``wanted`` is a folder, a known name, or None: the best one installed.

    ``ModelError`` says what to install where it is missing, unknown, or damaged.
    """
    pinned = _pinned(table)
    known = [*pinned, *(name for name in model_hub.names() if name not in pinned)]
    # A known name wins over a folder that happens to be called so; ``./base`` names the folder.
    if wanted and wanted not in known and _means_folder(wanted):
        return _folder(Path(wanted).expanduser())
    if wanted and wanted not in known:
        raise ModelError(f"there is no speech model {wanted!r}", hint=f"known are {', '.join(known)}, or give a folder")
    names = [wanted] if wanted else list(pinned)
    for name in names:
        if name in pinned and _any_there(pinned[name]):
            return _from_package(name, pinned[name])
    for name in names:
        path = model_hub.cached(name)
        if path:
            return ModelFolder(name, path, "cache")
    path = model_hub.downloaded(names[0], hint=_install_hint(pinned, names[0]))
    return ModelFolder(names[0], path, "cache")


def inspect_models(*, table: Path = TABLE) -> list[ModelFound]:
    """The state of every model that a package can carry, best first; reads all their bytes, changes nothing."""
    return [_inspected(name, files) for name, files in _pinned(table).items()]


def _pinned(table: Path) -> dict[str, list[PinnedFile]]:
    rows = sorted(read_csv(table, PinnedFile), key=lambda row: (row.rank, row.model))
    return {name: list(files) for name, files in groupby(rows, key=lambda row: row.model)}


def _means_folder(wanted: str) -> bool:
    return Path(wanted).expanduser().is_dir() or "/" in wanted or "\\" in wanted or wanted.startswith((".", "~"))


def _folder(path: Path) -> ModelFolder:
    if not path.is_dir():
        raise ModelError("there is no such model folder", where=str(path), hint="check --model")
    lacking = [name for name in _NEEDED if not (path / name).is_file()]
    if not any((path / name).is_file() for name in _VOCABULARIES):
        lacking.append(" or ".join(_VOCABULARIES))
    if lacking:
        what = f"is no whole speech model: it lacks {', '.join(lacking)}"
        raise ModelError(what, where=str(path), hint="give a folder in the CTranslate2 format")
    return ModelFolder(path.name, path, "folder", digest(path / "model.bin"))


def _from_package(name: str, files: list[PinnedFile]) -> ModelFolder:
    found = _inspected(name, files)
    if found.state != "intact":
        raise ModelError(f"the speech model {name} is {found.state}: {found.detail}", hint=_reinstall_hint(files))
    main = next(file for file in files if file.target == "model.bin")
    sha256 = main.whole_sha256 or main.sha256
    if not any(file.part for file in files) and found.path is not None:
        return ModelFolder(name, found.path, "package", sha256)
    return ModelFolder(name, model_cache.assembled(name, _pieces(files)), "package", sha256)


def _pieces(files: list[PinnedFile]) -> list[model_cache.Whole]:
    ordered = sorted(files, key=lambda file: (file.target, file.part or 0))
    wholes = []
    for target, group in groupby(ordered, key=lambda file: file.target):
        parts = list(group)
        places = tuple(place for file in parts if (place := file.place()))
        size = sum(file.bytes for file in parts)
        wholes.append(model_cache.Whole(target, places, size, parts[0].whole_sha256 or parts[0].sha256))
    return wholes


def _any_there(files: list[PinnedFile]) -> bool:
    return any(file.place() is not None for file in files)


def _inspected(name: str, files: list[PinnedFile]) -> ModelFound:
    packages = " + ".join(_packages(files))
    places = [file.place() for file in files]
    absent = _packages(file for file, place in zip(files, places, strict=True) if place is None)
    if absent:
        return ModelFound(name, packages, "missing", f"not installed: {', '.join(absent)}", None)
    wrong = [complaint for file, place in zip(files, places, strict=True) if (complaint := _wrong(file, place))]
    main = next(place for file, place in zip(files, places, strict=True) if file.target == "model.bin")
    folder = main.parent if main else None
    if wrong:
        return ModelFound(name, packages, "damaged", "; ".join(wrong), folder)
    return ModelFound(name, packages, "intact", f"{sum(file.bytes for file in files) / 1e6:.0f} MB, checked", folder)


def _wrong(file: PinnedFile, place: Path | None) -> str | None:
    if place is None or not place.is_file():
        return f"{file.path} is not there"
    size = place.stat().st_size
    if size != file.bytes:
        return f"{file.path} has {size} bytes instead of {file.bytes}"
    return None if digest(place) == file.sha256 else f"{file.path} has other content than it should (SHA-256)"


def digest(path: Path) -> str:
    """SHA-256 of a model's file; ``ModelError`` if it cannot be read."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise ModelError(f"cannot be read ({error.strerror})", where=str(path), hint="check its rights") from error


def _packages(files: Iterable[PinnedFile]) -> list[str]:
    return list(dict.fromkeys(file.package for file in files))


def _requirements(files: Iterable[PinnedFile]) -> str:
    return " ".join(dict.fromkeys(f"{file.package}=={file.version}" for file in files))


def _install_hint(pinned: dict[str, list[PinnedFile]], name: str) -> str:
    if name in pinned:
        return f"install it: pip install {_requirements(pinned[name])}"
    return "give its folder with --model"


def _reinstall_hint(files: list[PinnedFile]) -> str:
    return f"install it again: pip install --force-reinstall --no-deps {_requirements(files)}"
