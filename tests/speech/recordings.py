"""Makes small recordings for tests, with PyAV and numpy alone."""

from __future__ import annotations

from pathlib import Path

import av
import numpy as np

CODECS = {
    ".wav": ("pcm_s16le", "s16", 16_000),
    ".flac": ("flac", "s16", 44_100),
    ".opus": ("libopus", "flt", 48_000),
    ".mp3": ("libmp3lame", "s16p", 22_050),
    ".m4a": ("aac", "fltp", 44_100),
    ".mp4": ("aac", "fltp", 44_100),
}


def tone(seconds: float, rate: int, *, hertz: float = 440.0, level: float = 0.5) -> np.ndarray:
    """A sine as float32."""
    return (level * np.sin(2 * np.pi * hertz * np.arange(round(seconds * rate)) / rate)).astype(np.float32)


def noise(seconds: float, rate: int) -> np.ndarray:
    """White noise as float32, the same each time; no codec can make it small."""
    return (0.2 * np.random.default_rng(1).standard_normal(round(seconds * rate))).clip(-1, 1).astype(np.float32)


def write(path: Path, samples: np.ndarray, *, rate: int | None = None, stereo: bool = False) -> Path:
    """Writes mono float32 samples in the format of the path's ending; ``.mp4`` gets a picture track too."""
    codec, sample_format, codec_rate = CODECS[path.suffix]
    rate = rate or codec_rate
    layout = "stereo" if stereo else "mono"
    with av.open(str(path), "w", format="ogg" if path.suffix == ".opus" else None) as container:
        picture = container.add_stream("mpeg4", rate=10) if path.suffix == ".mp4" else None
        stream = container.add_stream(codec, rate=rate, layout=layout)
        if picture:
            _film(container, picture)
        resampler = av.AudioResampler(format=sample_format, layout=layout, rate=rate)
        frame = av.AudioFrame.from_ndarray(samples.reshape(1, -1), format="flt", layout="mono")
        frame.sample_rate = rate
        frame.pts = 0
        for part in [*resampler.resample(frame), None]:
            for packet in _encoded(stream, part):
                container.mux(packet)
    return path


def _encoded(stream: av.AudioStream, frame: av.AudioFrame | None) -> list[av.Packet]:
    return list(stream.encode(frame))


def _film(container: av.container.OutputContainer, stream: av.VideoStream) -> None:
    stream.width = stream.height = 32
    stream.pix_fmt = "yuv420p"
    for number in range(10):
        frame = av.VideoFrame.from_ndarray(np.full((32, 32, 3), number * 20, dtype=np.uint8), format="rgb24")
        for packet in stream.encode(frame):
            container.mux(packet)
    for packet in stream.encode(None):
        container.mux(packet)
