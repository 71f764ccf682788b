"""Reads the tables in ``callnotes/data`` and a user's own vocabulary files, and refuses bad entries.

TOML files hold words, CSV files hold numbers. Lines of a CSV file that begin with ``#`` are comments.
Every refusal names the file, the entry and the key.
"""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from callnotes.errors import DataError


class Entry(BaseModel):
    """One entry of a table: frozen, and a key that the table does not know is refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


E = TypeVar("E", bound=Entry)


def read_toml(path: Path) -> dict[str, Any]:
    """The content of a TOML file; ``DataError`` with the place if it is none."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise DataError("cannot be read", where=str(path), hint="check the path") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise DataError(f"is not valid TOML: {error}", where=str(path), hint="mend that place") from error


def entries_of(items: Iterable[dict[str, Any]], kind: type[E], path: Path) -> tuple[E, ...]:
    """Entries checked against their shape; ``DataError`` names file, number of the entry, and key."""
    made = []
    for number, item in enumerate(items, 1):
        try:
            made.append(kind(**item))
        except (ValidationError, TypeError) as error:
            raise DataError(_complaint(error, kind, number, item), where=str(path)) from error
    return tuple(made)


def read_csv(path: Path, kind: type[E]) -> tuple[E, ...]:
    """The rows of a CSV file as entries; cells that are empty take the entry's default."""
    try:
        lines = [
            line for line in path.read_text(encoding="utf-8").splitlines() if line.strip() and not line.startswith("#")
        ]
    except OSError as error:
        raise DataError("cannot be read", where=str(path), hint="check the path") from error
    rows = ({key: cell for key, cell in row.items() if key and cell not in (None, "")} for row in csv.DictReader(lines))
    return entries_of(rows, kind, path)


def _complaint(error: Exception, kind: type[Entry], number: int, item: dict[str, Any]) -> str:
    name = next(
        (str(item[key]) for key in ("id", "kind", "code", "quantity", "unit", "action", "say", "name") if key in item),
        "",
    )
    entry = f"entry {number}" + (f" ({name})" if name else "")
    if not isinstance(error, ValidationError):
        return f"{entry}: {error}"
    first = error.errors()[0]
    key = ".".join(map(str, first["loc"]))
    if first["type"] == "extra_forbidden":
        return f"{entry}: no key {key!r} here; the keys are {', '.join(kind.model_fields)}"
    return f"{entry}: {key}: {first['msg']}"
