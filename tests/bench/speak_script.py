"""Speak a script with a speech synthesizer and write the recording and what was said in it.

A script is plain text, one sentence a line. ``#`` starts a comment line; directives stand alone on
a line in square brackets:

    [voice rms]             the synthesizer's voice: rms, slt, awb (flite) or hts (festival)
    [seed 1]                of the room's noise and of the gaps between sentences
    [pace 1.05]             longer than 1 speaks slower
    [size 1.08]             above 1 a smaller speaker: pitch and resonances move up together
    [say demarc = dee mark] how a word is spelled for the synthesizer
    [pause 2]               seconds of room noise
    [tone dial 3.0]         seconds of a call progress tone by itself
    [tone dial under]       the same tone, softer, under the whole of the next sentence
    [dtmf 5550142]          touch-tone digits

The same script and the same synthesizers give the same samples. ``--replace OLD NEW`` changes words
that occur exactly once in the script before they are spoken.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import tempfile
import wave
from dataclasses import dataclass, field
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray

RATE = 24_000
SPEECH_RMS = 0.08
NOISE_BELOW_DB = 32.0
GAP_S = (0.6, 0.9)
TONE_S = 0.08  # of one touch-tone digit, and of the silence after it

# The North American precise tone plan and the touch-tone pairs, in hertz (ITU-T Q.23, E.180).
TONES = {"dial": (350, 440), "ringing": (440, 480), "busy": (480, 620)}
ROWS = (697, 770, 852, 941)
COLUMNS = (1209, 1336, 1477)
KEYS = ("123", "456", "789", "*0#")

Sound = NDArray[np.float64]


@dataclass
class Script:
    """A parsed script: how to speak, and the steps as (kind, argument)."""

    voice: str = "rms"
    seed: int = 1
    pace: float = 1.0
    size: float = 1.0
    respell: dict[str, str] = field(default_factory=dict)
    steps: list[tuple[str, str]] = field(default_factory=list)


def read_script(text: str) -> Script:
    """Parse a script; ``ValueError`` names a line that is neither sentence nor directive."""
    script = Script()
    for line in (line.strip() for line in text.splitlines()):
        if not line or line.startswith("#"):
            continue
        directive = re.fullmatch(r"\[(\w+) ([^\]]+)\]", line)
        if directive is None:
            script.steps.append(("sentence", line))
            continue
        name, argument = directive.groups()
        if name in ("pause", "tone", "dtmf"):
            script.steps.append((name, argument))
        elif name == "say":
            word, _, spelled = argument.partition(" = ")
            script.respell[word] = spelled
        elif name in ("voice", "seed", "pace", "size"):
            setattr(script, name, type(getattr(script, name))(argument))
        else:
            raise ValueError(f"no such directive: {line}")
    return script


def synthesize(script: Script, sentence: str) -> Sound:
    """One sentence as samples at ``RATE``, brought to the speech level."""
    for word, spelled in script.respell.items():
        sentence = re.sub(rf"\b{re.escape(word)}\b", spelled, sentence)
    with tempfile.TemporaryDirectory() as folder:
        text, sound = Path(folder, "said.txt"), Path(folder, "said.wav")
        text.write_text(sentence + "\n", encoding="utf-8")
        stretch = str(script.pace * script.size)
        if script.voice == "hts":
            voice = ["-eval", "(voice_cmu_us_slt_arctic_hts)", "-eval", f"(Parameter.set 'Duration_Stretch {stretch})"]
            command = ["text2wave", *voice, "-o", str(sound), str(text)]
        else:
            command = ["flite", "-voice", script.voice, "--setf", f"duration_stretch={stretch}"]
            command += ["-f", str(text), "-o", str(sound)]
        subprocess.run(command, check=True, capture_output=True)
        with wave.open(str(sound)) as reader:
            rate = reader.getframerate()
            samples = np.frombuffer(reader.readframes(reader.getnframes()), dtype="<i2")
    speech = trim(resample(samples, round(rate * script.size)))
    loud = speech[np.abs(speech) > 0.1 * np.abs(speech).max()]
    leveled: Sound = speech * (SPEECH_RMS / np.sqrt(np.mean(loud**2)))
    return leveled


def resample(samples: NDArray[np.int16], rate: int) -> Sound:
    """16-bit samples at ``rate`` as floats at ``RATE``."""
    frame = av.AudioFrame.from_ndarray(samples.reshape(1, -1), format="s16", layout="mono")
    frame.sample_rate = rate
    resampler = av.AudioResampler(format="flt", layout="mono", rate=RATE)
    parts = [part.to_ndarray()[0] for part in (*resampler.resample(frame), *resampler.resample(None))]
    return np.concatenate(parts).astype(np.float64)


def trim(speech: Sound) -> Sound:
    """Without the synthesizer's own silence, but for 50 ms at each end."""
    heard = np.flatnonzero(np.abs(speech) > 0.01 * np.abs(speech).max())
    edge = RATE // 20
    return speech[max(0, heard[0] - edge) : heard[-1] + edge]


def level(db: float) -> float:
    """The root mean square that lies ``db`` above the speech level."""
    return SPEECH_RMS * float(10 ** (db / 20))


def tone(frequencies: tuple[int, ...], seconds: float, level_db: float) -> Sound:
    """Equal sines, together ``level_db`` against the speech level, with 5 ms ramps."""
    times = np.arange(round(seconds * RATE)) / RATE
    sines = np.sum([np.sin(2 * np.pi * f * times) for f in frequencies], axis=0) / np.sqrt(len(frequencies))
    ramp = np.minimum(1, np.minimum(times, times[::-1]) / 0.005)
    sound: Sound = sines * np.sqrt(2) * ramp * level(level_db)
    return sound


def touch_tones(digits: str) -> Sound:
    """The digits as touch-tone pairs, each followed by as long a silence."""
    parts = []
    for digit in digits:
        row = next(i for i, keys in enumerate(KEYS) if digit in keys)
        parts.append(tone((ROWS[row], COLUMNS[KEYS[row].index(digit)]), TONE_S, -4))
        parts.append(np.zeros(round(TONE_S * RATE)))
    return np.concatenate(parts)


def perform(script: Script) -> tuple[Sound, list[tuple[float, float, str]]]:
    """The whole recording, and each sentence with its start and end in seconds."""
    random = np.random.default_rng(script.seed)
    parts: list[Sound] = [np.zeros(RATE // 2)]
    said: list[tuple[float, float, str]] = []
    under: str | None = None
    for kind, argument in script.steps:
        if kind == "sentence":
            sound = synthesize(script, argument)
            start = sum(map(len, parts)) / RATE
            said.append((start, start + len(sound) / RATE, argument))
            if under:
                sound = sound + tone(TONES[under], len(sound) / RATE, -16)
            under = None
            parts += [sound, np.zeros(round(random.uniform(*GAP_S) * RATE))]
        elif kind == "pause":
            parts.append(np.zeros(round(float(argument) * RATE)))
        elif kind == "dtmf":
            parts += [touch_tones(argument), np.zeros(RATE // 2)]
        else:
            name, length = argument.split()
            if length == "under":
                under = name
            else:
                parts += [tone(TONES[name], float(length), -8), np.zeros(RATE // 2)]
    sound = np.concatenate(parts)
    return sound + room_noise(len(sound), random), said


def room_noise(length: int, random: np.random.Generator) -> Sound:
    """Noise that falls by 6 dB an octave above 200 Hz, as of a room with a fan somewhere."""
    spectrum = np.fft.rfft(random.standard_normal(length))
    spectrum /= 1 + np.fft.rfftfreq(length, 1 / RATE) / 200
    noise = np.fft.irfft(spectrum, length)
    sound: Sound = noise / np.sqrt(np.mean(noise**2)) * level(-NOISE_BELOW_DB)
    return sound


def write_opus(path: Path, sound: Sound, bitrate: int) -> None:
    """Mono Opus; ``bitexact`` keeps the same samples the same file."""
    samples = np.clip(np.round(sound * 32767), -32768, 32767).astype(np.int16)
    with av.open(str(path), "w", format="ogg", options={"fflags": "+bitexact"}) as out:
        stream = out.add_stream("libopus", rate=RATE, layout="mono", options={"application": "voip"})
        stream.bit_rate = bitrate
        size = RATE // 50
        for start in range(0, len(samples), size):
            chunk = np.pad(samples[start : start + size], (0, max(0, start + size - len(samples))))
            frame = av.AudioFrame.from_ndarray(chunk.reshape(1, -1), format="s16", layout="mono")
            frame.sample_rate, frame.pts = RATE, start
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))


def vtt(said: list[tuple[float, float, str]]) -> str:
    """What was said as WebVTT, one cue a sentence."""

    def clock(seconds: float) -> str:
        minutes, rest = divmod(round(seconds * 1000), 60_000)
        return f"{minutes // 60:02d}:{minutes % 60:02d}:{rest // 1000:02d}.{rest % 1000:03d}"

    cues = [f"{i}\n{clock(a)} --> {clock(b)}\n{text}\n" for i, (a, b, text) in enumerate(said, 1)]
    return "\n".join(["WEBVTT\n", *cues])


def main() -> None:
    """Command line: ``speak_script.py SCRIPT OUT.opus [--replace OLD NEW]``; OUT.vtt lies beside it."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("script", type=Path)
    parser.add_argument("out", type=Path, help="the recording, .opus; the .vtt is written beside it")
    parser.add_argument("--replace", nargs=2, metavar=("OLD", "NEW"), help="words to change; must occur once")
    parser.add_argument("--voice", help="instead of the script's own")
    parser.add_argument("--bitrate", type=int, default=20_000)
    options = parser.parse_args()
    text = options.script.read_text(encoding="utf-8")
    if options.replace:
        old, new = options.replace
        if text.count(old) != 1:
            parser.error(f"{old!r} occurs {text.count(old)} times in {options.script}, not once")
        text = text.replace(old, new)
    script = read_script(text)
    script.voice = options.voice or script.voice
    sound, said = perform(script)
    write_opus(options.out, sound, options.bitrate)
    options.out.with_suffix(".vtt").write_text(vtt(said), encoding="utf-8")
    print(f"{options.out}: {len(sound) / RATE:.1f} s, {options.out.stat().st_size} bytes, {len(said)} sentences")


if __name__ == "__main__":
    main()
