"""The only place that knows where the shipped data, guides and templates lie (checkout or wheel)."""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).resolve().parent
DATA = PACKAGE / "data"
GUIDES = PACKAGE / "guides"


def templates() -> Path:
    """The shipped templates: inside the package in a wheel, beside it in a checkout."""
    inside = PACKAGE / "templates"
    return inside if inside.is_dir() else PACKAGE.parent / "templates"
