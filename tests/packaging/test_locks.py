"""The lock files: pinned, with hashes, complete, and naming no place."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
EXTRAS = PROJECT["optional-dependencies"]
RUN = [*PROJECT["dependencies"], *EXTRAS["models"]]
LOCKS = {"requirements.lock": RUN, "requirements-dev.lock": [*RUN, *EXTRAS["test"]]}


def pins(lock: str) -> dict[str, str]:
    """Name -> the lines of its entry. A name that is pinned twice, by platform, has both."""
    entries: dict[str, str] = {}
    for entry in re.split(r"\n(?=\S)", (ROOT / lock).read_text().strip()):
        name = re.match(r"[a-z0-9-]+", entry)
        assert name, entry
        entries[name[0]] = entries.get(name[0], "") + entry + "\n"
    return entries


def plain_name(requirement: str) -> str:
    return re.split(r"[<>=!~\[; ]", requirement)[0].lower().replace("_", "-")


@pytest.mark.parametrize("lock", LOCKS)
def test_every_entry_is_one_version_with_hashes(lock: str) -> None:
    for name, entry in pins(lock).items():
        assert re.match(rf"{name}==[0-9][^ ]*( ; [^\\]+)? \\\n    --hash=sha256:[0-9a-f]{{64}}", entry), entry


@pytest.mark.parametrize("lock", LOCKS)
def test_everything_asked_for_is_locked(lock: str) -> None:
    assert {plain_name(requirement) for requirement in LOCKS[lock]} <= set(pins(lock))


@pytest.mark.parametrize("lock", LOCKS)
def test_no_place_is_named(lock: str) -> None:
    assert not re.search(r"://|--index|--find-links|^-e|file:| @ ", (ROOT / lock).read_text(), re.MULTILINE)


def test_both_locks_agree() -> None:
    small, large = (pins(lock) for lock in LOCKS)
    versions = re.compile(r"==([^ ]+)")
    assert {n: versions.findall(e) for n, e in small.items()} == {n: versions.findall(large[n]) for n in small}
