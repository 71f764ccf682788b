"""``headroom``: a reading against the published limits, each with the sign of its source."""

from __future__ import annotations

from callnotes.calc.rounding import exact
from callnotes.cli.calc.answer import Answer, Figure
from callnotes.cli.calc.given import Given
from callnotes.errors import InputError
from callnotes.judge import meets
from callnotes.trade import Trade, load_trade
from callnotes.trade.judgment import Limit


def headroom(given: Given) -> Answer:
    """``headroom``: room left to every published limit of that quantity, or to those of one profile."""
    trade = load_trade()
    quantity = _quantity(given.word("quantity"), trade)
    limits = [limit for limit in trade.limits if limit.quantity == quantity]
    if given.has("profile"):
        named = trade.limits_of(given.word("profile"))
        limits = [limit for limit in limits if limit in named]
        if not limits:
            raise ValueError(f"{given.word('profile')} has no limit for {_said(quantity)}")
    read = given.measure("reading")
    told: dict[str, Figure] = {}
    rows = []
    for limit in limits:
        have, want = trade.unit(read.unit), trade.unit(limit.unit)
        value = have.to(want, read.value) if have and want else None
        if value is None:
            raise ValueError(f"{read.value:g} {read.unit} is no {_said(quantity)}: say it in {limit.unit}")
        row, room, passes = _row(limit, value)
        rows.append(row)
        told |= {limit.profile: Figure("pass" if passes else "fail"), f"{limit.profile} room": Figure(room, limit.unit)}
    failed = sum(figure.value == "fail" for figure in told.values())
    what = f"{read.value:g} {read.unit} of {_said(quantity)}"
    if len(rows) == 1:
        return Answer(f"{what} {rows[0].partition(': ')[0]}", told, tuple(rows), _notes(limits))
    line = f"{what} {f'FAILS {failed} of' if failed else 'passes all'} {len(rows)} published limits here"
    return Answer(line, told, tuple(rows), _notes(limits))


def _row(limit: Limit, value: float) -> tuple[str, float, bool]:
    passes = meets(value, limit)
    room = value - limit.value if limit.op in (">", ">=") else limit.value - value
    basis = {"read": "published", "mem-H": "from memory, sure", "mem-M": "from memory, check it"}[limit.basis]
    verdict = "passes" if passes else "FAILS"
    # A reading on an edge that its source leaves out has no room, and still fails.
    text = f"{verdict} {limit.profile} ({limit.op} {limit.value:g} {limit.unit}), {_room(room, limit.unit)}"
    return f"{text}: {limit.source}, {basis}", round(room, 9), passes


def _room(room: float, unit: str) -> str:
    if round(room, 9) == 0:
        return "on the edge itself"
    return f"{exact(room)} {unit} to spare" if room > 0 else f"{exact(-room)} {unit} over the edge"


def _notes(limits: list[Limit]) -> tuple[str, ...]:
    notes = [
        "A limit holds where its source says, mostly at the protector or the interface; elsewhere it says nothing."
    ]
    notes += [f"{limit.profile}: {limit.note}." for limit in limits if limit.note]
    if any(limit.leads or limit.quantity == "insulation_resistance" for limit in limits):
        notes.append("Say which leads it was read on; without them the reading gets no verdict.")
    return tuple(notes)


def _quantity(said: str, trade: Trade) -> str:
    wanted = " ".join(said.lower().replace("_", " ").replace("-", " ").split())
    having = dict.fromkeys(limit.quantity for limit in trade.limits)
    for name in having:
        known = trade.quantity(name)
        if wanted in (_said(name), *((known.name.lower(), *known.said) if known else ())):
            return name
    there = ", ".join(map(_said, having))
    raise InputError(f"no published limit here for {said!r}", where="calc headroom", hint=f"there are {there}")


def _said(quantity: str) -> str:
    return quantity.replace("_", " ")


SUMS = {"headroom": headroom}
