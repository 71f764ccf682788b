"""``callnotes transcribe``: a recording becomes timed words."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from callnotes.cli import options
from callnotes.cli.screen import progress
from callnotes.cli.stage import deliver, tell, where_to


def transcribe(
    recording: Annotated[
        Path, typer.Argument(metavar="RECORDING", help="A recording, or a call folder that holds one.")
    ],
    output: options.Output = None,
    engine: options.Engine = None,
    model: options.Model = None,
    device: options.Device = None,
    threads: options.Threads = None,
    vocabulary: options.Vocabulary = None,
    json: options.Json = False,
) -> None:
    """Write down what is said in a recording, with times.

    -o NAME.vtt gives captions that any editor and player can read; any other ending gives the full
    transcript as JSON. Without -o, a call folder gets its transcript.json and transcript.vtt anew.
    """
    from callnotes import callfolder
    from callnotes.pipeline import one
    from callnotes.records import to_json
    from callnotes.timed_text import write_vtt

    settings = options.settings_from(engine=engine, model=model, device=device, threads=threads, vocabulary=vocabulary)
    in_folder = recording.is_dir()
    with progress() as shown:
        if in_folder and output is None:
            with callfolder.reopen(recording) as folder:
                transcript = one.transcribe(callfolder.recording_of(recording), settings, shown)
                paths = one.Job(folder, settings, shown, one.ready(settings)).keep_transcript(transcript)
        else:
            target = where_to(output, recording)
            source = callfolder.recording_of(recording) if in_folder else recording
            transcript = one.transcribe(source, settings, shown)
            text = write_vtt(transcript) if target.lower().endswith(".vtt") else to_json(transcript)
            paths = deliver(text.encode(), target, source)
    tell(paths, json=json)
