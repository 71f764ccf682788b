"""From transcript to timeline: what was observed and done, and what only sounds so.

``extract`` reads a ``Transcript`` and gives a ``Timeline`` with call facts, points, events and set-aside
speech; verdicts only where the speaker gave them. It opens no file and judges nothing. The order of work:
tokens (``normal``), numbers and measures, clauses and what they assert, places, states, actions
(``findings``), the fold that joins them (``events``), what was said of readings (``stated``), and the
facts of the call (``call_facts``).
"""

from __future__ import annotations

from pathlib import Path

from callnotes import __version__
from callnotes.extract.call_facts import find_call_facts
from callnotes.extract.clauses import Aside
from callnotes.extract.doubt import marked_stretches
from callnotes.extract.draft import Draft, HeldBack
from callnotes.extract.events import Fold
from callnotes.extract.findings import Finder
from callnotes.extract.hearing import FOLDER, Hearing, hear
from callnotes.extract.normal import Talk, talk_of
from callnotes.extract.stated import state_verdicts
from callnotes.records import Event, SetAside, Timeline, Transcript
from callnotes.trade import Trade

__all__ = ["extract"]

_OPENING = 0.3


def extract(transcript: Transcript, trade: Trade, listener: Path = FOLDER) -> Timeline:
    """The timeline of a transcript, times in seconds, before any judging.

    ``listener`` is the folder of the trained listener; without its files the rules stand alone.
    ``open_items`` already holds the marked stretches that could be readings (code ``listen``).
    """
    talk = talk_of(transcript.cues)
    found = Finder(trade).find(talk)
    hearing = hear(talk, listener)
    fold = Fold(talk, found, trade, hearing)
    fold.run()
    lone = fold.points.lone_labels()
    for draft in fold.drafts:
        draft.point = lone.get(draft.point or "", draft.point)
    state_verdicts(talk, found, fold.drafts)
    drafts = sorted([*fold.drafts, *_notes(fold)], key=lambda d: (d.first, d.last))
    events = tuple(_event(number, draft, talk, hearing) for number, draft in enumerate(drafts, 1))
    used = {event.point for event in events}
    return Timeline(
        call=find_call_facts(talk, found, trade, hearing),
        recordings=transcript.recordings,
        made=transcript.made.model_copy(update={"version": __version__}),
        tones=transcript.tones,
        points=tuple(point for point in fold.points.all() if point.id in used),
        events=events,
        set_aside=tuple(_set_aside(held, talk) for held in sorted(fold.held_back, key=lambda h: h.first)),
        open_items=marked_stretches(transcript.cues, trade),
    )


def _notes(fold: Fold) -> list[Draft]:
    """What was reported, one note a sentence: quoted findings, and whatever is quoted as the call opens."""
    opening = len(fold.talk.tokens) * _OPENING
    early = [a for a in fold.found.asides if a.reason == "quoted" and a.first < opening]
    notes: list[Draft] = []
    spoken: list[HeldBack | Aside] = [*fold.held_back, *early]
    for held in sorted(spoken, key=lambda h: h.first):
        if held.reason != "quoted" or any(n.first < held.last and held.first < n.last for n in notes):
            continue
        number = next(n for n, c in enumerate(fold.found.clauses) if c.first <= held.first < c.last)
        notes.append(Draft(held.first, held.last, number, "note", rules=(f"cue: {held.cue_word}",)))
    return notes


def _event(number: int, draft: Draft, talk: Talk, hearing: Hearing | None) -> Event:
    start, end, exact = talk.times(draft.first, draft.last)
    confidence = hearing.confidence(draft.sort, draft.confidence) if hearing else draft.confidence
    return Event.model_validate(
        {
            "id": f"E{number}",
            "kind": draft.kind,
            "start": round(start, 3),
            "end": round(end, 3),
            "text": talk.text(draft.first, draft.last),
            "confidence": round(confidence * talk.probability(draft.first, draft.last), 3),
            "point": draft.point,
            "quantity": draft.quantity,
            "value": draft.value,
            "unit": draft.unit,
            "state": draft.state,
            "conditions": draft.as_conditions(),
            "verdict": draft.verdict,
            "verdict_from": "stated" if draft.stated else None,
            "action": draft.action,
            "object": draft.object,
            "times": "words" if exact else "estimated",
            "rules": draft.rules,
        }
    )


def _set_aside(held: HeldBack, talk: Talk) -> SetAside:
    start, end, _ = talk.times(held.first, held.last)
    text = talk.text(held.first, held.last)
    return SetAside.model_validate(
        {"start": round(start, 3), "end": round(end, 3), "text": text, "reason": held.reason, "cue_word": held.cue_word}
    )
