"""Reads the case tables beside the tests; lines that begin with ``#`` name the source."""

from __future__ import annotations

import csv
from pathlib import Path


def rows(name: str) -> list[dict[str, str]]:
    """The rows of ``cases/NAME.csv`` as they stand."""
    text = (Path(__file__).parent / "cases" / f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
