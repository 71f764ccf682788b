"""Makes spoken words harmless: as Markdown, and before that as text that any paper can hold."""

from __future__ import annotations

import re
import unicodedata

# Marks that only steer the direction of text: left in, one of them would turn round what follows it.
STEERING = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]")
SPECIAL = re.compile(r"([\\`*_\[\]<>&|~$])")
BLOCK_START = re.compile(r"^(?=[#+\-=>:])|^(\d+)(?=[.)](?:\s|$))")


class Safe(str):
    """Markdown that a template made itself; it is not escaped again."""

    __slots__ = ()


def plain(text: str) -> str:
    """The text on one line, without control and direction marks, in characters that XML allows."""
    text = STEERING.sub("", text)
    text = "".join(" " if unicodedata.category(c) in ("Cc", "Zl", "Zp") else c for c in text)
    text = "".join(c for c in text if unicodedata.category(c) not in ("Cs", "Cn"))
    return re.sub(" {2,}", " ", text).strip(" ")


def markdown(value: object) -> object:
    """A template's value as Markdown that shows just that text; the templates' ``finalize``."""
    if isinstance(value, Safe) or not isinstance(value, str):
        return value
    escaped = SPECIAL.sub(r"\\\1", plain(value))
    return BLOCK_START.sub(lambda found: f"{found[1]}\\" if found[1] else "\\", escaped)
