"""One thing that the notes lack, as every check of the requirements table yields it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Lack:
    """One thing missing: the words for ``{what}`` and ``{where}`` of the row's text, and the event it rests on."""

    what: str = ""
    where: str = ""
    because: str | None = None
