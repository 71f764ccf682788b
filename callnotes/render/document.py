"""Renders the section templates to Markdown and parses that into blocks, the one form that all writers share.

A section is a file ``NN_name.md.j2`` in the folder of its document; the number gives the order. A firm's folder
overrides a shipped file by name (also as ``closeout/NN_name.md.j2``) and may add sections; an empty file drops one.
What Markdown cannot say is an image with a scheme of ours: ``![words](picture:path)`` and ``![✓](mark:pass)``.
"""

from __future__ import annotations

import re
import traceback
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from callnotes.errors import TemplateError
from callnotes.render.blocks import Block, blocks_of
from callnotes.render.escape import Safe, markdown, plain
from callnotes.render.figures import series
from callnotes.resources import templates as shipped

if TYPE_CHECKING:
    from jinja2.sandbox import SandboxedEnvironment

QUOTES = '"“” '
SECTION = re.compile(r"\d+_(\w+)\.md\.j2")


@dataclass(frozen=True)
class Section:
    """One section: its name ("readings"), its Markdown, and the same as blocks.

    ``details``: the first of the tables that follow on a page of their own.
    """

    name: str
    markdown: str
    blocks: tuple[Block, ...]
    details: bool = False


def sections_of(document: str, values: Mapping[str, Any], folder: Path | None = None) -> tuple[Section, ...]:
    """The sections of a document, e.g. "closeout", with ``values`` filled in; those that say nothing are left out."""
    environment = environment_of(document, folder)
    made = []
    for name in section_files(document, folder):
        found = SECTION.fullmatch(name)
        text = re.sub(r"\n{3,}", "\n\n", render(environment, name, values)).strip()
        if found and text:
            made.append(Section(found[1], text, blocks_of(text)))
    return tuple(made)


def section_files(document: str, folder: Path | None = None) -> list[str]:
    """File names of the sections in their order."""
    names = {path.name for place in places(document, folder) for path in place.glob("*.md.j2")}
    return sorted(name for name in names if SECTION.fullmatch(name))


def places(document: str, folder: Path | None = None) -> list[Path]:
    """Folders in which a template is looked for, the firm's first."""
    firm = [folder / document, folder] if folder else []
    return [*firm, shipped() / document, shipped()]


def environment_of(document: str, folder: Path | None = None) -> SandboxedEnvironment:
    """The sandbox in which the Markdown templates run: every value escaped, every missing name an error."""
    from jinja2 import FileSystemLoader, StrictUndefined
    from jinja2.sandbox import ImmutableSandboxedEnvironment

    if folder and not folder.is_dir():
        raise TemplateError("is no folder", where=str(folder), hint="give the folder that holds the templates")
    environment = ImmutableSandboxedEnvironment(
        loader=FileSystemLoader([str(place) for place in places(document, folder)]),
        undefined=StrictUndefined,
        finalize=markdown,
        trim_blocks=True,
        lstrip_blocks=True,
        autoescape=False,
    )
    environment.filters.update(
        series=lambda parts: Safe(series([str(markdown(part)) for part in parts])),
        sentence=lambda text: type(text)(text[:1].upper() + text[1:]),
        made_here=Safe,
        quoted=lambda text: Safe(f"“{markdown(plain(text).strip(QUOTES))}”"),
        said=lambda text: Safe(f"“{markdown(_stopped(_opened(text)))}”"),
        stop=lambda text: type(text)(_stopped(text)),
        mark=lambda shown: Safe(f"![{shown.glyph}](mark:{shown.name})"),
    )
    return environment


def page_environment(document: str, folder: Path | None = None) -> SandboxedEnvironment:
    """The sandbox of the HTML page and the SVG picture: every value escaped as XML."""
    environment = environment_of(document, folder)
    environment.finalize = None
    environment.autoescape = True
    return environment


def render(environment: SandboxedEnvironment, name: str, values: Mapping[str, Any]) -> str:
    """One template rendered; ``TemplateError`` names file and line of what is wrong with it."""
    from jinja2 import TemplateError as JinjaError
    from jinja2 import TemplateSyntaxError

    try:
        return environment.get_template(name).render(**values)
    except TemplateSyntaxError as error:
        where = f"{error.filename or error.name or name}:{error.lineno}"
        raise TemplateError(error.message or "is no template", where=where, hint="mend that line") from error
    except (JinjaError, TypeError, ValueError, AttributeError, ArithmeticError, LookupError, OSError) as error:
        what = str(error) or type(error).__name__
        raise TemplateError(what, where=_place(error, name), hint="mend that line") from error


def _opened(text: str) -> str:
    """What was said, beginning with a capital, without the commas that a cut left at its end."""
    words = plain(text).strip(QUOTES).rstrip(",;:- .") if not text.rstrip().endswith(("?", "!")) else plain(text)
    return words[:1].upper() + words[1:]


def _stopped(text: str) -> str:
    """The text with a full stop, unless it ends a sentence already."""
    return text if text.rstrip('"”’)')[-1:] in {".", "!", "?", "…"} else f"{text}."


def _place(error: BaseException, name: str) -> str:
    """File and line of the innermost template frame of a failed rendering."""
    frames = [f for f in traceback.extract_tb(error.__traceback__) if f.filename.endswith(".j2")]
    return f"{frames[-1].filename}:{frames[-1].lineno}" if frames else name
