"""The shapes of the tables that judge: limits, faults, mends, the ledger, requirements, cautions."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, field_validator

from callnotes.records import Level, Verdict
from callnotes.trade.tables import Entry


class Limit(Entry):
    """One published limit. A reading is judged by it only at its place, leads and hook state.

    ``op`` keeps the sign of the source: S.C. says greater than 20 mA, Illinois 20 mA or greater.
    ``places`` are point kinds, or "kind:side"; with a side, a point whose side was not said counts too.
    ``basis`` is ``read``, ``mem-H`` or ``mem-M``; a limit known by doubtful memory is not in the table.
    """

    id: str
    profile: str
    quantity: str
    op: Literal[">", ">=", "<", "<="]
    value: float
    unit: str
    places: tuple[str, ...] = ()
    leads: str | None = None
    hook: str | None = None
    source: str
    basis: Literal["read", "mem-H", "mem-M"]
    note: str | None = None

    @field_validator("places", mode="before")
    @classmethod
    def _parts(cls, value: object) -> object:
        return tuple(part.strip() for part in value.split(";")) if isinstance(value, str) else value


Pattern = Literal[
    "released_by_unplugging",
    "dead_with_panel_out",
    "set_dead_jack_good",
    "pairs_of_one_cable",
    "one_leg_alive",
    "low_current_good_battery",
    "comes_and_goes",
    "tone_on_other_pair",
    "dead_beyond_good",
    "referred_here",
]


class Sign(Entry):
    """What speaks for a fault (``weight`` above 0) or against it (below 0).

    A plain sign matches one event: every key given must hold. ``quantity``, ``state``, ``verdict``, ``action``
    and ``at`` (point kinds) list what is accepted; ``low``/``high`` bound the size of the value in ``unit``;
    ``conditions`` gives, for a condition, the values accepted; ``moved`` asks for a condition that something
    was moved; ``words`` are looked for in the object and in the words heard; ``provider`` True asks for the
    provider's side, False for any other.
    A sign with ``pattern`` is found among several events by the rule of that name.
    """

    weight: float
    why: str
    pattern: Pattern | None = None
    quantity: tuple[str, ...] = ()
    state: tuple[str, ...] = ()
    verdict: tuple[Verdict, ...] = ("fail",)
    action: tuple[str, ...] = ()
    at: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    unit: str | None = None
    conditions: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    moved: bool = False
    words: tuple[str, ...] = ()
    provider: bool | None = None


class Fault(Entry):
    """A kind of fault.

    ``prior``: how common it is at each kind of point, against the others. ``spreads``: where it makes readings bad -
    ``behind`` it, on the whole ``line`` while nothing parts it, or only ``here``; ``touches``: the families of readings
    that it makes bad there. ``steady`` False: it comes and goes, so that a good reading says less. ``mended_by``: what
    can cure it; ``shown_by``: faults whose signs it also shows.
    """

    id: str
    name: str
    plain: str
    prior: dict[str, float] = Field(default_factory=dict)
    spreads: Literal["behind", "line", "here"] = "here"
    touches: tuple[str, ...] = ()
    steady: bool = True
    mended_by: tuple[str, ...] = ()
    shown_by: tuple[str, ...] = ()
    signs: tuple[Sign, ...] = ()


class Family(Entry):
    """Quantities that one fault touches together."""

    name: str
    quantities: tuple[str, ...]


class Weighing(Entry):
    """How much each sort of evidence counts, in natural-log odds; ``weighing.toml`` says what each is."""

    sign: float
    explains: float
    contradicts: float
    unsteady: float
    cured: float
    unusual: float
    each_cured: float
    mended: float
    still_bad: float
    handed_over: float
    provider_bad: float
    premises_then: float
    other: float
    other_each: float
    none: float
    elsewhere: float
    unsigned: float
    two: float
    repeat: float
    names_power: float
    names_most: float


class Mend(Entry):
    """An action that mends, and the faults that it tells of, each with natural-log odds, the usual one first.

    The first row that fits counts. ``undisturbed`` asks that the thing had not been taken apart on this
    call (what the technician takes apart and puts back mends nothing).
    """

    action: tuple[str, ...]
    tells: dict[str, float]
    at: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()
    undisturbed: bool = False


class Owner(Entry):
    """Words that name whose trouble it is when it is handed over."""

    side: Literal["provider", "customer"]
    words: tuple[str, ...]


class LedgerRule(Entry):
    """An action that takes something out of its place, and what puts it back.

    ``words`` (any) must be in the object or the words heard where given, ``unless`` must not.
    ``back_by`` lists actions that put it back; ``back_words`` must then be heard where given.
    """

    action: tuple[str, ...]
    what: str
    back_by: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()
    back_words: tuple[str, ...] = ()
    object_only: bool = False
    account: bool = False
    if_failing: bool = False


Check = Literal[
    "fact_missing",
    "line_number_missing",
    "complaint_missing",
    "no_readings",
    "mend_without_retest",
    "one_way_only",
    "still_out",
    "left_on_test",
    "test_overrun",
    "test_ending",
    "guarded_untold",
    "guarded_unproved",
    "guarded_line_faulty",
    "danger_standing",
    "word_against_limit",
    "leads_missing",
    "materials_unsaid",
    "ticket_missing",
    "return_unexplained",
    "next_step_unsaid",
    "not_found",
]


class Requirement(Entry):
    """One thing that a closed call must hold. ``check`` names the rule; the other keys narrow it.

    ``fact``: which call fact. ``outs``: which things still out ("fire", "guarded", "plug", "other"). ``reason``:
    only with, or only without, a reason said, or somebody told. ``status``: only at a diagnosis status listed,
    ``unless_status``: not at one of these. ``minutes``: so long before. ``fill``: the field whose value settles it.
    ``text`` may hold ``{what}`` and ``{where}``.
    """

    code: str
    level: Level
    check: Check
    text: str
    fact: str | None = None
    outs: tuple[str, ...] = ()
    reason: bool | None = None
    status: tuple[str, ...] = ()
    unless_status: tuple[str, ...] = ()
    minutes: int = 0
    fill: str | None = None


class CautionSign(Entry):
    """What raises a caution: a reading over ``over`` at ``at``, an action, or ``words`` heard in an event.

    ``guarded``: at an alarm panel or its jack. ``reported``: on a call whose reported trouble is that of a line that
    guards life or property. ``told``: its words count as well where somebody else told them.
    """

    quantity: tuple[str, ...] = ()
    state: tuple[str, ...] = ()
    over: float | None = None
    unit: str | None = None
    action: tuple[str, ...] = ()
    at: tuple[str, ...] = ()
    guarded: bool = False
    reported: bool = False
    told: bool = False
    words: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()


class Caution(Entry):
    """A caution and what raises it (any of ``signs``). Its text always defers to codes, rules and licence."""

    code: str
    text: str
    signs: tuple[CautionSign, ...]
