"""From sound to a transcript: engines by name. No reading and no point is looked for here.

An engine is imported when it is asked for, since their libraries are slow to load.
"""

from __future__ import annotations

from importlib import import_module

from callnotes.errors import OptionError
from callnotes.speech.base import Engine

__all__ = ["ENGINES", "Engine", "engine"]

# name -> module in this folder, class
ENGINES: dict[str, tuple[str, str]] = {
    "faster-whisper": ("faster_whisper", "FasterWhisper"),
    "replay": ("replay", "Replay"),
}


def engine(name: str) -> Engine:
    """The engine of that name. ``OptionError`` lists those that exist."""
    if name not in ENGINES:
        raise OptionError(f"there is no speech engine {name!r}", hint=f"engines are {', '.join(ENGINES)}")
    module, kind = ENGINES[name]
    made: Engine = getattr(import_module(f"callnotes.speech.{module}"), kind)()
    return made
