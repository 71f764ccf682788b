"""Tells by the container's own bytes whether a recording was cut off, where decoders do not say."""

from __future__ import annotations

from pathlib import Path

# An Ogg page is 27 bytes of header, up to 255 of table and 255 * 255 of content.
_OGG_PAGE = 27 + 255 + 255 * 255
_OGG_LAST = 0x04
_STREAMED = {0, 0xFFFFFFFF}


def is_cut_off(path: Path) -> bool:
    """Whether a WAV file is shorter than its head announces, or an Ogg file lacks its last page.

    False for other containers, and for what was streamed without a length.
    """
    size = path.stat().st_size
    with path.open("rb") as file:
        head = file.read(8)
        if head.startswith(b"RIFF"):
            announced = int.from_bytes(head[4:8], "little")
            return announced not in _STREAMED and announced + 8 > size + 1
        if head.startswith(b"OggS"):
            file.seek(max(0, size - _OGG_PAGE))
            tail = file.read()
            last = tail.rfind(b"OggS")
            return last < 0 or len(tail) < last + 27 or not tail[last + 5] & _OGG_LAST
    return False
