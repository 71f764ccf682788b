"""The README is true: its commands run, and the test command is the one that CI runs."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from callnotes.cli import main

ROOT = Path(__file__).parent.parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
WORDS = ROOT / "samples" / "01-split-block.vtt"


def shell_lines() -> list[str]:
    """Every line of every shell block of the README, comments left out, continued lines joined."""
    blocks = re.findall(r"^```(?:sh|bash|shell|console)\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
    lines = "\n".join(blocks).replace("\\\n", " ").splitlines()
    return [line.removeprefix("$ ").split(" #")[0].strip() for line in lines if line.strip() and line[0] != "#"]


def test_the_test_command_is_the_one_that_ci_runs() -> None:
    command = (ROOT / ".ci" / "run").read_text().strip().splitlines()[-1]
    assert command in shell_lines()


def test_the_commands_of_the_readme_run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """In their order, in a folder that holds the samples; what is said comes from a transcript."""
    shutil.copytree(ROOT / "samples", tmp_path / "samples")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CALLNOTES_ENGINE", "replay")
    monkeypatch.setenv("CALLNOTES_MODEL", str(WORDS))
    ran = 0
    for line in shell_lines():
        program, *arguments = shlex.split(line)
        if Path(program).name != "callnotes":
            continue
        status = main(arguments)
        assert status == 0 or (status == 1 and arguments[0] in ("check", "doctor")), line
        ran += 1
    assert ran >= 3
