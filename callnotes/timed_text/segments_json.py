"""Reads the JSON that speech engines write: ``{"segments": [{"start", "end", "text", "words"?}]}``.

A word's text stands under ``word`` or ``text``, its probability under ``probability``, ``p`` or
``score``. Measures beside a segment (``avg_logprob``, ``no_speech_prob``, ``compression_ratio``) become marks.
"""

from __future__ import annotations

from typing import Any

from callnotes.errors import InputError
from callnotes.records import Transcript, Word
from callnotes.timed_text.draft import Draft, TextFile, is_time
from callnotes.timed_text.json_file import parsed
from callnotes.timed_text.markup import clean
from callnotes.timed_text.measures import marks_of, with_repeats

_MEASURES = ("avg_logprob", "no_speech_prob", "compression_ratio")


def read(file: TextFile) -> Transcript:
    """The transcript in an engine's JSON. ``InputError`` if there are no segments with times and text."""
    segments = parsed(file).get("segments")
    if not isinstance(segments, list):
        raise InputError('has no list of "segments"', where=str(file.path), hint="export it with segments")
    draft = Draft(file)
    for number, segment in enumerate(segments, 1):
        _take(segment, number, draft)
    transcript = draft.finish()
    return transcript.model_copy(update={"cues": with_repeats(transcript.cues)})


def _take(segment: Any, number: int, draft: Draft) -> None:
    if not isinstance(segment, dict):
        draft.warn(f"segment {number} is no object", text=clean(str(segment)))
        return
    start, end = segment.get("start"), segment.get("end")
    raw = segment.get("words")
    listed = [word for word in raw if isinstance(word, dict)] if isinstance(raw, list) else []
    text = clean(str(segment.get("text") or " ".join(_text(word) for word in listed)))
    if not text:
        return
    if not is_time(start) or not is_time(end):
        draft.warn(f"segment {number} has no times", text=text)
        return
    speaker = clean(str(segment.get("speaker") or "")) or None
    words = _words(listed, float(start), float(end))
    draft.add(float(start), float(end), text, speaker=speaker, words=words, marks=_marks(segment))


def _marks(segment: dict[str, Any]) -> tuple[str, ...]:
    given = {name: segment.get(name) for name in _MEASURES}
    return marks_of(**{name: float(value) for name, value in given.items() if isinstance(value, int | float)})


def _text(word: dict[str, Any]) -> str:
    return clean(str(word.get("word") or word.get("text") or ""))


def _words(listed: list[dict[str, Any]], start: float, end: float) -> tuple[Word, ...]:
    """Words with times. Engines that align leave out times of numbers: such a word fills the gap it stands in."""
    spoken = [word for word in listed if _text(word)]
    if not any(is_time(word.get("start")) for word in spoken):
        return ()
    known = [float(word["start"]) if is_time(word.get("start")) else None for word in spoken]
    # For each place the next known start at or after it, so that gaps are filled in one pass.
    upcoming: list[float] = []
    for value in reversed(known):
        upcoming.append(value if value is not None else (upcoming[-1] if upcoming else end))
    upcoming.reverse()
    words: list[Word] = []
    for number, word in enumerate(spoken):
        begin = known[number]
        if begin is None:
            begin = words[-1].end if words else start
        until = word.get("end")
        after = upcoming[number + 1] if number + 1 < len(spoken) else end
        stop = float(until) if until is not None and is_time(until) else max(begin, after)
        words.append(Word(text=_text(word), start=begin, end=max(begin, stop), probability=_probability(word)))
    return tuple(words)


def _probability(word: dict[str, Any]) -> float | None:
    given = next((word[key] for key in ("probability", "p", "score") if word.get(key) is not None), None)
    if isinstance(given, bool) or not isinstance(given, int | float) or not 0.0 <= given <= 1.0:
        return None
    return float(given)
