"""``callnotes check``: what is missing or not put back."""

from __future__ import annotations

from typing import Annotated

import typer

from callnotes.cli import options
from callnotes.cli.stage import as_file

NOT_TO_BE_CLOSED = 1


def check(
    call: Annotated[str, typer.Argument(metavar="CALL", help="A call folder, a timeline (.json), or -.")],
    json: options.Json = False,
) -> None:
    """Say what is missing or not put back.

    Gives the open items and what to take care of. Exit status 1 if something stops the call from being closed.
    """
    from callnotes.cli.summary import as_data, may_close, open_lines, show
    from callnotes.pipeline.timelines import read_call

    with as_file(call) as given:
        timeline = read_call(given)
    if json:
        from json import dumps

        kept = {key: as_data(timeline)[key] for key in ("may_close", "open_items", "cautions")}
        print(dumps({"format": "callnotes.check/1", "call": call, **kept}, indent=2, ensure_ascii=False))
    else:
        show(open_lines(timeline))
    if not may_close(timeline):
        raise typer.Exit(NOT_TO_BE_CLOSED)
