"""Reads ``templates/words.toml``, the wording of points, readings, actions and faults, with a firm's own over it."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from callnotes.errors import TemplateError
from callnotes.resources import templates

NAME = "words.toml"


@dataclass(frozen=True)
class Words:
    """The wording tables as read; ``at`` looks one entry up and answers None where there is none."""

    tables: dict[str, Any]

    def at(self, *keys: str | None) -> Any:
        """The entry under those keys, or None."""
        here: Any = self.tables
        for key in keys:
            here = here.get(key) if isinstance(here, dict) else None
        return here

    def text(self, *keys: str | None) -> str | None:
        """The entry under those keys if it is a text."""
        found = self.at(*keys)
        return found if isinstance(found, str) else None


def read_words(folder: Path | None = None) -> Words:
    """The shipped wording with a firm's ``words.toml`` laid over it; ``TemplateError`` names file and line."""
    tables = _read(templates() / NAME)
    if folder and (folder / NAME).is_file():
        tables = _laid_over(tables, _read(folder / NAME))
    return Words(tables)


def _read(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError) as error:
        raise TemplateError("cannot be read as text", where=str(path), hint="check the file") from error
    except tomllib.TOMLDecodeError as error:
        line = re.search(r"line (\d+)", str(error))
        where = f"{path}:{line[1]}" if line else str(path)
        raise TemplateError(f"is not valid TOML: {error}", where=where, hint="mend that line") from error


def _laid_over(under: dict[str, Any], over: dict[str, Any]) -> dict[str, Any]:
    merged = dict(under)
    for key, value in over.items():
        below = merged.get(key)
        merged[key] = _laid_over(below, value) if isinstance(below, dict) and isinstance(value, dict) else value
    return merged
