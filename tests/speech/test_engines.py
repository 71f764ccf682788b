"""What every engine keeps to, and what ours makes of a library's segments."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from callnotes import speech
from callnotes.errors import CallnotesError, InputError, ModelError, OptionError
from callnotes.records import Transcript, Word
from callnotes.settings import Settings
from callnotes.speech import faster_whisper, models
from callnotes.speech.sentences import Heard, cues_of
from callnotes.timed_text.measures import marks_of

from .listener import Listener
from .recordings import noise, tone, write

SPOKEN = Path(__file__).parent.parent / "audio" / "split-block-short.opus"


def _skip_without_model(name: str) -> None:
    if name == "faster-whisper" and not any(found.state == "intact" for found in models.inspect_models()):
        pytest.skip("no speech model is installed")


EVERY_ENGINE = [
    pytest.param(name, marks=pytest.mark.model if name == "faster-whisper" else ()) for name in speech.ENGINES
]


@pytest.mark.parametrize("name", EVERY_ENGINE)
def test_contract(name: str) -> None:
    _skip_without_model(name)
    listener = Listener()
    transcript = speech.engine(name).transcribe(SPOKEN, Settings(), listener)
    (recording,) = transcript.recordings
    assert recording.name == SPOKEN.name
    assert len(recording.sha256) == 64
    assert transcript.made.engine == name
    assert [cue.start for cue in transcript.cues] == sorted(cue.start for cue in transcript.cues)
    for cue in transcript.cues:
        assert 0 <= cue.start < cue.end <= recording.duration_s + 0.5
        assert cue.text == " ".join(cue.text.split()) != ""
        assert set(cue.marks) <= {"unsure", "no_speech", "repeat"}
        for word in cue.words:
            assert cue.start <= word.start <= word.end <= cue.end
            assert word.probability is None or 0 <= word.probability <= 1
    said = " ".join(cue.text for cue in transcript.cues).lower()
    assert "dial tone" in said
    assert listener.stages[-1] == ("speech", recording.duration_s)
    assert listener.ends == len(listener.stages)
    assert Transcript.model_validate_json(transcript.model_dump_json()) == transcript


@pytest.mark.parametrize("name", EVERY_ENGINE)
def test_no_recording_is_our_error(name: str, tmp_path: Path) -> None:
    broken = tmp_path / "broken.wav"
    broken.write_bytes(b"not sound")
    for path in (broken, tmp_path / "none.wav", tmp_path):
        with pytest.raises(CallnotesError):
            speech.engine(name).transcribe(path, Settings(), Listener())


@pytest.mark.model
@pytest.mark.parametrize("kind", ["silence", "hum", "hiss"])
def test_nobody_speaks(kind: str, tmp_path: Path) -> None:
    _skip_without_model("faster-whisper")
    samples = {"silence": tone(8, 16_000, level=0), "hum": tone(8, 16_000, hertz=60), "hiss": noise(8, 16_000)}[kind]
    path = write(tmp_path / "a.wav", samples)
    with pytest.raises(InputError, match="no speech was found"):
        speech.engine("faster-whisper").transcribe(path, Settings(), Listener())


def test_unknown_engine_lists_the_known() -> None:
    with pytest.raises(OptionError, match="there is no speech engine 'fast'; engines are faster-whisper, replay"):
        speech.engine("fast")


def test_replay_needs_a_transcript_beside_the_recording(tmp_path: Path) -> None:
    path = write(tmp_path / "a.wav", tone(1.0, 16_000))
    with pytest.raises(InputError, match="has no transcript beside it"):
        speech.engine("replay").transcribe(path, Settings(), Listener())
    (tmp_path / "b.vtt").write_text("WEBVTT\n\n00:00.000 --> 00:00.900\nPair nine.\n", encoding="utf-8")
    played = speech.engine("replay").transcribe(path, Settings(model=str(tmp_path / "b.vtt")), Listener())
    assert [cue.text for cue in played.cues] == ["Pair nine."]
    assert played.recordings[0].name == "a.wav"
    alone = speech.engine("replay").transcribe(tmp_path / "b.vtt", Settings(), Listener())
    assert alone.recordings[0].name == "b.vtt"


# --- faster-whisper with a made-up model --------------------------------------------------------


@dataclass
class LibraryWord:
    word: str
    start: float
    end: float
    probability: float = 0.9


@dataclass
class LibrarySegment:
    words: list[LibraryWord]
    avg_logprob: float = -0.2
    no_speech_prob: float = 0.01
    compression_ratio: float = 1.3
    end: float = field(init=False)

    def __post_init__(self) -> None:
        self.end = self.words[-1].end if self.words else 0.0


class MadeUpModel:
    """Answers each stretch with the same segments, or fails while they are taken."""

    def __init__(self, segments: list[LibrarySegment], error: Exception | None = None) -> None:
        self.segments = segments
        self.error = error
        self.options: list[dict[str, Any]] = []

    def transcribe(self, _samples: Any, **options: Any) -> tuple[Any, None]:
        self.options.append(options)

        def taken() -> Any:
            yield from self.segments
            if self.error:
                raise self.error

        return taken(), None


@pytest.fixture
def heard_by(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    path = write(tmp_path / "a.wav", noise(4.0, 16_000))
    monkeypatch.setattr(models, "find", lambda wanted: models.ModelFolder("made-up", tmp_path, "folder", "00"))

    def hear(model: MadeUpModel, **options: Any) -> Transcript:
        monkeypatch.setattr(faster_whisper, "_loaded", lambda folder, settings: model)
        return faster_whisper.FasterWhisper().transcribe(path, Settings(), Listener(), **options)

    return hear


def words(text: str, start: float = 0.0) -> list[LibraryWord]:
    return [LibraryWord(f" {word}", start + 0.3 * n, start + 0.3 * (n + 1)) for n, word in enumerate(text.split())]


def test_segments_become_cues_with_words_and_marks(heard_by: Any) -> None:
    model = MadeUpModel(
        [
            LibrarySegment(words("Off hook, 26.5 milliamps.")),
            LibrarySegment(words("Thank you.", 2.0), avg_logprob=-1.2, no_speech_prob=0.8),
            LibrarySegment(words("go go go", 3.0), compression_ratio=2.6),
        ]
    )
    transcript = heard_by(model, vocabulary_prompt="demarc")
    assert [(cue.text, cue.marks) for cue in transcript.cues] == [
        ("Off hook, 26.5 milliamps.", ()),
        ("Thank you.", ("no_speech", "unsure")),
        ("go go go", ("unsure",)),
    ]
    assert transcript.cues[0].words[2] == Word(text="26.5", start=0.6, end=0.9, probability=0.9)
    assert transcript.made.model == "made-up"
    assert transcript.made.settings["model_sha256"] == "00"
    assert model.options[0]["hotwords"] == "demarc"
    assert model.options[0]["condition_on_previous_text"] is False


def test_nothing_but_marked_silence_is_no_speech(heard_by: Any) -> None:
    with pytest.raises(InputError, match="no speech was found"):
        heard_by(MadeUpModel([]))
    with pytest.raises(InputError, match="no speech was found"):
        heard_by(MadeUpModel([LibrarySegment(words("You."), avg_logprob=-1.5, no_speech_prob=0.9)]))


@pytest.mark.parametrize("error", [RuntimeError("out of memory"), ValueError("bad shape")])
def test_errors_while_hearing_are_ours(heard_by: Any, error: Exception) -> None:
    with pytest.raises(ModelError, match=str(error)):
        heard_by(MadeUpModel([LibrarySegment(words("One."))], error))


def test_a_folder_that_does_not_load_is_a_model_error(tmp_path: Path) -> None:
    for name in ("model.bin", "config.json", "tokenizer.json", "vocabulary.txt"):
        (tmp_path / name).write_bytes(b"{}")
    with pytest.raises(ModelError, match="does not load"):
        faster_whisper.FasterWhisper().load(Settings(model=str(tmp_path)))


def test_unknown_device() -> None:
    with pytest.raises(OptionError, match="there is no device 'abacus'; devices are cpu, cuda"):
        faster_whisper.FasterWhisper().load(Settings(device="abacus"))


# --- sentences and marks ------------------------------------------------------------------------


def heard(text: str, *, start: float = 0.0, step: float = 0.3, marks: tuple[str, ...] = ()) -> list[Heard]:
    return [
        Heard(Word(text=f" {word}", start=start + step * n, end=start + step * (n + 1)), marks)
        for n, word in enumerate(text.split())
    ]


@pytest.mark.parametrize(
    ("said", "cues"),
    [
        (heard("I read 51.2 volts on it. Off hook I get 26."), ["I read 51.2 volts on it.", "Off hook I get 26."]),
        (heard("No. Nothing there at all."), ["No. Nothing there at all."]),
        (heard("The bottom clip") + heard("is loose.", start=1.0), ["The bottom clip is loose."]),
        (heard("It is open") + heard("and so is", start=4.0), ["It is open", "and so is"]),
        (heard("Dead.") + heard("Yes.", start=1.0), ["Dead.", "Yes."]),
        (heard("one two", marks=("unsure",)) + heard("three", start=0.6), ["one two", "three"]),
        (heard("word " * 20 + "comma, " + "word " * 5, step=0.8), ["word " * 20 + "comma,", "word " * 5]),
        (heard("word " * 40, step=1.0), ["word " * 25, "word " * 15]),
    ],
)
def test_cues_hold_a_sentence_or_so(said: list[Heard], cues: list[str]) -> None:
    found = cues_of(said)
    assert [cue.text for cue in found] == [text.strip() for text in cues]
    assert [word.text for cue in found for word in cue.words] == [item.word.text.strip() for item in said]


def test_lone_punctuation_is_no_cue() -> None:
    assert cues_of(heard(". . ?")) == []


@pytest.mark.parametrize(
    ("measures", "marks"),
    [
        ({}, ()),
        ({"avg_logprob": -1.0}, ()),
        ({"avg_logprob": -1.01}, ("unsure",)),
        ({"compression_ratio": 2.4}, ()),
        ({"compression_ratio": 2.41}, ("unsure",)),
        ({"no_speech_prob": 0.95, "avg_logprob": -0.3}, ()),
        ({"no_speech_prob": 0.61, "avg_logprob": -0.61}, ("no_speech",)),
        ({"no_speech_prob": 0.93, "avg_logprob": -0.1, "compression_ratio": 12.7}, ("no_speech", "unsure")),
        ({"no_speech_prob": 0.6, "avg_logprob": -0.9}, ()),
        ({"no_speech_prob": 0.9, "avg_logprob": -1.2}, ("no_speech", "unsure")),
    ],
)
def test_marks(measures: dict[str, float], marks: tuple[str, ...]) -> None:
    assert marks_of(**measures) == marks
