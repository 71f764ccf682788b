"""The command line itself: help, wrong use, guides, the doctor, pipes that break, terminals."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from callnotes import __version__
from callnotes.cli import app, doctor, guide
from callnotes.cli.screen import plain

from .conftest import WORDS, Command

COMMANDS = ["run", "transcribe", "timeline", "report", "check", "set", "guide", "doctor", "calc"]
PROGRAM = [sys.executable, "-c", "import sys; from callnotes.cli import main; sys.exit(main())"]


def test_the_commands_are_these() -> None:
    assert [command.name for command in app.registered_commands] == COMMANDS


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("flag", ["-h", "--help"])
def test_every_command_has_help(callnotes: Command, command: str, flag: str) -> None:
    said = callnotes(command, flag)
    assert (said.status, said.err) == (0, "")
    assert said.out.startswith(f"Usage: callnotes {command}")
    assert max(map(len, said.out.splitlines())) <= 100


def test_without_a_command_the_help_is_shown(callnotes: Command) -> None:
    said = callnotes()
    assert (said.status, said.err) == (0, "")
    assert all(f"\n  {command} " in said.out for command in COMMANDS)
    assert "..." not in said.out.split("Commands:")[1]


def test_the_version(callnotes: Command) -> None:
    assert callnotes("--version").out == f"callnotes {__version__}\n"


def test_help_loads_nothing_heavy() -> None:
    code = "import sys; from callnotes.cli import main; main(['--help']); print(*sys.modules, file=sys.stderr)"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    heavy = {"pydantic", "rich", "spacy", "faster_whisper", "av", "numpy", "docx", "jinja2", "filelock", "platformdirs"}
    assert heavy & set(told.stderr.split()) == set()


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["rum"], "callnotes: No such command 'rum'. Did you mean 'run'?; see callnotes --help"),
        (["run", "--loud", "x"], "callnotes run: No such option: --loud"),
        (["run"], "callnotes run: Missing argument 'INPUT'; see callnotes run --help"),
        (["run", "--threads", "many", "x"], "callnotes run: Invalid value for '--threads'"),
        (["run", "--threads", "0", "x"], "callnotes run: Invalid value for '--threads'"),
        (["report", "a", "b"], "callnotes report: Got unexpected extra argument"),
        (["--loud"], "callnotes: No such option: --loud"),
    ],
)
def test_wrong_use_is_one_line(callnotes: Command, arguments: list[str], says: str) -> None:
    said = callnotes(*arguments)
    assert (said.status, said.out) == (2, "")
    assert said.err.startswith(says)
    assert said.err.count("\n") == 1


def test_guides_are_listed_and_shown(callnotes: Command, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "first.md").write_text("# The first thing\n\nDo it.\n")
    monkeypatch.setattr("callnotes.resources.GUIDES", tmp_path)
    assert callnotes("guide").out == "first  The first thing\n"
    assert callnotes("guide", "first").out == "# The first thing\n\nDo it.\n"
    assert json.loads(callnotes("guide", "--json").out) == {"first": "The first thing"}
    wrong = callnotes("guide", "second")
    assert (wrong.status, wrong.err) == (2, "callnotes: no guide 'second'; there are first\n")


def test_every_shipped_guide_can_be_read(callnotes: Command) -> None:
    names = json.loads(callnotes("guide", "--json").out)
    assert names
    for name in names:
        assert callnotes("guide", name).out.startswith("# ")


def test_the_doctor_says_what_is_there(callnotes: Command) -> None:
    said = callnotes("doctor", "--json")
    told = json.loads(said.out)
    checks = {check["name"]: check for check in told["checks"]}
    assert said.status == (0 if told["ok"] else 1)
    assert checks["spacy"]["state"] == "ok"
    assert checks["trade tables"]["state"] == "ok"
    assert checks["templates"]["state"] == "ok"
    assert "south-carolina" in checks["profiles of limits"]["detail"]
    assert any(name.startswith("speech model") for name in checks)


def test_the_doctor_says_what_to_install(callnotes: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    module = sys.modules["callnotes.cli.doctor"]
    monkeypatch.setitem(module.LIBRARIES, "no_such_library", "no-such-library")
    said = callnotes("doctor")
    assert said.status == 1
    assert "MISSING  no-such-library" in said.out
    assert "pip install no-such-library" in said.out
    assert said.out.endswith("Not ready: see what to do above.\n")


@pytest.mark.parametrize(("states", "well"), [(["ok", "missing"], True), (["missing", "bad"], False)])
def test_one_whole_speech_model_is_enough(states: list[str], well: bool) -> None:
    module = sys.modules["callnotes.cli.doctor"]
    found = [module.Finding(f"speech model {n}", state, "", needed=False) for n, state in enumerate(states)]
    assert module.can_run(found) is well


def test_a_reader_that_leaves_is_no_error() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    told = subprocess.run([*PROGRAM, "--help"], stdout=writing, stderr=subprocess.PIPE, check=False)
    os.close(writing)
    assert (told.returncode, told.stderr) == (141, b"")


def on_a_terminal(cwd: Path, *arguments: object, **environment: str) -> str:
    """What the program draws on a terminal of 80 columns."""
    leader, follower = pty.openpty()
    known = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "TERM", "CI")}
    process = subprocess.Popen(
        [*PROGRAM, *map(str, arguments)],
        cwd=cwd,
        stdin=subprocess.DEVNULL,
        stdout=follower,
        stderr=follower,
        env={**known, "TERM": "xterm", "COLUMNS": "80", **environment},
    )
    os.close(follower)
    drawn = b""
    while True:
        try:
            piece = os.read(leader, 4096)
        except OSError:  # Linux says so when the other end is closed
            break
        if not piece:
            break
        drawn += piece
    os.close(leader)
    assert process.wait() == 0
    return drawn.decode()


def test_a_terminal_gets_emphasis_and_no_color_takes_it_away(tmp_path: Path) -> None:
    assert "\x1b[1m" in on_a_terminal(tmp_path, "run", WORDS)
    calm = on_a_terminal(tmp_path, "run", WORDS, NO_COLOR="1")
    assert "split-block-short" in calm
    assert "\x1b[1m" not in calm
    assert "\x1b[3" not in calm


@pytest.mark.parametrize(
    ("given", "shown"),
    [("a\x1b[31mb", "a [31mb"), ("one\ntwo\r\nthree", "one two three"), ("49.8\u202fV", "49.8 V"), ("‮abc", "abc")],
)
def test_text_for_a_terminal_is_plain(given: str, shown: str) -> None:
    assert plain(given) == shown


def test_commands_are_functions_of_their_files() -> None:
    assert doctor.__module__ == "callnotes.cli.doctor"
    assert guide.__module__ == "callnotes.cli.guide"
