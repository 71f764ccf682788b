"""What goes to the terminal: progress on stderr, and text without control characters or stray color."""

from __future__ import annotations

import os
import shutil
import sys
import time
import unicodedata
from types import TracebackType
from typing import TYPE_CHECKING, Self, TextIO

if TYPE_CHECKING:
    from rich.progress import Progress as RichProgress
    from rich.progress import TaskID

WIDEST = 88
_LINE_EVERY_S = 20.0


def plain(text: str) -> str:
    """The text on one line, without control characters: what was said must not steer a terminal."""
    kept = "".join(" " if unicodedata.category(c) in ("Cc", "Cf", "Zl", "Zp") else c for c in text)
    return " ".join(kept.split())


def width() -> int:
    """Columns to print in."""
    return min(shutil.get_terminal_size((80, 24)).columns, WIDEST)


def is_terminal(stream: TextIO) -> bool:
    """Whether a person watches the stream and it can be drawn on."""
    return stream.isatty() and os.environ.get("TERM") != "dumb"


def has_color(stream: TextIO) -> bool:
    """Whether colors are wanted there: on a terminal, unless NO_COLOR is set."""
    return is_terminal(stream) and not os.environ.get("NO_COLOR")


def clock(seconds: float) -> str:
    """Seconds as ``3:07`` or ``1:02:07``."""
    minutes, rest = divmod(int(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


class Lines:
    """Progress as plain lines, for a pipe, a log or a dumb terminal."""

    def __init__(self, *, verbose: bool = False) -> None:
        self.verbose = verbose
        self._stage = ""
        self._total: float | None = None
        self._begun = self._told = 0.0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Nothing is left on the screen."""

    def head(self, line: str) -> None:
        """Names the input that the next lines are about."""
        self._show(line)

    def begin(self, stage: str, total: float | None = None) -> None:
        self._stage, self._total = stage, total
        self._begun = self._told = time.monotonic()
        self._show(stage if total is None else f"{stage}, {clock(total)} of recording")

    def reach(self, done: float) -> None:
        now = time.monotonic()
        if now - self._told >= _LINE_EVERY_S:
            self._told = now
            self._show(f"{self._stage}, {clock(done)} done{self._left(done)}")

    def end(self) -> None:
        if self.verbose:
            self._show(f"{self._stage} took {time.monotonic() - self._begun:.1f} s")

    def warn(self, line: str) -> None:
        self._show(f"note: {line}")

    def _left(self, done: float) -> str:
        """How long it will still take at the pace so far; nothing before the pace is known."""
        spent = time.monotonic() - self._begun
        if not self._total or spent < 2 or done <= 0:
            return ""
        seconds = max(self._total - done, 0) * spent / done
        return f", about {seconds / 60:.0f} min left" if seconds >= 90 else f", about {seconds:.0f} s left"

    def _show(self, line: str) -> None:
        print(plain(line), file=sys.stderr, flush=True)


class Bars(Lines):
    """Progress as a moving bar on a terminal; the bar goes away when its stage is over."""

    def __init__(self, *, verbose: bool = False) -> None:
        super().__init__(verbose=verbose)
        self._bars: RichProgress | None = None
        self._task: TaskID | None = None

    def close(self) -> None:
        if self._bars is not None:
            self._bars.stop()
            self._bars = self._task = None

    def begin(self, stage: str, total: float | None = None) -> None:
        self._stage, self._total, self._begun = stage, total, time.monotonic()
        self._bars = self._bars or _bars()
        self._task = self._bars.add_task(plain(stage), total=total, left="")
        self._bars.start()

    def reach(self, done: float) -> None:
        if self._bars is not None and self._task is not None:
            self._bars.update(self._task, completed=done, left=self._left(done).removeprefix(", "))

    def end(self) -> None:
        if self._bars is not None and self._task is not None:
            self._bars.remove_task(self._task)
            self._task = None
        super().end()

    def _show(self, line: str) -> None:
        if self._bars is not None:
            self._bars.console.print(plain(line), markup=False, highlight=False)
        else:
            super()._show(line)


def _bars() -> RichProgress:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TaskProgressColumn, TextColumn

    words = TextColumn("{task.description}", markup=False)
    left = TextColumn("{task.fields[left]}", markup=False)
    columns = (words, BarColumn(bar_width=30), TaskProgressColumn(), left)
    return Progress(*columns, console=Console(file=sys.stderr), transient=True)


def progress(*, verbose: bool = False) -> Lines:
    """Moving bars where stderr is a terminal, else plain lines."""
    return Bars(verbose=verbose) if is_terminal(sys.stderr) else Lines(verbose=verbose)
