"""What there is stands in the documentation: every command, option and data file."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import typer

from callnotes.cli import app
from callnotes.resources import DATA, GUIDES, PACKAGE

ROOT = Path(__file__).parent.parent.parent
GUIDE_TEXT = "\n".join(path.read_text(encoding="utf-8") for path in sorted(GUIDES.glob("*.md")))
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")

COMMANDS = typer.main.get_command(app).commands  # type: ignore[attr-defined]
OPTIONS = sorted(
    {
        (name, max(parameter.opts, key=len))
        for name, command in COMMANDS.items()
        for parameter in command.params
        if parameter.param_type_name == "option" and "--help" not in parameter.opts
    }
)
DATA_FILES = sorted(path.relative_to(DATA).as_posix() for path in DATA.rglob("*") if path.is_file())


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_a_heading_in_a_guide(command: str) -> None:
    assert re.search(rf"^#+ .*`callnotes {command}\b", GUIDE_TEXT, re.MULTILINE)


@pytest.mark.parametrize(("command", "option"), OPTIONS)
def test_every_option_is_explained_under_its_command(command: str, option: str) -> None:
    section = re.split(rf"^#+ .*`callnotes {command}\b", GUIDE_TEXT, flags=re.MULTILINE)[1]
    section = re.split(r"^#+ .*`callnotes ", section, flags=re.MULTILINE)[0]
    assert re.search(rf"`(-\w, |-\w`, `)?{option}\b", section)


@pytest.mark.parametrize("name", DATA_FILES)
def test_every_data_file_is_named_for_those_who_extend_it(name: str) -> None:
    """``states/dial_tone.toml`` is named by itself or as ``states/<...>.toml``."""
    folder = name.rpartition("/")[0]
    assert name in DEVELOPERS + GUIDE_TEXT or (folder and f"{folder}/" in DEVELOPERS + GUIDE_TEXT)


@pytest.mark.parametrize("folder", sorted(p.name for p in PACKAGE.iterdir() if (p / "__init__.py").is_file()))
def test_every_part_of_the_house_is_on_the_map(folder: str) -> None:
    assert re.search(rf"\b{folder}/", DEVELOPERS)


@pytest.mark.parametrize("name", sorted(path.stem for path in GUIDES.glob("*.md")))
def test_the_readme_leads_to_every_guide(name: str) -> None:
    assert re.search(rf"\b{name}\b", README)


def test_no_link_leads_nowhere() -> None:
    for text, base in ((README, ROOT), (DEVELOPERS, ROOT)):
        for target in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", text):
            assert (base / target).exists(), target
