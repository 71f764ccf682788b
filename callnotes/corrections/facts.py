"""Facts that a person sets: the field they mean, and the call with what was set."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError

from callnotes.corrections.lines import Correction, FactsSet
from callnotes.corrections.values import parse
from callnotes.errors import InputError, OptionError
from callnotes.records import Call, OnTest
from callnotes.trade import Trade
from callnotes.trade.fields import CallField

HEARD = "heard"
_NEAREST = 3


def change(
    call: Call, changes: Sequence[str], earlier: Sequence[Correction], trade: Trade, *, at: str, who: str, today: date
) -> FactsSet:
    """The correction that ``FIELD=VALUE`` strings ask for; ``OptionError`` for the first that does not hold.

    ``FIELD=`` leaves the field empty, ``FIELD=heard`` gives it back to what was heard, ``FIELD+=VALUE`` adds to a
    list. ``earlier`` are the corrections so far, ``today`` tells which year a date without one means.
    """
    put: dict[str, Any] = {}
    was: dict[str, Any] = {}
    heard = []
    for text in changes:
        name, sign, value = text.partition("=")
        if not sign:
            raise OptionError("is no FIELD=VALUE", where=text, hint="write it like departed=16:20")
        field = field_of(name.removesuffix("+").strip(), trade)
        if field.name in put:
            raise OptionError(f"{field.name} is given twice", where=text, hint="give each field once")
        was[field.name] = _get(call, field)
        if value.strip().lower() == HEARD:
            heard.append(field.name)
            put[field.name] = _before(field.name, earlier, was[field.name])
        else:
            put[field.name] = _parsed(field, value.strip(), was[field.name], trade, today, adds=name.endswith("+"))
    return FactsSet(at=at, who=who, set=put, was=was, heard=tuple(heard))


def field_of(name: str, trade: Trade) -> CallField:
    """The field of that name; ``OptionError`` with the nearest names where there is none."""
    plain = name.lower().replace("-", "_").replace(" ", "_")
    for field in trade.fields:
        if plain in field.names:
            return field
    by_name = {known: field.name for field in trade.fields for known in field.names}
    begun = [known for known in by_name if len(plain) > 1 and known.startswith(plain)]
    close = get_close_matches(plain, by_name, n=2 * _NEAREST, cutoff=0.7)
    near = dict.fromkeys(by_name[known] for known in (*begun, *close))
    if near:
        raise OptionError(f"no field {name!r}", hint=f"did you mean {' or '.join(list(near)[:_NEAREST])}?")
    raise OptionError(f"no field {name!r}", hint=f"the fields are {', '.join(f.name for f in trade.fields)}")


def with_facts(call: Call, corrections: Sequence[Correction], trade: Trade) -> Call:
    """The call with what was set; ``InputError`` where a line of the file gives a field what it cannot hold."""
    standing: dict[str, tuple[Any, Any, bool]] = {}
    for line in corrections:
        if isinstance(line, FactsSet):
            for name, value in line.set.items():
                standing[name] = (value, line.was.get(name), name in line.heard)
    for name, (value, was, heard) in standing.items():
        field = next((f for f in trade.fields if f.name == name), None)
        if field is None:
            raise InputError(f"no field {name!r}", where="corrections.jsonl", hint="take it out of that line")
        # Given back: the value of then counts only where the correction still stands, not what was heard since.
        if not heard or _get(call, field) == was:
            call = _put(call, field, value)
    return call


def listed(call: Call, trade: Trade) -> list[tuple[CallField, Any]]:
    """Every field with what it holds."""
    return [(field, _get(call, field)) for field in trade.fields]


def _before(name: str, earlier: Sequence[Correction], now: Any) -> Any:
    """What stood there before it was first set, since it was last given back."""
    first = now
    for line in reversed([c for c in earlier if isinstance(c, FactsSet) and name in c.set]):
        if name in line.heard:
            break
        first = line.was.get(name)
    return first


def _parsed(field: CallField, value: str, now: Any, trade: Trade, today: date, *, adds: bool) -> Any:
    if adds and field.kind not in ("names", "goods", "tickets"):
        raise OptionError(f"{field.name} holds one value", where=f"{field.name}+={value}", hint=f"use {field.name}=")
    if not value:
        return None
    found = parse(field, value, trade, today)
    return [*(now or []), *found] if adds else found


def _get(call: Call, field: CallField) -> Any:
    """What the call holds there, as plain data; None for nothing, [] where it was said that nothing was used."""
    place, _, part = (field.holds or field.name).partition(".")
    held = call.model_dump(mode="json")[place]
    if part:
        held = held[part] if held else None
    return ([] if call.no_materials else None) if field.kind == "goods" and not held else (None if held == [] else held)


def _put(call: Call, field: CallField, value: Any) -> Call:
    place, _, part = (field.holds or field.name).partition(".")
    data = call.model_dump(mode="json")
    if part:
        rest = {**(data[place] or OnTest().model_dump()), part: value}
        data[place] = rest if any(rest.values()) else None
    else:
        data[place] = value if value is not None or not isinstance(data[place], list) else []
    if field.kind == "goods":
        data["no_materials"] = value == []
    data["inferred"] = [name for name in data["inferred"] if name != place]
    try:
        return Call.model_validate(data)
    except ValidationError as error:
        hint = f"{field.name} cannot hold that; mend that line, or take it out"
        raise InputError(f"{value!r} does not fit {field.name}", where="corrections.jsonl", hint=hint) from error
