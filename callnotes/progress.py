"""How a long stage tells what it is doing; the command line draws it, the library stays silent."""

from __future__ import annotations

from typing import Protocol


class Progress(Protocol):
    """Told by the stages, in order: ``begin`` once a stage, ``reach`` as it goes, ``end``."""

    def begin(self, stage: str, total: float | None = None) -> None:
        """A stage starts; ``total`` is in seconds of recording, None where unknown."""

    def reach(self, done: float) -> None:
        """The stage has reached ``done`` of its total."""

    def end(self) -> None:
        """The stage is over."""

    def warn(self, line: str) -> None:
        """One line that the user must see, while the work goes on."""


class Silent:
    """A progress that shows nothing."""

    def begin(self, stage: str, total: float | None = None) -> None: ...

    def reach(self, done: float) -> None: ...

    def end(self) -> None: ...

    def warn(self, line: str) -> None: ...
