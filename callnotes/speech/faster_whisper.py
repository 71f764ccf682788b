"""The engine of choice: faster-whisper, int8 on the CPU, half precision on a CUDA device.

The recording is decoded here, by ``audio``, and heard in stretches of some minutes, so that memory stays
bounded and progress is true. Nothing that the engine says is dropped: what its own measures speak
against is marked (see ``timed_text.measures``).
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import callnotes
from callnotes.errors import InputError, ModelError, OptionError
from callnotes.progress import Progress
from callnotes.records import Cue, Made, Transcript, Word
from callnotes.settings import Settings
from callnotes.speech import audio, models
from callnotes.speech.sentences import Heard, cues_of
from callnotes.speech.stretches import stretches
from callnotes.timed_text.measures import marks_of, with_repeats

if TYPE_CHECKING:
    from callnotes.speech.audio import Samples

_MOST_THREADS = 8  # beyond that, small models get no faster
_PRECISION = {"cpu": "int8", "cuda": "float16"}
_DECODING: dict[str, Any] = {
    "language": "en",
    "beam_size": 5,
    "word_timestamps": True,
    "vad_filter": True,
    # With it, one invented sentence begets the next.
    "condition_on_previous_text": False,
    # The engine would drop in silence what it takes for no speech; here it is kept and marked.
    "no_speech_threshold": None,
    # Sampling above 0.4 yields other words than were said.
    "temperature": (0.0, 0.2, 0.4),
}


class FasterWhisper:
    """Holds one loaded model, so that many recordings need one load. Not for several threads at once."""

    def __init__(self) -> None:
        self._loaded: tuple[Settings, models.ModelFolder, Any] | None = None

    def load(self, settings: Settings) -> models.ModelFolder:
        """Loads the model that the settings ask for, unless it is loaded. ``ModelError``, ``OptionError``."""
        if self._loaded is None or self._loaded[0] != settings:
            if settings.device not in _PRECISION:
                hint = f"devices are {', '.join(_PRECISION)}"
                raise OptionError(f"there is no device {settings.device!r}", hint=hint)
            folder = models.find(settings.model)
            self._loaded = (settings, folder, _loaded(folder, settings))
        return self._loaded[1]

    def transcribe(
        self, recording: Path, settings: Settings, progress: Progress, *, vocabulary_prompt: str | None = None
    ) -> Transcript:
        """The transcript of one recording. ``InputError`` if nothing decodes or nobody speaks."""
        heard_of = audio.survey(recording, progress)
        folder = self.load(settings)
        progress.begin("speech", heard_of.duration_s)
        cues: list[Cue] = []
        for start, samples in stretches(audio.blocks(recording)):
            cues += self.hear(samples, settings, progress, offset_s=start, vocabulary_prompt=vocabulary_prompt)
        progress.end()
        if all("no_speech" in cue.marks for cue in cues):
            hint = "check that the microphone was on, or record closer to the mouth"
            raise InputError("no speech was found in it", where=str(recording), hint=hint)
        return Transcript(
            recordings=(heard_of,),
            made=Made(
                version=callnotes.__version__,
                engine="faster-whisper",
                model=folder.name,
                settings=_said_of(settings, folder, vocabulary_prompt),
            ),
            cues=with_repeats(cues),
        )

    def hear(
        self,
        samples: Samples,
        settings: Settings,
        progress: Progress,
        *,
        offset_s: float = 0.0,
        vocabulary_prompt: str | None = None,
    ) -> list[Cue]:
        """The cues in float32 samples (mono, 16 kHz), their times from ``offset_s`` on; empty if nobody speaks."""
        self.load(settings)
        assert self._loaded is not None
        return cues_of(_words(self._loaded[2], samples, progress, offset_s, vocabulary_prompt))


def _words(
    model: Any, samples: Samples, progress: Progress, offset_s: float, vocabulary_prompt: str | None
) -> Iterator[Heard]:
    import ctranslate2  # type: ignore[import-untyped]

    # What decoding at a temperature draws must not differ from run to run.
    ctranslate2.set_random_seed(0)
    try:
        segments, _info = model.transcribe(samples, hotwords=vocabulary_prompt, **_DECODING)
        # Recognition runs while the segments are taken, and so do its errors.
        for segment in segments:
            progress.reach(offset_s + segment.end)
            yield from _heard(segment, offset_s)
    except (RuntimeError, ValueError, MemoryError) as error:
        raise ModelError(f"the speech model failed: {error}", hint="try another with --model") from error


def _heard(segment: Any, offset_s: float) -> Iterator[Heard]:
    marks = marks_of(
        avg_logprob=segment.avg_logprob,
        no_speech_prob=segment.no_speech_prob,
        compression_ratio=segment.compression_ratio,
    )
    for word in segment.words or ():
        start, end = (round(offset_s + float(time), 3) for time in (word.start, word.end))
        probability = round(min(1.0, max(0.0, float(word.probability))), 4)
        yield Heard(Word(text=word.word, start=start, end=max(start, end), probability=probability), marks)


def _loaded(folder: models.ModelFolder, settings: Settings) -> Any:
    from faster_whisper import WhisperModel

    try:
        return WhisperModel(
            str(folder.path),
            device=settings.device,
            compute_type=_PRECISION[settings.device],
            cpu_threads=_threads(settings),
            local_files_only=True,
        )
    # The library and those below it raise what they like for a file that does not load.
    except Exception as error:
        if settings.device == "cuda":
            raise OptionError(f"CUDA cannot be used ({error})", hint="leave --device out to use the CPU") from error
        hint = "install the model again, or give another with --model"
        raise ModelError(f"the speech model does not load ({error})", where=str(folder.path), hint=hint) from error


def _threads(settings: Settings) -> int:
    if settings.threads:
        return settings.threads
    if os.environ.get("OMP_NUM_THREADS"):
        return 0  # the library follows it
    free = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(free, _MOST_THREADS)


def _said_of(settings: Settings, folder: models.ModelFolder, vocabulary_prompt: str | None) -> dict[str, Any]:
    return {
        "device": settings.device,
        "precision": _PRECISION[settings.device],
        "beam_size": _DECODING["beam_size"],
        "model_sha256": folder.sha256,
        "model_source": folder.source,
        "vocabulary_prompt": vocabulary_prompt,
    }
