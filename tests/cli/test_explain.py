"""``callnotes timeline --explain``: what was made of a stretch, by what, and what was held back for which word."""

from __future__ import annotations

from pathlib import Path

import pytest

from .conftest import Command

TALK = """[0:00] I'm at the network interface and the plug is out.
[0:10] There's no dial tone here.
[0:20] If the drop was good you'd hear tone.
[0:30] At the jack it's fifty point two volts.
"""


@pytest.fixture
def talk(tmp_path: Path) -> str:
    path = tmp_path / "talk.txt"
    path.write_text(TALK)
    return str(path)


def test_each_finding_tells_its_words_confidence_and_maker(callnotes: Command, talk: str) -> None:
    said = callnotes("timeline", talk, "--explain", "all")
    assert said.status == 0
    assert "reading dial tone absent" in said.out
    assert "confidence 0." in said.out
    assert 'held back as hypothetical, for "' in said.out
    assert "by say." in said.out or "by listener" in said.out


def test_only_the_stretch_asked_for(callnotes: Command, talk: str) -> None:
    said = callnotes("timeline", talk, "--explain", "0:21-0:29").out
    assert "you'd hear tone" in said
    assert "fifty" not in said


@pytest.mark.parametrize("stretch", ["soon", "1:00-2:00-3:00", "5", ""])
def test_an_odd_stretch_is_one_clear_line(callnotes: Command, talk: str, stretch: str) -> None:
    said = callnotes("timeline", talk, "--explain", stretch)
    assert (said.status, said.err.count("\n")) == (2, 1)
    assert "4:00-5:30" in said.err


def test_nothing_is_written(callnotes: Command, talk: str) -> None:
    before = sorted(Path.cwd().iterdir())
    callnotes("timeline", talk, "--explain", "all")
    assert sorted(Path.cwd().iterdir()) == before
