"""What may stand in the text of a cue beside the words: tags, entities, characters that are no text.

Only tags that WebVTT and SubRip know are taken out. Anything else in angle brackets was said or written
by somebody and stays, as plain text.
"""

from __future__ import annotations

import html
import re
from dataclasses import dataclass

_TAG = re.compile(
    r"</?(?:c|i|b|u|s|v|lang|ruby|rt|font)(?:[. \t][^<>]{0,200})?>|<[0-9:.]{5,16}>|\{\\[a-z0-9&().,]{1,40}\}", re.I
)
_VOICE = re.compile(r"<v(?:\.[^<>\s]{0,100})?[ \t]+([^<>]{1,200})>", re.I)
_ENTITY = re.compile(r"&(?:#[0-9]{1,7}|#[xX][0-9a-fA-F]{1,6}|[A-Za-z][A-Za-z0-9]{1,30});")
_BLANK = re.compile(r"\s+")
# Controls, soft hyphen, zero width space and joiner of words, direction marks and overrides, byte-order mark.
_NO_TEXT = re.compile("[\x00-\x08\x0e-\x1b\x7f-\x84\x86-\x9f\xad\u200b\u200e\u200f\u202a-\u202e\u2060-\u2069\ufeff]")
_SURROGATE = re.compile("[\ud800-\udfff]")


@dataclass(frozen=True)
class Said:
    """One speaker's part of a cue. ``label_allowed`` is False where the colon was written as an entity."""

    speaker: str | None
    text: str
    label_allowed: bool = True


def clean(text: str) -> str:
    """The text on one line, single spaces, without control and direction characters."""
    text = _NO_TEXT.sub("", text)
    # A lone half of a surrogate pair cannot be written as UTF-8.
    text = _SURROGATE.sub("\ufffd", text)
    return _BLANK.sub(" ", text).strip()


def parts_of(payload: str) -> list[Said]:
    """The parts of a cue's payload, cut at its voice tags, tags removed, entities resolved, none empty."""
    pieces = _VOICE.split(payload)
    parts = [_said(None, pieces[0])]
    parts += [_said(name, text) for name, text in zip(pieces[1::2], pieces[2::2], strict=True)]
    return [part for part in parts if part.text]


def escaped(text: str) -> str:
    """Text as it may stand in a WebVTT cue or voice tag: one line, ``&``, ``<`` and ``>`` as entities."""
    return clean(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _said(name: str | None, text: str) -> Said:
    return Said(
        speaker=clean(_resolved(name)) or None if name else None,
        text=clean(_resolved(_TAG.sub("", text))),
        label_allowed="&#58;" not in text[:80],
    )


def _resolved(text: str) -> str:
    # Only whole entities with their semicolon: the "&" of a firm's name is no entity.
    return _ENTITY.sub(lambda found: html.unescape(found.group()), text)
