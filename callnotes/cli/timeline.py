"""``callnotes timeline``: timed words become events, verdicts and a diagnosis."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from callnotes.cli import options
from callnotes.cli.screen import progress
from callnotes.cli.stage import as_file, deliver, tell, where_to

if TYPE_CHECKING:
    from callnotes.settings import Settings
    from callnotes.trade import Trade


def timeline(
    transcript: Annotated[
        str,
        typer.Argument(metavar="TRANSCRIPT", help="A transcript (.vtt, .srt, .json, .txt), a call folder, or -."),
    ],
    output: options.Output = None,
    profile: options.Profile = None,
    vocabulary: options.Vocabulary = None,
    explain: Annotated[
        str | None,
        typer.Option(metavar="FROM-TO", help="Only show what was made of a stretch: 4:00-5:30, 4:40, all."),
    ] = None,
    json: options.Json = False,
) -> None:
    """Find readings, actions and the fault in a transcript.

    Without -o, a call folder gets its timeline.json anew.
    """
    from callnotes import callfolder
    from callnotes.pipeline import one
    from callnotes.pipeline.timelines import corrected
    from callnotes.records import to_json

    settings = options.settings_from(profile=profile, vocabulary=vocabulary)
    trade = one.ready(settings)
    call = Path(transcript)
    if explain is not None:
        _explain(transcript, explain, settings, trade)
        return
    with as_file(transcript) as source, progress() as shown:
        if call.is_dir() and output is None:
            with callfolder.reopen(call) as folder:
                heard = one.make_timeline(one.read_transcript(call / callfolder.TRANSCRIPT), settings, trade)
                made = corrected(heard, call, trade)
                paths = [one.Job(folder, settings, shown, trade).keep_timeline(made)]
        else:
            target = where_to(output, source)
            source = call / callfolder.TRANSCRIPT if call.is_dir() else source
            made = one.make_timeline(one.read_transcript(source), settings, trade)
            made = corrected(made, call, trade) if call.is_dir() else made
            paths = deliver(to_json(made).encode(), target, source)
    tell(paths, json=json)


def _explain(transcript: str, stretch: str, settings: Settings, trade: Trade) -> None:
    from callnotes import callfolder
    from callnotes.cli.explain import explained, stretch_of
    from callnotes.pipeline import one
    from callnotes.render.names import Names
    from callnotes.render.words import read_words

    wanted = stretch_of(stretch)
    with as_file(transcript) as source:
        heard = one.read_transcript(source / callfolder.TRANSCRIPT if source.is_dir() else source)
    made = one.make_timeline(heard, settings, trade)
    for line in explained(heard, made, wanted, Names(read_words(), trade)):
        print(line)
