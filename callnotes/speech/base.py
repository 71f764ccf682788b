"""What a speech engine is.

A new engine takes four steps:

1. one module in this folder with a class that has ``transcribe`` as below; its library is imported inside
   the function that uses it, and its errors come out as ours (``InputError``, ``ModelError``, ``OptionError``);
2. cues of a sentence or so, words with times (and probabilities where there are any), marks by
   ``timed_text.measures``; what the engine doubts is marked, not dropped;
3. one entry in ``ENGINES`` in ``speech/__init__.py``;
4. nothing in the tests: the contract test in ``tests/speech`` runs over every entry.
"""

from __future__ import annotations

from pathlib import Path
from typing import Protocol

from callnotes.progress import Progress
from callnotes.records import Transcript
from callnotes.settings import Settings


class Engine(Protocol):
    """Turns a recording into a transcript."""

    def transcribe(
        self, recording: Path, settings: Settings, progress: Progress, *, vocabulary_prompt: str | None = None
    ) -> Transcript:
        """The transcript of one recording, cues in order of time, in seconds from its start.

        ``vocabulary_prompt`` is a short text of trade terms to lean the engine towards; it may be ignored.
        Give it commas and a full stop: after a bare list of words, Whisper leaves out punctuation, and sentences
        end nowhere.
        ``InputError`` if nothing decodes or nobody speaks, ``ModelError`` if the model is not there or damaged.
        """
