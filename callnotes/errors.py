"""The failures that a user can do something about; no printing here.

Each carries what went wrong, where (a path, a place in a file), and what to do, and prints as one
line. The command line turns it into that line on stderr and exit status 2. Boundaries to libraries
catch the library's errors and raise one of these ``from`` them.
"""

from __future__ import annotations


class CallnotesError(Exception):
    """Base of all expected failures. ``str()`` is the one line: where: what; hint."""

    def __init__(self, what: str, *, where: str | None = None, hint: str | None = None) -> None:
        self.what = what
        self.where = where
        self.hint = hint
        super().__init__(what, where, hint)

    def __str__(self) -> str:
        line = f"{self.where}: {self.what}" if self.where else self.what
        if self.hint:
            line = f"{line}; {self.hint}"
        return " ".join(line.split())


class InputError(CallnotesError):
    """A recording, transcript or timeline that cannot be used (missing, empty, malformed)."""


class OutputError(CallnotesError):
    """A place that cannot be written (read-only, full, in use)."""


class ModelError(CallnotesError):
    """A speech model that is missing, damaged or unknown."""


class DataError(CallnotesError):
    """A vocabulary or table file with an entry that does not hold; names file, entry and key."""


class TemplateError(CallnotesError):
    """A template that does not load or render; names file and line."""


class OptionError(CallnotesError):
    """An option or name that does not exist; lists those that do."""
