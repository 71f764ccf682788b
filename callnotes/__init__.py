"""callnotes: a technician's spoken service call becomes a fault timeline and a closeout report.

The stages as functions: ``transcribe``, ``make_timeline``, ``render``, and ``run`` for the whole job. They
are loaded when first used, so that importing the package costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from callnotes.pipeline.one import Outcome, make_timeline, render, run, transcribe

__version__ = "0.1.0"
__all__ = ["Outcome", "__version__", "make_timeline", "render", "run", "transcribe"]


def __getattr__(name: str) -> Any:
    if name in __all__:
        from callnotes.pipeline import one

        return getattr(one, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
