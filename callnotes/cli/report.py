"""``callnotes report``: a timeline becomes the closeout report."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from callnotes.cli import options
from callnotes.cli.screen import progress
from callnotes.cli.stage import STANDARD, as_file, deliver, tell, where_to
from callnotes.errors import OptionError

if TYPE_CHECKING:
    from callnotes.render import Kind


def report(
    timeline: Annotated[str, typer.Argument(metavar="TIMELINE", help="A timeline (.json), a call folder, or -.")],
    output: options.Output = None,
    kind: Annotated[
        str | None,
        typer.Option("--format", metavar="NAME", help="docx, html, md or json. Default: as -o ends."),
    ] = None,
    vocabulary: options.Vocabulary = None,
    templates: options.Templates = None,
    json: options.Json = False,
) -> None:
    """Write the closeout report.

    The ending of -o FILE chooses the format: .docx, .html, .md or .json. Without -o, a call folder gets its
    report.docx, report.html and report.md anew; one that you changed is kept, and the new one gets a number.
    """
    from callnotes import callfolder
    from callnotes.pipeline import one
    from callnotes.pipeline.timelines import read_call, timeline_file

    settings = options.settings_from(vocabulary=vocabulary, templates=templates)
    trade = one.ready(settings)
    call = Path(timeline)
    with as_file(timeline) as given, progress() as shown:
        source = timeline_file(given)
        if call.is_dir() and output is None:
            kinds = one.REPORTS if kind is None else (_kind(kind, None),)
            with callfolder.reopen(call) as folder:
                made = read_call(call, trade)
                job = one.Job(folder, settings, shown, trade)
                paths = [job.keep_report(made, one_kind) for one_kind in kinds]
        else:
            target = where_to(output, given)
            chosen = _kind(kind, target)
            paths = deliver(one.render(read_call(given, trade), settings, chosen, trade), target, source)
    tell(paths, json=json)


def _kind(asked: str | None, target: str | None) -> Kind:
    """The format asked for, or that of the target's ending; Markdown on standard output."""
    from callnotes.render import KINDS

    name = asked or ("md" if target == STANDARD else Path(target or "").suffix.lower().removeprefix("."))
    for kind in KINDS:
        if kind == name:
            return kind
    hint = f"choose from {', '.join(KINDS)}"
    raise OptionError(f"no report format {name!r}" if name else "which format?", where=target or "--format", hint=hint)
