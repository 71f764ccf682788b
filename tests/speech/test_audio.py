"""Anything that decodes becomes the same 16 kHz mono samples; what does not gives one clear line."""

from __future__ import annotations

import hashlib
from pathlib import Path

import numpy as np
import pytest

from callnotes.errors import InputError
from callnotes.speech import audio
from callnotes.speech.stretches import stretches

from .listener import Listener
from .recordings import CODECS, noise, tone, write


def loudest_hertz(samples: np.ndarray) -> float:
    spectrum = np.abs(np.fft.rfft(samples))
    return float(np.argmax(spectrum)) * audio.RATE / samples.size


@pytest.mark.parametrize("suffix", CODECS)
def test_every_container_gives_the_same_sound(tmp_path: Path, suffix: str) -> None:
    path = write(tmp_path / f"a{suffix}", tone(2.0, CODECS[suffix][2]))
    listener = Listener()
    recording, samples = audio.decode(path, listener)
    assert samples.dtype == np.float32
    assert samples.ndim == 1
    assert recording.duration_s == pytest.approx(2.0, abs=0.1)
    assert loudest_hertz(samples[8000:24000]) == pytest.approx(440, abs=2)
    assert np.abs(samples[8000:24000]).max() == pytest.approx(0.5, abs=0.05)
    assert recording.name == path.name
    assert recording.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert listener.warnings == []
    assert [stage for stage, _total in listener.stages] == ["decoding"]
    assert listener.stages[0][1] == pytest.approx(2.0, abs=0.1)
    assert listener.ends == 1


def test_stereo_becomes_mono(tmp_path: Path) -> None:
    _recording, samples = audio.decode(write(tmp_path / "a.wav", tone(1.0, 16_000), stereo=True))
    assert samples.size == 16_000


def test_the_name_does_not_decide(tmp_path: Path) -> None:
    path = write(tmp_path / "a.flac", tone(1.0, 44_100)).rename(tmp_path / "a.mp3")
    assert audio.survey(path).duration_s == pytest.approx(1.0, abs=0.01)


def test_blocks_together_are_the_whole(tmp_path: Path) -> None:
    path = write(tmp_path / "a.wav", noise(7.3, 16_000))
    parts = list(audio.blocks(path, seconds=2.0))
    assert [part.size for part in parts] == [32_000, 32_000, 32_000, round(1.3 * 16_000)]
    assert np.array_equal(np.concatenate(parts), audio.decode(path)[1])


@pytest.mark.parametrize("suffix", [".wav", ".flac", ".opus", ".mp3"])
def test_cut_off_gives_what_is_there_and_one_warning(tmp_path: Path, suffix: str) -> None:
    path = write(tmp_path / f"a{suffix}", noise(6.0, CODECS[suffix][2]))
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    listener = Listener()
    recording, samples = audio.decode(path, listener)
    assert recording.duration_s == pytest.approx(3.0, abs=1.1)  # an Ogg page holds a second
    assert np.abs(samples).mean() > 0.05
    assert len(listener.warnings) == 1
    assert "is cut off" in listener.warnings[0]
    assert str(path) in listener.warnings[0]


def test_a_damaged_middle_keeps_the_times_of_what_follows(tmp_path: Path) -> None:
    sound = np.concatenate([noise(6.0, 48_000), tone(2.0, 48_000)])
    path = write(tmp_path / "a.opus", sound)
    data = bytearray(path.read_bytes())
    third = len(data) // 3
    data[third : third + len(data) // 6] = b"\x55" * (len(data) // 6)
    path.write_bytes(data)
    listener = Listener()
    recording, samples = audio.decode(path, listener)
    assert recording.duration_s == pytest.approx(8.0, abs=0.1)
    assert loudest_hertz(samples[round(6.5 * audio.RATE) : round(7.5 * audio.RATE)]) == pytest.approx(440, abs=2)
    assert len(listener.warnings) == 1
    assert "is damaged" in listener.warnings[0]


@pytest.mark.parametrize(
    ("name", "content", "complaint"),
    [
        ("zero.wav", b"", "is empty"),
        ("text.mp3", b"these are words\n" * 50, "is no recording"),
        ("random.wav", np.random.default_rng(2).bytes(20_000), "is no recording"),
        ("list.wav", b"#EXTM3U\n#EXTINF:5,\nother.wav\n#EXT-X-ENDLIST\n", "is no recording"),
        ("concat.wav", b"ffconcat version 1.0\nfile other.wav\n", "is no recording"),
        ("head.wav", b"RIFF\x24\x00\x00\x00WAVE", "that can be decoded"),
    ],
)
def test_no_recording_is_one_clear_line(tmp_path: Path, name: str, content: bytes, complaint: str) -> None:
    write(tmp_path / "other.wav", tone(1.0, 16_000))
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(InputError, match=complaint) as caught:
        audio.survey(path)
    assert str(caught.value).startswith(f"{path}: ")
    assert "\n" not in str(caught.value)


def test_missing_and_folder(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no such file"):
        audio.survey(tmp_path / "none.wav")
    with pytest.raises(InputError, match="is a folder"):
        audio.survey(tmp_path)
    with pytest.raises(InputError, match="there is no such file"):
        audio.sha256_of(tmp_path / "none.wav")


def test_stretches_cut_where_it_is_quiet_and_lose_nothing() -> None:
    rate = audio.RATE
    loud = noise(20.0, rate)
    loud[round(7.0 * rate) : round(8.0 * rate)] = 0.0  # the only pause within the search
    found = list(stretches(np.split(loud, 10), longest_s=9.0, search_s=4.0))
    starts = [start for start, _samples in found]
    assert starts[0] == 0.0
    assert 7.2 < starts[1] < 7.8
    assert np.array_equal(np.concatenate([samples for _start, samples in found]), loud)
    assert all(samples.size <= 9.0 * rate for _start, samples in found)
    assert starts == [0.0, *np.cumsum([samples.size for _start, samples in found])[:-1] / rate]
