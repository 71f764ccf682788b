"""The lines of ``corrections.jsonl``: their shapes, and reading and writing them."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, TypeAdapter, ValidationError

from callnotes.callfolder import CORRECTIONS, cannot_read
from callnotes.errors import InputError
from callnotes.records import Record

CORRECTION_FORMAT: Literal["callnotes.correction/1"] = "callnotes.correction/1"


class _Line(Record):
    """``at`` is when (ISO 8601 with the zone), ``who`` the person at the keyboard."""

    format: Literal["callnotes.correction/1"] = CORRECTION_FORMAT
    at: str
    who: str


class FactsSet(_Line):
    """Facts of the call as a person gives them: ``set`` by field, null for "nothing".

    ``was`` holds what stood there before. ``heard`` names the fields of ``set`` that are given back to what
    was heard: their value here counts only until the call is heard anew.
    """

    kind: Literal["facts"] = "facts"
    set: dict[str, Any]
    was: dict[str, Any]
    heard: tuple[str, ...] = ()


class Cause(Record):
    """What an open item rests on: its code with the seconds of the words that raise it, or else with its text."""

    code: str
    text: str
    start: float | None = None
    end: float | None = None


class Accepted(_Line):
    """An open item that somebody lets stand: ``by`` whom, and why."""

    kind: Literal["accept"] = "accept"
    item: Cause
    by: str
    reason: str


class Withdrawn(_Line):
    """An acceptance taken back."""

    kind: Literal["withdraw"] = "withdraw"
    item: Cause


Correction = FactsSet | Accepted | Withdrawn

_LINE: TypeAdapter[Correction] = TypeAdapter(Annotated[Correction, Field(discriminator="kind")])


def read(folder: Path) -> tuple[Correction, ...]:
    """The corrections of a call folder in their order; ``InputError`` names the line that is none."""
    path = folder / CORRECTIONS
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return ()
    except OSError as error:
        raise cannot_read(path, error) from error
    except UnicodeDecodeError as error:
        raise InputError("is not text", where=str(path), hint="put it back as it was") from error
    lines = ((number, line) for number, line in enumerate(text.split("\n"), 1) if line.strip())
    return tuple(_read_line(line, f"{path}:{number}") for number, line in lines)


def to_line(correction: Correction) -> str:
    """A correction as one line of the file, without the line break."""
    return correction.model_dump_json()


def _read_line(line: str, where: str) -> Correction:
    try:
        return _LINE.validate_json(line)
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(map(str, first["loc"]))
        what = f"is not a correction: {place + ': ' if place else ''}{first['msg']}"
        raise InputError(what, where=where, hint="mend that line, or take it out") from error
