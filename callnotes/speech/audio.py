"""Turns any recording into float32 samples, mono, 16 kHz; no speech is looked for here.

Decoding runs in blocks, so that an hour takes no more memory than a minute, unless ``decode`` is asked
for all of it. The recording itself is opened for reading only. It is handed to the decoder as an open
file with a list of containers allowed, so that a playlist posing as a recording opens nothing else.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from callnotes.errors import InputError
from callnotes.progress import Progress, Silent
from callnotes.records import Recording
from callnotes.speech.cut_off import is_cut_off

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float32]

RATE = 16_000
BLOCK_SECONDS = 30.0
# Under this there is nothing to listen to; damaged files often yield one frame of rubbish.
SHORTEST_SECONDS = 0.05
# Encoders pad and trim: the end may differ from the announced one by this much in a whole file.
_PADDING_SECONDS = 0.5
_JITTER_SECONDS = 0.25
_LARGEST_GAP_SECONDS = 600.0

_CONTAINERS = (
    "wav,w64,aiff,caf,au,flac,ogg,mp3,aac,ac3,amr,mov,matroska,avi,asf,mpeg,mpegts,flv,ape,wv,tta,mov,3gp,webm,dsf,rm"
)
_OPTIONS = {"protocol_whitelist": "file", "format_whitelist": _CONTAINERS}
_HINT = "play it in another program, or export it again as WAV, FLAC, MP3 or M4A"


@dataclass
class _Tally:
    """What became of a file while it was decoded."""

    announced_s: float | None = None
    started: str | None = None
    decoded: int = 0
    bad_packets: int = 0
    unfinished: bool = False
    lost: int = 0


def sha256_of(path: Path) -> str:
    """SHA-256 of a file's bytes, in hexadecimal. ``InputError`` if it cannot be read."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise _unreadable(path, error) from error


def survey(path: Path, progress: Progress | None = None) -> Recording:
    """The recording's name, hash, true duration, and start by its own tags; decodes it once, keeps nothing.

    A cut-off or damaged file gives one ``progress.warn`` line. ``InputError`` if nothing in it decodes.
    """
    tally = _Tally()
    for _block in _reported(path, tally, progress or Silent()):
        pass
    return _recording(path, tally)


def decode(path: Path, progress: Progress | None = None) -> tuple[Recording, Samples]:
    """The recording and all its samples (one float32 each 1/16000 s, -1 to 1). Errors and warnings as ``survey``.

    Takes 64 kB of memory a second; long recordings are better read by ``blocks``.
    """
    import numpy as np

    tally = _Tally()
    parts = list(_reported(path, tally, progress or Silent()))
    return _recording(path, tally), np.concatenate(parts)


def blocks(path: Path, *, seconds: float = BLOCK_SECONDS) -> Iterator[Samples]:
    """The samples in blocks of ``seconds``, the last one shorter. What does not decode is passed over silently,
    since ``survey`` has told of it. ``InputError`` if nothing decodes."""
    yield from _resized(_decoded(path, _Tally()), round(seconds * RATE))


def _reported(path: Path, tally: _Tally, progress: Progress) -> Iterator[Samples]:
    decoding = _resized(_decoded(path, tally), round(BLOCK_SECONDS * RATE))
    first = next(decoding, None)
    progress.begin("decoding", tally.announced_s)
    if first is not None:
        yield first
    for block in decoding:
        progress.reach(tally.decoded / RATE)
        yield block
    progress.end()
    complaint = _complaint(path, tally)
    if complaint:
        progress.warn(complaint)


def _complaint(path: Path, tally: _Tally) -> str | None:
    got = tally.decoded / RATE
    short = tally.announced_s is not None and got + max(_PADDING_SECONDS, 0.01 * got) < tally.announced_s
    if short and tally.announced_s is not None:
        return f"{path}: is cut off or damaged: {got:.1f} s of {tally.announced_s:.1f} s could be decoded and are used"
    if tally.unfinished:
        return f"{path}: is cut off: its end is missing; the {got:.1f} s that are there are used"
    if tally.lost:
        return f"{path}: is damaged: {tally.lost / RATE:.1f} s of {got:.1f} s could not be decoded and are left silent"
    if tally.bad_packets:
        return f"{path}: is damaged in places; {got:.1f} s could be decoded and are used"
    return None


def _recording(path: Path, tally: _Tally) -> Recording:
    return Recording(
        name=path.name,
        sha256=sha256_of(path),
        duration_s=round(tally.decoded / RATE, 3),
        started=tally.started,
    )


def _decoded(path: Path, tally: _Tally) -> Iterator[Samples]:
    """The samples as they come from the decoder; fills the tally."""
    import av

    if path.is_dir():
        raise InputError("is a folder, not a recording", where=str(path), hint="give the file in it")
    try:
        with path.open("rb") as file:
            if not file.read(1):
                raise InputError("is empty (zero bytes)", where=str(path), hint="record or copy it again")
            file.seek(0)
            with av.open(file, mode="r", metadata_errors="ignore", options=_OPTIONS) as container:
                if not container.streams.audio:
                    raise InputError("holds no sound", where=str(path), hint="give a recording with an audio track")
                _announce(container, path, tally)
                yield from _resampled(container, tally)
    except (av.error.FFmpegError, OSError) as error:
        # PyAV's errors derive from OSError only in part; both mean the same to the user.
        if not isinstance(error, av.error.FFmpegError) or isinstance(error, av.error.FileNotFoundError):
            raise _unreadable(path, error) from error
        if tally.decoded == 0:
            raise InputError("is no recording that can be decoded", where=str(path), hint=_HINT) from error
        tally.bad_packets += 1
    if tally.decoded < SHORTEST_SECONDS * RATE:
        raise InputError("holds no sound that can be decoded", where=str(path), hint=_HINT)


def _announce(container: Any, path: Path, tally: _Tally) -> None:
    stream = container.streams.best("audio")
    if stream.duration and stream.time_base:
        tally.announced_s = float(stream.duration * stream.time_base)
    elif container.duration:
        tally.announced_s = container.duration / 1_000_000
    tags = {key.casefold(): value for key, value in {**container.metadata, **stream.metadata}.items()}
    tally.started = tags.get("creation_time")
    tally.unfinished = is_cut_off(path)


def _resampled(container: Any, tally: _Tally) -> Iterator[Samples]:
    stream = container.streams.best("audio")
    stream.thread_type = "AUTO"
    resampler = _resampler()
    first: float | None = None
    # Matroska and WebM may leave out silence on purpose; there a gap is filled all the same, but is no damage.
    sparse = "matroska" in container.format.name
    for frame in _frames(container, stream, tally):
        if frame.time is not None:
            first = frame.time if first is None else first
            yield from _silence(frame.time - first, tally, damage=not sparse)
        frame.pts = None  # the resampler must not act on stamps too
        try:
            out = resampler.resample(frame)
        except ValueError:
            # The layout or rate changed within the file: finish with the old, start a new one.
            yield from _arrays(resampler.resample(None), tally)
            resampler = _resampler()
            out = resampler.resample(frame)
        yield from _arrays(out, tally)
    yield from _arrays(resampler.resample(None), tally)


def _silence(due_s: float, tally: _Tally, *, damage: bool) -> Iterator[Samples]:
    """Silence up to where the next sound is due, so that times stay those at which a player plays it.

    Only for gaps that a damaged place leaves: not for the jitter of stamps, nor for stamps gone wild.
    """
    import numpy as np

    gap = due_s - tally.decoded / RATE
    limit = _LARGEST_GAP_SECONDS if tally.announced_s is None else tally.announced_s - tally.decoded / RATE
    if _JITTER_SECONDS < gap <= min(limit, _LARGEST_GAP_SECONDS):
        silence = np.zeros(round(gap * RATE), dtype=np.float32)
        tally.decoded += silence.size
        tally.lost += silence.size if damage else 0
        yield silence


def _resampler() -> Any:
    import av

    return av.AudioResampler(format="flt", layout="mono", rate=RATE)


def _frames(container: Any, stream: Any, tally: _Tally) -> Iterator[Any]:
    import av

    for packet in container.demux(stream):
        try:
            yield from packet.decode()
        except av.error.FFmpegError:
            tally.bad_packets += 1


def _arrays(frames: list[Any], tally: _Tally) -> Iterator[Samples]:
    import numpy as np

    for frame in frames:
        samples = frame.to_ndarray().reshape(-1)
        if samples.size:
            tally.decoded += samples.size
            # Float recordings may hold values that are no numbers or far over full scale.
            yield np.clip(np.nan_to_num(samples, copy=False), -1.0, 1.0).astype(np.float32, copy=False)


def _resized(parts: Iterator[Samples], size: int) -> Iterator[Samples]:
    import numpy as np

    held: list[Samples] = []
    count = 0
    for part in parts:
        held.append(part)
        count += part.size
        if count >= size:
            joined = np.concatenate(held)
            whole = joined.size // size * size
            yield from (joined[at : at + size] for at in range(0, whole, size))
            held, count = [joined[whole:]], joined.size - whole
    if count:
        yield np.concatenate(held)


def _unreadable(path: Path, error: OSError) -> InputError:
    if isinstance(error, FileNotFoundError):
        return InputError("there is no such file", where=str(path), hint="check the path")
    reason = error.strerror or "unknown reason"
    return InputError(f"cannot be read ({reason})", where=str(path), hint="check the path and its rights")
