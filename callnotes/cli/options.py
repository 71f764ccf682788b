"""The options that several commands share, and the settings made of them."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from callnotes.settings import Settings, from_environment, with_options

Engine = Annotated[str | None, typer.Option(metavar="NAME", help="Speech engine.")]
Model = Annotated[
    str | None,
    typer.Option(metavar="NAME", help="Speech model, by name or folder. Default: the best installed."),
]
Device = Annotated[str | None, typer.Option(metavar="NAME", help="cpu or cuda.")]
Threads = Annotated[int | None, typer.Option(metavar="N", min=1, help="Processor cores that speech may use.")]
Profile = Annotated[
    str | None, typer.Option(metavar="NAME", help="Published limits to judge numbers by. Default: none.")
]
Vocabulary = Annotated[
    list[Path] | None, typer.Option(metavar="FILE", help="Words of your own (TOML); may be given again.")
]
Templates = Annotated[
    Path | None, typer.Option(metavar="DIR", help="Your own templates; a file there replaces the shipped one.")
]
Json = Annotated[bool, typer.Option("--json", help="Print JSON for another program.")]
Output = Annotated[
    str | None, typer.Option("--output", "-o", metavar="FILE", help="Where it goes; - is standard output.")
]


def settings_from(
    *,
    engine: str | None = None,
    model: str | None = None,
    device: str | None = None,
    threads: int | None = None,
    profile: str | None = None,
    vocabulary: list[Path] | None = None,
    templates: Path | None = None,
) -> Settings:
    """Settings from the options given, else from ``CALLNOTES_...`` in the environment, else the defaults."""
    return with_options(
        from_environment(),
        engine=engine,
        model=model,
        device=device,
        threads=threads,
        profile=profile,
        vocabulary=tuple(vocabulary or ()),
        templates=templates,
    )
