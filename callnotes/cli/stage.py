"""What the stage commands share: an input that is a file, a call folder or ``-``, and where the output goes."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from callnotes.cli.screen import plain
from callnotes.errors import OptionError

STANDARD = "-"


@contextmanager
def as_file(given: str) -> Iterator[Path]:
    """The path given, or for ``-`` a passing file that holds what standard input gives."""
    if given != STANDARD:
        yield Path(given)
        return
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "standard input"
        path.write_bytes(sys.stdin.buffer.read())
        yield path


def where_to(output: str | None, source: Path) -> str:
    """What ``-o`` names; ``OptionError`` where it is missing. Asked before any long work."""
    if output is None:
        raise OptionError("where shall it go?", where=str(source), hint="add -o FILE (- is standard output)")
    return output


def deliver(data: bytes, target: str, source: Path) -> list[Path]:
    """Writes the data whole to the target, or to standard output; returns the files written.

    ``OptionError`` where it would fall on the very file that was read.
    """
    if target == STANDARD:
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
        return []
    from callnotes.callfolder import write_whole

    path = Path(target)
    if path.exists() and path.samefile(source):
        raise OptionError("would be overwritten by its own result", where=target, hint="give -o another name")
    if path.exists() and not path.is_file() and not path.is_dir():
        path.write_bytes(data)  # a pipe or a device is written to, never replaced
    else:
        write_whole(path.resolve(), data)  # resolved, so that a link stays one
    return [path]


def tell(paths: list[Path], *, json: bool) -> None:
    """Says on standard output which files were written; nothing where standard output was the file."""
    if not paths:
        return
    if json:
        from json import dumps

        print(dumps({"wrote": [str(path) for path in paths]}, indent=2))
        return
    for path in paths:
        print(plain(str(path)))
