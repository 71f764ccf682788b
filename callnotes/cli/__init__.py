"""The command line: the app, how errors are printed, and the exit status; one file a command beside it.

Exit status: 0 done, 1 not all of it (``check``: should not be closed; ``run``: some inputs failed), 2 the
input or the command cannot be used, 130 interrupted. An error is one line on stderr, never a traceback.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated, TypeVar

import typer

from callnotes import __version__
from callnotes.cli.calc import calc
from callnotes.cli.check import check
from callnotes.cli.doctor import doctor
from callnotes.cli.guide import guide
from callnotes.cli.report import report
from callnotes.cli.run import run
from callnotes.cli.screen import plain
from callnotes.cli.set import set_
from callnotes.cli.timeline import timeline
from callnotes.cli.transcribe import transcribe
from callnotes.errors import CallnotesError, InputError, OutputError

UNUSABLE = 2
INTERRUPTED = 130
BROKEN_PIPE = 141  # what a shell reports of a program that its reader left

T = TypeVar("T")

app = typer.Typer(
    name="callnotes",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
for command in (run, transcribe, timeline, report, check, set_, guide, doctor):
    app.command(command.__name__.rstrip("_"))(command)
# Figures may be negative, and each sum has options of its own: calc reads them itself.
app.command("calc", context_settings={"ignore_unknown_options": True, "help_option_names": []})(calc)


def _print_version(asked: bool) -> None:
    if asked:
        print(f"callnotes {__version__}")
        raise typer.Exit


@app.callback(invoke_without_command=True)
def _callnotes(
    context: typer.Context,
    version: Annotated[
        bool, typer.Option("--version", callback=_print_version, is_eager=True, help="Show the version and leave.")
    ] = False,
) -> None:
    """Turns the talk of a telephone technician on a service call into a fault timeline and a closeout report.

    Everything happens on this computer: no network, no account.
    """
    if context.invoked_subcommand is None:
        print(context.get_help())


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command and returns its exit status; ``arguments`` is without the program's name."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        status = typer.main.get_command(app).main(args=arguments, prog_name="callnotes", standalone_mode=False)
        sys.stdout.flush()
    except (BrokenPipeError, SystemExit):  # Typer leaves this way when the reader of our output has gone
        _silence_stdout()
        return BROKEN_PIPE
    except Exception as error:
        _complain(error)
        return UNUSABLE
    if status == INTERRUPTED:
        _say("stopped; what was finished is kept, and the same command goes on from there")
    return status or 0


def go_past(work: Callable[[], T]) -> T | CallnotesError:
    """What the work on one input of several gives, or its error after printing it.

    Raises what would stop every other input too: a wrong option, a missing model, a bad table or template.
    """
    try:
        return work()
    except (InputError, OutputError) as error:
        _complain(error)
        return error
    except CallnotesError:
        raise
    except Exception as error:
        _complain(error)
        return CallnotesError(_unexpected(error))


def _complain(error: Exception) -> None:
    if isinstance(error, CallnotesError):
        _say(str(error))
    elif isinstance(error, typer.TyperException):
        context = getattr(error, "ctx", None)
        name = context.command_path if context else "callnotes"
        _say(f"{error.format_message().rstrip('.')}; see {name} --help", name)
    else:
        _say(f"{_unexpected(error)}; the details are in {_log(error)}")


def _unexpected(error: Exception) -> str:
    return f"something went wrong that should not have ({type(error).__name__}: {error})"


def _say(line: str, name: str = "callnotes") -> None:
    print(plain(f"{name}: {line}"), file=sys.stderr)


def _log(error: Exception) -> Path:
    """The file that the traceback went to."""
    import tempfile
    import time
    import traceback

    from platformdirs import user_log_path

    text = f"callnotes {__version__}\nPython {sys.version}\n{sys.argv}\n{''.join(traceback.format_exception(error))}"
    name = f"callnotes-{time.strftime('%Y%m%d-%H%M%S')}-{os.getpid()}.log"
    for folder in (user_log_path("callnotes", appauthor=False), Path(tempfile.gettempdir())):
        try:
            folder.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8", errors="replace")
        except OSError:
            continue
        return folder / name
    return Path(os.devnull)


def _silence_stdout() -> None:
    """Keeps the interpreter from complaining when it flushes at its end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
