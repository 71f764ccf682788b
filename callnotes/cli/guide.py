"""``callnotes guide``: the guides, offline."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from callnotes.cli import options
from callnotes.cli.screen import is_terminal, width
from callnotes.errors import OptionError


def guide(
    name: Annotated[str | None, typer.Argument(metavar="[NAME]", help="The guide to read.")] = None,
    json: options.Json = False,
) -> None:
    """Read a guide, or list them."""
    guides = _guides()
    if name is not None and name not in guides:
        raise OptionError(f"no guide {name!r}", hint=f"there are {', '.join(guides) or 'none'}")
    if json:
        from json import dumps

        told = {"name": name, "text": _text(guides[name])} if name else {n: _title(p) for n, p in guides.items()}
        print(dumps(told, indent=2, ensure_ascii=False))
    elif name is not None:
        _show(_text(guides[name]))
    else:
        longest = max(map(len, guides), default=0)
        for each, path in guides.items():
            print(f"{each:<{longest}}  {_title(path)}")


def _guides() -> dict[str, Path]:
    from callnotes.resources import GUIDES

    return {path.stem: path for path in sorted(GUIDES.glob("*.md"))}


def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def _title(path: Path) -> str:
    """The first heading."""
    return next((line.lstrip("# ") for line in _text(path).splitlines() if line.startswith("#")), path.stem)


def _show(text: str) -> None:
    """Laid out on a terminal, as it stands in a pipe."""
    if not is_terminal(sys.stdout):
        print(text, end="")
        return
    from rich.console import Console
    from rich.markdown import Markdown

    Console(width=width()).print(Markdown(text))
