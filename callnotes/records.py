"""Every record that passes between the stages; no logic, no input or output.

Data flows one way: recording -> ``Transcript`` -> ``Timeline`` -> report. The shapes follow the
project's own format page (``callnotes guide format``). Records are frozen: a stage that changes one
returns a copy (``record.model_copy(update={...})``). Times are seconds from the start of the
first recording of the call, as floats; spans are half-open.
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Verdict = Literal["pass", "fail", "marginal"]
VerdictFrom = Literal["stated", "state", "limit"]
EventKind = Literal["reading", "action", "note"]
Level = Literal["stops", "noted"]
Side = Literal["provider", "customer", "unknown"]
PointSide = Literal["provider", "customer", "in", "out", "left", "right", "top", "bottom"]
Basis = Literal["read", "mem-H", "mem-M", "practice", "definition", "own"]
Status = Literal["found", "mended", "repaired", "referred", "not_found"]
AsideReason = Literal[
    "hypothetical", "instruction", "question", "planned", "conversation", "retracted", "recap", "quoted", "comment"
]

TRANSCRIPT_FORMAT: Literal["callnotes.transcript/1"] = "callnotes.transcript/1"
TIMELINE_FORMAT: Literal["callnotes.timeline/1"] = "callnotes.timeline/1"


class Record(BaseModel):
    """Base of all records: frozen, and an unknown key is an error, not a surprise."""

    model_config = ConfigDict(frozen=True, extra="forbid")


# --- the transcript ---------------------------------------------------------------------------


class Word(Record):
    """One word as the engine gave it. ``probability`` is 0..1, or None where the engine gives none."""

    text: str
    start: float
    end: float
    probability: float | None = None


class Cue(Record):
    """A stretch of speech, a sentence or so.

    ``words`` is empty where the source had no word times. ``marks`` names what the engine's own
    measures say against the text: ``unsure``, ``no_speech``, ``repeat``. A marked cue is kept but
    makes no event.
    """

    start: float
    end: float
    text: str
    speaker: str | None = None
    words: tuple[Word, ...] = ()
    marks: tuple[str, ...] = ()


class Recording(Record):
    """One recording of the call. ``offset_s`` is where it begins on the call's clock."""

    name: str
    sha256: str
    duration_s: float
    offset_s: float = 0.0
    started: str | None = Field(None, description="wall clock of its start, ISO 8601, if known")


class ToneHeard(Record):
    """A tone found in the sound by signal processing."""

    kind: str
    start: float
    end: float
    digits: str | None = None


class Mend(Record):
    """A misheard trade word that was mended: what was heard, what was put, and on what ground."""

    start: float
    end: float
    heard: str
    mended: str
    ground: str


class Made(Record):
    """How a transcript or timeline came about."""

    version: str
    engine: str | None = None
    model: str | None = None
    settings: dict[str, Any] = Field(default_factory=dict)
    mends: tuple[Mend, ...] = ()
    profile: str | None = None


class Transcript(Record):
    """Timed text. ``warnings`` holds what a reader or the engine could not take, with its place."""

    format: Literal["callnotes.transcript/1"] = TRANSCRIPT_FORMAT
    recordings: tuple[Recording, ...] = ()
    made: Made
    tones: tuple[ToneHeard, ...] = ()
    cues: tuple[Cue, ...] = ()
    warnings: tuple[str, ...] = ()


# --- the timeline -----------------------------------------------------------------------------


class Material(Record):
    item: str
    quantity: float | None = None
    unit: str | None = None


class Ticket(Record):
    number: str
    owner: str | None = None
    person: str | None = None
    promised: str | None = None


class OnTest(Record):
    """An alarm account's test window at its monitoring station, times as ``HH:MM``."""

    since: str | None = None
    until: str | None = None
    operator: str | None = None
    off: str | None = Field(None, description="when it was taken off test")


class Call(Record):
    """The facts of the service call. What was not said or given is None or empty.

    Times of day are ``HH:MM`` on the 24 hour clock. ``inferred`` names fields whose value rests on a
    guess (a.m. or p.m., mostly).
    """

    work_order: str | None = None
    site: str | None = None
    contact: str | None = None
    technicians: tuple[str, ...] = ()
    date: str | None = None
    line_numbers: tuple[str, ...] = ()
    arrived: str | None = None
    departed: str | None = None
    materials: tuple[Material, ...] = ()
    no_materials: bool = Field(False, description="it was said that nothing was used")
    return_visit: bool | None = None
    tickets: tuple[Ticket, ...] = ()
    on_test: OnTest | None = None
    complaint: str | None = Field(None, description="the reported trouble, where a person filled it in")
    accepted_by: str | None = Field(None, description="who accepted the work")
    checkout: str | None = Field(None, description="the client's check-out number")
    inferred: tuple[str, ...] = ()


class Point(Record):
    """A test point. ``order`` is its place on the path, provider first."""

    id: str
    kind: str
    label: str | None = None
    line: str | None = None
    block_type: str | None = None
    row: tuple[int, ...] = ()
    pair: int | None = None
    column: str | None = None
    side: PointSide | None = None
    port: int | str | None = None
    pins: tuple[int, ...] = ()
    color: str | None = Field(None, description="tip/ring in the 25-pair code, lower case")
    order: int = 0


class Condition(Record):
    """Under what a reading was taken, e.g. what="hook", is="off"; ``point`` where it holds elsewhere."""

    what: str
    is_: str = Field(alias="is", serialization_alias="is")
    point: str | None = None

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


class Event(Record):
    """What was observed or done at one moment.

    ``text`` quotes the words as heard; ``start``/``end`` bound exactly those words
    (``times`` says whether they come from word times or were estimated inside the cue).
    ``rules`` names the data entries and rules that made the event.
    """

    id: str
    kind: EventKind
    start: float
    end: float
    text: str
    confidence: float = Field(ge=0.0, le=1.0)
    point: str | None = None
    quantity: str | None = None
    value: float | None = None
    unit: str | None = None
    state: str | None = None
    conditions: tuple[Condition, ...] = ()
    verdict: Verdict | None = None
    verdict_from: VerdictFrom | None = None
    limit: str | None = None
    action: str | None = None
    object: str | None = None
    times: Literal["words", "estimated"] = "words"
    rules: tuple[str, ...] = ()


class SetAside(Record):
    """Speech that sounds like an observation and is none. ``cue_word`` is what gave it away."""

    start: float
    end: float
    text: str
    reason: AsideReason
    cue_word: str | None = None


class Ranked(Record):
    """One hypothesis with its probability and its evidence as event ids."""

    fault: str
    element: str | None = None
    between: tuple[str, str] | None = None
    p: float = Field(ge=0.0, le=1.0)
    for_: tuple[str, ...] = Field((), alias="for", serialization_alias="for")
    against: tuple[str, ...] = ()

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


class NextTest(Record):
    do: str
    point: str | None = None
    why: str
    needs_first: tuple[str, ...] = ()


class Diagnosis(Record):
    """The conclusion. ``why`` holds its grounds in plain words, each naming event ids in brackets."""

    status: Status
    fault: str
    element: str | None = None
    between: tuple[str, str] | None = None
    side: Side = "unknown"
    ranked: tuple[Ranked, ...] = ()
    next_test: NextTest | None = None
    why: tuple[str, ...] = ()


class Sum(Record):
    """A figure that the trade works out from readings, with the events it rests on.

    ``sum`` is its name in the table of sums, ``text`` a plain sentence without full stop. ``low`` and ``high`` are the
    spread; ``value`` is None where only the spread can be told. ``basis`` is that of the least sure of its sources.
    """

    sum: str
    text: str
    value: float | None = None
    unit: str | None = None
    low: float | None = None
    high: float | None = None
    point: str | None = Field(None, description="where it was read; of two points the one further along the way")
    from_: tuple[str, ...] = Field(alias="from", serialization_alias="from")
    source: str
    basis: Basis

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


class LedgerLine(Record):
    """Something disturbed on this call, and what put it back (None: it is still out)."""

    what: str
    point: str | None = None
    disturbed_by: str
    restored_by: str | None = None
    reason: str | None = None


class Acceptance(Record):
    """Who lets an open item stand and why; ``at`` is ISO 8601."""

    by: str
    reason: str
    at: str


class OpenItem(Record):
    code: str
    text: str
    level: Level
    because: str | None = None
    fill: str | None = Field(None, description="the field whose value settles it")
    accepted: Acceptance | None = None


class CautionGiven(Record):
    code: str
    text: str
    because: str | None = None


class Timeline(Record):
    """The whole of ``timeline.json``."""

    format: Literal["callnotes.timeline/1"] = TIMELINE_FORMAT
    call: Call = Call()
    recordings: tuple[Recording, ...] = ()
    made: Made
    tones: tuple[ToneHeard, ...] = ()
    points: tuple[Point, ...] = ()
    events: tuple[Event, ...] = ()
    set_aside: tuple[SetAside, ...] = ()
    diagnosis: Diagnosis | None = None
    sums: tuple[Sum, ...] = ()
    ledger: tuple[LedgerLine, ...] = ()
    open_items: tuple[OpenItem, ...] = ()
    cautions: tuple[CautionGiven, ...] = ()

    def point(self, point_id: str | None) -> Point | None:
        """The point of that id, or None."""
        return next((p for p in self.points if p.id == point_id), None)

    def event(self, event_id: str | None) -> Event | None:
        """The event of that id, or None."""
        return next((e for e in self.events if e.id == event_id), None)


def to_json(record: Record) -> str:
    """A record as indented JSON with the format's own key names, ending in a newline."""
    return record.model_dump_json(indent=2, by_alias=True) + "\n"
