"""A progress that remembers what it was told."""

from __future__ import annotations


class Listener:
    def __init__(self) -> None:
        self.stages: list[tuple[str, float | None]] = []
        self.reached: list[float] = []
        self.ends = 0
        self.warnings: list[str] = []

    def begin(self, stage: str, total: float | None = None) -> None:
        self.stages.append((stage, total))

    def reach(self, done: float) -> None:
        self.reached.append(done)

    def end(self) -> None:
        self.ends += 1

    def warn(self, line: str) -> None:
        self.warnings.append(line)
