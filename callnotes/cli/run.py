"""``callnotes run``: the whole job on recordings, transcripts and call folders."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from callnotes.cli import options
from callnotes.cli.screen import Lines, plain, progress

if TYPE_CHECKING:
    from callnotes.pipeline.one import Outcome
    from callnotes.settings import Settings
    from callnotes.trade import Trade


def run(
    inputs: Annotated[
        list[Path],
        typer.Argument(metavar="INPUT", help="Recordings, transcripts (.vtt, .srt, .json, .txt) or call folders."),
    ],
    out: Annotated[Path, typer.Option(metavar="DIR", help="Where new call folders go.")] = Path(),
    model: options.Model = None,
    device: options.Device = None,
    threads: options.Threads = None,
    engine: options.Engine = None,
    profile: options.Profile = None,
    vocabulary: options.Vocabulary = None,
    templates: options.Templates = None,
    json: options.Json = False,
    verbose: Annotated[bool, typer.Option("--verbose", "-v", help="Say more of what is going on.")] = False,
) -> None:
    """Do the whole job: recording in, report out.

    Makes a call folder with transcript, timeline and reports, and says what was found and what is still open.
    On a call folder it goes on where it stopped. What you changed by hand is kept.
    """
    from callnotes.cli import go_past
    from callnotes.errors import CallnotesError
    from callnotes.pipeline import one

    settings = options.settings_from(
        engine=engine,
        model=model,
        device=device,
        threads=threads,
        profile=profile,
        vocabulary=vocabulary,
        templates=templates,
    )
    trade = one.ready(settings)
    calls: list[dict[str, Any]] = []
    failed: list[dict[str, str]] = []
    for number, source in enumerate(inputs):

        def work(source: Path = source) -> Outcome:
            return _one(source, out, settings, several=len(inputs) > 1, verbose=verbose)

        outcome = work() if len(inputs) == 1 else go_past(work)
        if isinstance(outcome, CallnotesError):
            failed.append({"input": str(source), "error": str(outcome)})
            continue
        calls.append(_data(source, outcome))
        if not json:
            _show(outcome, trade, first=number == 0)
    if json:
        from json import dumps

        print(dumps({"format": "callnotes.run/1", "calls": calls, "failed": failed}, indent=2, ensure_ascii=False))
    if failed:
        names = ", ".join(entry["input"] for entry in failed)
        print(plain(f"callnotes: {len(failed)} of {len(inputs)} could not be used: {names}"), file=sys.stderr)
        raise typer.Exit(1)


def _one(source: Path, out: Path, settings: Settings, *, several: bool, verbose: bool) -> Outcome:
    from callnotes.pipeline import one

    with progress(verbose=verbose) as shown:
        if several:
            shown.head(str(source))
        outcome = one.run(source, out, settings, shown)
        if verbose:
            _tell_more(outcome, shown)
        return outcome


def _tell_more(outcome: Outcome, shown: Lines) -> None:
    made = outcome.timeline.made
    if outcome.reused:
        shown.warn(f"used again: {', '.join(outcome.reused)}")
    if made.engine:
        shown.warn(f"heard by {made.engine}{f', model {made.model}' if made.model else ''}")
    shown.warn(f"judged by {made.profile or 'no limits'}; {len(outcome.timeline.set_aside)} stretches set aside")
    for path in outcome.files:
        shown.warn(f"stands in {path}")


def _show(outcome: Outcome, trade: Trade, *, first: bool) -> None:
    from callnotes.cli.summary import call_lines, show

    if not first:
        print()
    show(call_lines(outcome.timeline, trade, folder=outcome.folder, reports=outcome.files))


def _data(source: Path, outcome: Outcome) -> dict[str, Any]:
    from callnotes.cli.summary import as_data

    return {
        "input": str(source),
        "folder": str(outcome.folder),
        **as_data(outcome.timeline),
        "files": [str(path) for path in outcome.files],
        "kept": [str(path) for path in outcome.kept],
        "reused": list(outcome.reused),
    }
