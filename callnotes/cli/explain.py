"""``callnotes timeline --explain``: what was found in a stretch of speech, by what, and what was held back and why."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator

from callnotes.cli.screen import clock, plain, width
from callnotes.errors import OptionError
from callnotes.records import Event, SetAside, Timeline, Transcript
from callnotes.render.names import Names

_MOMENT = re.compile(r"(?:(\d+):)?(\d{1,2}):(\d{2})")
_HANG = " " * 8


def stretch_of(given: str) -> tuple[float, float]:
    """Seconds from and to of "4:00-5:30", "4:40" (half a minute around it) or "all"; ``OptionError`` for others."""
    moments = [_seconds(part) for part in given.split("-")]
    if given == "all":
        return 0.0, float("inf")
    if None in moments or len(moments) > 2:
        raise OptionError("is no stretch of speech", where=f"--explain {given}", hint="say 4:00-5:30, 4:40 or all")
    first, last = moments[0] or 0.0, moments[-1] or 0.0
    return (first - 15, first + 15) if len(moments) == 1 else (first, last)


def _seconds(moment: str) -> float | None:
    match = _MOMENT.fullmatch(moment.strip())
    if match is None:
        return None
    hours, minutes, seconds = (int(part or 0) for part in match.groups())
    return hours * 3600.0 + minutes * 60 + seconds


def explained(transcript: Transcript, timeline: Timeline, stretch: tuple[float, float], names: Names) -> Iterator[str]:
    """Lines to print: each cue of the stretch, and under it what was made of its words."""
    told: list[Event | SetAside] = [*timeline.events, *timeline.set_aside]
    for number, cue in enumerate(transcript.cues):
        if cue.end <= stretch[0] or cue.start >= stretch[1]:
            continue
        yield from _wrapped(f"{clock(cue.start):>7} {plain(cue.text)}", _HANG)
        end = transcript.cues[number + 1].start if number + 1 < len(transcript.cues) else float("inf")
        here = [item for item in told if cue.start <= item.start < end]
        for item in sorted(here, key=lambda item: item.start):
            lines = _event(item, timeline, names) if isinstance(item, Event) else _held_back(item)
            for line in lines:
                yield from _wrapped(_HANG + line, _HANG + "  ")
        if not here:
            yield f"{_HANG}nothing"


def _event(event: Event, timeline: Timeline, names: Names) -> Iterator[str]:
    what = (event.quantity or event.action or "what was reported").replace("_", " ")
    value = f"{event.value:g} {event.unit or ''}" if event.value is not None else (event.state or "")
    point = timeline.point(event.point)
    given = ", ".join(f"{c.what} {c.is_}" for c in event.conditions)
    verdict = f"{event.verdict} ({event.verdict_from})" if event.verdict else ""
    parts = [f"{event.kind} {what} {value}".strip(), names.table(point) or "no place", given, verdict]
    yield f"{event.id} " + plain(" · ".join(part for part in parts if part)) + f" · confidence {event.confidence:.2f}"
    times = "" if event.times == "words" else ", times estimated"
    yield f'  from "{plain(event.text)}"{times}, by {plain("; ".join(event.rules)) or "no rule"}'


def _held_back(held: SetAside) -> Iterator[str]:
    because = f', for "{plain(held.cue_word)}"' if held.cue_word else ""
    yield f'held back as {held.reason}{because}: "{plain(held.text)}"'


def _wrapped(line: str, hang: str) -> list[str]:
    return [made.rstrip() for made in textwrap.wrap(line, width(), subsequent_indent=hang, drop_whitespace=False)]
