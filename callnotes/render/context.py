"""The values that templates may use, each with its help.

A template sees the fields of ``Report`` by name. Everything is text ready for paper, or a small record of
texts; nothing here is Markdown, and the templates' own environment escapes every value.
"""

from __future__ import annotations

from dataclasses import dataclass, is_dataclass
from typing import Annotated, get_args, get_type_hints

from callnotes.render.path import Path


@dataclass(frozen=True)
class PlaceRead:
    """Readings at one place."""

    place: Annotated[str, 'the point in a sentence, "the right side of the 66 block (pair 9)"']
    located: Annotated[str, 'the same with its preposition, "on the right side of the 66 block (pair 9)"']
    phrases: Annotated[tuple[str, ...], 'noun phrases, ("no dial tone", "51.2 V DC on hook")']
    at: Annotated[str, "time of the last of them"]


@dataclass(frozen=True)
class Story:
    """What the four paragraphs tell."""

    quotes: Annotated[tuple[str, ...], "what was reported, as heard"]
    status: Annotated[str | None, "found, mended, repaired, referred, not_found, or None where nothing was concluded"]
    cause: Annotated[str | None, "the conclusion as a clause without side and full stop"]
    sure: Annotated[str, "how sure that is: proved (mended and read again), certain, likely or possible"]
    others: Annotated[tuple[str, ...], "what else it could be, as clauses, where it is not sure"]
    side: Annotated[str, "provider, customer or unknown"]
    last_good: Annotated[PlaceRead | None, "the last point that read good, as found"]
    first_bad: Annotated[PlaceRead | None, "the first point that read bad, as found"]
    element_bad: Annotated[PlaceRead | None, "bad readings at the part at fault, where it is none of those two"]
    seen: Annotated[tuple[str, ...], "defects seen by eye, unless first_bad names them"]
    done: Annotated[tuple[str, ...], "what mended, isolated, told or handed over, as clauses in the past tense"]
    more_done: Annotated[int, "how many such clauses did not fit"]
    repaired_at: Annotated[str | None, "time of the last mend"]
    proof: Annotated[tuple[PlaceRead, ...], "readings after the last mend, judged good or not judged"]
    still_bad: Annotated[tuple[PlaceRead, ...], "readings after the last mend that are bad"]
    read_count: Annotated[int, "number of readings of the call"]


@dataclass(frozen=True)
class Verdict:
    """A verdict as it is shown."""

    name: Annotated[str, "pass, fail, marginal or none; names the mark"]
    glyph: Annotated[str, "the mark as a character, for plain text"]
    word: Annotated[str, "the word beside the mark"]
    by: Annotated[str, 'what it rests on: "stated", "its state", the limit, or empty']


@dataclass(frozen=True)
class Head:
    """The facts of the call; None where nothing was said or given."""

    work_order: Annotated[str | None, "number of the work order"]
    site: Annotated[str | None, "where the call was"]
    contact: Annotated[str | None, "who met the technician"]
    technicians: Annotated[tuple[str, ...], "who did the work"]
    date: Annotated[str | None, '"March 4, 2026"']
    arrived: Annotated[str | None, '"9:10 a.m."']
    departed: Annotated[str | None, '"9:55 a.m."']
    on_site: Annotated[str | None, 'time on site, "45 min"']
    line_numbers: Annotated[tuple[str, ...], "numbers of the lines worked on"]
    accepted_by: Annotated[str | None, "who accepted the work"]
    checkout: Annotated[str | None, "the client's check-out number"]
    assumed: Annotated[tuple[str, ...], "names of the fields above that rest on a guess"]


@dataclass(frozen=True)
class ReadingRow:
    """One reading."""

    at: Annotated[str, "time"]
    point: Annotated[str | None, "the point's whole name, None where it could not be told"]
    quantity: Annotated[str, 'what was read: "DC voltage"']
    value: Annotated[str, '"51.2 V", "none"']
    conditions: Annotated[str, '"on hook", or empty']
    verdict: Annotated[Verdict, "the verdict"]


@dataclass(frozen=True)
class SumRow:
    """A figure worked out from readings."""

    text: Annotated[str, '"About 1,180 ft to the short, between 1,150 and 1,240 ft (...)"']
    point: Annotated[str | None, "the whole name of the point where it was read, None where it could not be told"]


@dataclass(frozen=True)
class ActionRow:
    """One action."""

    at: Annotated[str, "time"]
    clause: Annotated[str, '"replaced the cord at the kitchen jack"']


@dataclass(frozen=True)
class LedgerRow:
    """Something disturbed, and what became of it."""

    what: Annotated[str, "what was disturbed"]
    point: Annotated[str | None, "where"]
    disturbed_at: Annotated[str | None, "when"]
    restored_at: Annotated[str | None, "when it was put back, None if it is still out"]
    reason: Annotated[str | None, "why it was left out"]


@dataclass(frozen=True)
class OpenRow:
    """An open item."""

    text: Annotated[str, "what is open"]
    stops: Annotated[bool, "whether the call must not be closed before it is settled"]
    accepted_by: Annotated[str | None, "who lets it stand"] = None
    reason: Annotated[str | None, "why it may stand"] = None


@dataclass(frozen=True)
class TicketRow:
    """A trouble ticket with somebody else."""

    number: Annotated[str, "its number"]
    owner: Annotated[str | None, "whose it is"]
    person: Annotated[str | None, "who took it"]
    promised: Annotated[str | None, "what was promised by when"]


@dataclass(frozen=True)
class OnTestRow:
    """The test window of an alarm account."""

    since: Annotated[str | None, "from when"]
    until: Annotated[str | None, "until when"]
    operator: Annotated[str | None, "who took the call"]
    off: Annotated[str | None, "when it was taken off test"]


@dataclass(frozen=True)
class NextRow:
    """The test that would tell most."""

    do: Annotated[str, "what to do"]
    place: Annotated[str | None, "the point's whole name, None where it is nowhere in particular"]
    why: Annotated[str, "why"]
    first: Annotated[tuple[str, ...], "what must be done before it"]


@dataclass(frozen=True)
class RecordingRow:
    """One recording."""

    name: Annotated[str, "file name"]
    sha256: Annotated[str, "its SHA-256"]
    length: Annotated[str, '"3 min 12 s"']


@dataclass(frozen=True)
class MendRow:
    """A misheard word that was mended."""

    heard: Annotated[str, "what was heard"]
    mended: Annotated[str, "what was put"]


@dataclass(frozen=True)
class Making:
    """How the report came about."""

    version: Annotated[str, "version of callnotes"]
    engine: Annotated[str | None, "speech engine"]
    model: Annotated[str | None, "speech model"]
    profile: Annotated[str | None, "limits judged by"]
    limits: Annotated[tuple[str, ...], "sources of the limits that judged, with how sure where they are from memory"]
    recordings: Annotated[tuple[RecordingRow, ...], "what it was made from"]
    mends: Annotated[tuple[MendRow, ...], "misheard words that were mended"]
    events: Annotated[int, "number of events"]
    unsure: Annotated[int, "number of events whose confidence is under 0.6"]
    unsure_at: Annotated[tuple[str, ...], "their times"]
    clock_known: Annotated[bool, "times are times of day, not of the recording"]


@dataclass(frozen=True)
class Report:
    """All that a section template may use."""

    call: Annotated[Head, "the facts of the call"]
    story: Annotated[Story, "what the four paragraphs tell"]
    path: Annotated[Path, "stations of the path picture, in order"]
    path_alt: Annotated[str, "the picture in words"]
    readings: Annotated[tuple[ReadingRow, ...], "all readings, in order"]
    sums: Annotated[tuple[SumRow, ...], "what was worked out from the readings"]
    actions: Annotated[tuple[ActionRow, ...], "all actions, in order"]
    ledger: Annotated[tuple[LedgerRow, ...], "what was disturbed and put back"]
    materials: Annotated[tuple[str, ...], '"2 bridging clips"']
    no_materials: Annotated[bool, "it was said that nothing was used"]
    open_items: Annotated[tuple[OpenRow, ...], "what is still open, those that stop first"]
    next_test: Annotated[NextRow | None, "the next test, where the fault is not settled"]
    return_visit: Annotated[bool | None, "whether one is needed; None: not said"]
    tickets: Annotated[tuple[TicketRow, ...], "tickets with others"]
    on_test: Annotated[OnTestRow | None, "the alarm account's test window"]
    cautions: Annotated[tuple[str, ...], "what can hurt or needs care"]
    made: Annotated[Making, "how this was made"]


def fields_told(kind: type = Report) -> dict[str, str]:
    """Every value that a template may use, as dotted name and help; ``[]`` marks a list."""
    told: dict[str, str] = {}
    for field, hint in get_type_hints(kind, include_extras=True).items():
        inner, meaning = get_args(hint)
        name = f"{field}[]" if str(inner).startswith("tuple") else field
        told[name] = meaning
        for part in (inner, *get_args(inner)):
            if isinstance(part, type) and is_dataclass(part) and part is not Path:
                told |= {f"{name}.{key}": text for key, text in fields_told(part).items()}
    return told
