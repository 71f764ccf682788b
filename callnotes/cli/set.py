"""``callnotes set``: fills in what was not said, and accepts open items; a correction like any other."""

from __future__ import annotations

import getpass
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from callnotes.cli import options
from callnotes.cli.screen import plain, progress
from callnotes.errors import OptionError

if TYPE_CHECKING:
    from callnotes.corrections import Correction
    from callnotes.pipeline.amend import Amended
    from callnotes.records import Call, Timeline
    from callnotes.trade import Trade

ACCEPT = "accept"
LONGEST_VISIT_MIN = 12 * 60


def set_(
    call: Annotated[Path, typer.Argument(metavar="CALL", help="A call folder.")],
    changes: Annotated[
        list[str] | None,
        typer.Argument(metavar="FIELD=VALUE | accept ITEM", help="What to fill in. Nothing: show what stands there."),
    ] = None,
    by: Annotated[str | None, typer.Option(metavar="NAME", help="Who accepts the open item.")] = None,
    reason: Annotated[str | None, typer.Option(metavar="WHY", help="Why it may stand.")] = None,
    vocabulary: options.Vocabulary = None,
    templates: options.Templates = None,
    json: options.Json = False,
) -> None:
    """Fill in what was not said, or accept an open item.

    callnotes set CALL departed=16:20 "materials=2 bridging clips; 85 ft station wire";
    callnotes set CALL accept no_retest --by "Ann Lee" --reason "office opens at nine".
    FIELD= leaves a field empty, FIELD=heard gives it back to what was heard, accept ITEM= takes an acceptance back.
    """
    from callnotes.cli.summary import open_lines, show
    from callnotes.pipeline import one
    from callnotes.pipeline.amend import amend
    from callnotes.pipeline.timelines import read_call

    settings = options.settings_from(vocabulary=vocabulary, templates=templates)
    if not call.is_dir():
        raise OptionError("is not a call folder", where=str(call), hint="callnotes run makes one")
    if not changes:
        trade = one.ready(settings)
        _show_fields(read_call(call, trade), trade, json=json)
        return

    def ask(timeline: Timeline, earlier: tuple[Correction, ...], trade: Trade) -> list[Correction]:
        return _asked(changes, timeline, earlier, trade, by=by, reason=reason)

    with progress() as shown:
        made = amend(call, ask, settings, shown)
    if json:
        _print_json(call, made)
        return
    _show_made(made)
    show(open_lines(made.timeline))
    for path in made.files:
        print(plain(f"Made anew: {path}"))


def _asked(
    changes: list[str],
    timeline: Timeline,
    earlier: tuple[Correction, ...],
    trade: Trade,
    *,
    by: str | None,
    reason: str | None,
) -> list[Correction]:
    from datetime import datetime

    from callnotes import corrections

    now = datetime.now().astimezone()
    at, who = now.isoformat(timespec="seconds"), _person()
    if changes[0] != ACCEPT:
        if by or reason:
            raise OptionError("only an open item is accepted by somebody", where="--by", hint="put accept ITEM first")
        return [corrections.change(timeline.call, changes, earlier, trade, at=at, who=who, today=now.date())]
    if len(changes) == 1:
        raise OptionError("which open item?", where=ACCEPT, hint="callnotes check shows their names in brackets")
    return [
        corrections.accept(timeline, name, by=by or "", reason=reason or "", at=at, who=who) for name in changes[1:]
    ]


def _person() -> str:
    """Who sits at the keyboard, as the system knows them."""
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):
        return "unknown"


def _show_made(made: Amended) -> None:
    from callnotes.corrections import Accepted, FactsSet

    for line in made.made:
        if isinstance(line, FactsSet):
            for name, value in line.set.items():
                was = f" (was {_worded(line.was[name])})" if line.was[name] is not None else ""
                print(plain(f"{name}: {_worded(value)}{was}"))
        elif isinstance(line, Accepted):
            print(plain(f"accepted by {line.by}: {line.item.text}"))
        else:
            print(plain(f"no longer accepted: {line.item.text}"))
    for note in _doubts(made.timeline.call):
        print(plain(f"note: {note}"), file=sys.stderr)


def _doubts(call: Call) -> list[str]:
    """What is written as it must be and yet is hardly meant."""
    from callnotes.render.clock import on_site

    minutes = on_site(call)
    if minutes is None or minutes <= LONGEST_VISIT_MIN:
        return []
    return [f"from {call.arrived} to {call.departed} is {minutes // 60} hours; times count 00 to 23, or say am or pm"]


def _worded(value: Any) -> str:
    """A value as a person reads it."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return "; ".join(map(_worded, value)) or "none"
    if isinstance(value, dict):
        return _worded_parts(value)
    return f"{value:g}" if isinstance(value, float) else str(value)


def _worded_parts(value: dict[str, Any]) -> str:
    """Goods as "85 ft station wire", a ticket as "12, owner provider"."""
    if "item" in value:
        return " ".join(_worded(value[key]) for key in ("quantity", "unit", "item") if value[key] is not None)
    rest = (f"{key} {each}" for key, each in value.items() if key != "number" and each)
    return ", ".join((str(value["number"]), *rest))


def _show_fields(timeline: Timeline, trade: Trade, *, json: bool) -> None:
    from callnotes.corrections import listed

    fields = listed(timeline.call, trade)
    if json:
        from json import dumps

        values = {field.name: value for field, value in fields}
        print(dumps({"format": "callnotes.fields/1", "fields": values}, indent=2, ensure_ascii=False))
        return
    longest = max(len(field.name) for field, _ in fields)
    for field, value in fields:
        print(f"{field.name:<{longest}}  {plain(_worded(value))}")


def _print_json(call: Path, made: Amended) -> None:
    from json import dumps

    from callnotes.cli.summary import as_data

    data = {
        "format": "callnotes.set/1",
        "call": str(call),
        "corrections": [line.model_dump(mode="json") for line in made.made],
        **{key: as_data(made.timeline)[key] for key in ("may_close", "open_items", "cautions")},
        "files": [str(path) for path in made.files],
    }
    print(dumps(data, indent=2, ensure_ascii=False))
