"""Parses a JSON file and tells which of the two transcript formats it holds."""

from __future__ import annotations

import json
from typing import Any

from callnotes.errors import InputError
from callnotes.timed_text.draft import TextFile


def parsed(file: TextFile) -> dict[str, Any]:
    """The object in the file. ``InputError`` with line and column if it is no JSON or no object."""
    try:
        content = json.loads(file.text)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise InputError(
            f"is not whole JSON ({place}: {error.msg})", where=str(file.path), hint="export it again"
        ) from error
    except (RecursionError, ValueError) as error:
        raise InputError("is JSON that cannot be read", where=str(file.path), hint="export it again") from error
    if not isinstance(content, dict):
        raise InputError(
            "is JSON, but no transcript", where=str(file.path), hint='an object with "segments" is expected'
        )
    return content
