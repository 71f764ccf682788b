"""One frozen value with every choice a user makes; passed down, never read from a global."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Settings:
    """What the stages need to know of the user's wishes.

    ``model`` is None (best one installed), a known name, or a folder. ``threads`` 0 lets the engine choose.
    ``vocabulary`` files add to or replace entries of the shipped tables; ``templates`` is a folder whose
    files override the shipped templates by name.
    """

    engine: str = "faster-whisper"
    model: str | None = None
    device: str = "cpu"
    threads: int = 0
    profile: str | None = None
    vocabulary: tuple[Path, ...] = ()
    templates: Path | None = None


def from_environment(environ: Mapping[str, str] | None = None) -> Settings:
    """Settings from ``CALLNOTES_ENGINE``, ``CALLNOTES_MODEL`` and so on; the defaults elsewhere."""
    environ = os.environ if environ is None else environ
    found: dict[str, Any] = {}
    for field in fields(Settings):
        text = environ.get(f"CALLNOTES_{field.name.upper()}")
        if not text:
            continue
        if field.name == "threads":
            found["threads"] = int(text) if text.isdigit() else 0
        elif field.name == "vocabulary":
            found["vocabulary"] = tuple(Path(part) for part in text.split(os.pathsep))
        elif field.name == "templates":
            found["templates"] = Path(text)
        else:
            found[field.name] = text
    return Settings(**found)


def with_options(settings: Settings, **options: Any) -> Settings:
    """The same settings with those options changed that were given (None and () mean: not given)."""
    return replace(settings, **{name: value for name, value in options.items() if value not in (None, ())})
