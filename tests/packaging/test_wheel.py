"""The package as it is handed out: built, laid into an empty place, and used from another folder."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
CALL = "[0:01] At the network interface I have dial tone.\n[0:08] At the kitchen jack there's no dial tone.\n"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the source package and the wheel that was built from it."""
    out = tmp_path_factory.mktemp("dist")
    command = [sys.executable, "-m", "build", "--no-isolation", "--outdir", out, ROOT]
    subprocess.run(command, check=True, capture_output=True)
    return out


@pytest.fixture(scope="module")
def site(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty place that holds the wheel alone."""
    target = tmp_path_factory.mktemp("site")
    (wheel,) = built.glob("*.whl")
    command = [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--no-index", "--target", target, wheel]
    subprocess.run(command, check=True, capture_output=True)
    return target


def shipped(*folders: str) -> set[str]:
    """Every file of those folders of the checkout, with its path."""
    return {
        str(path.relative_to(ROOT).as_posix())
        for folder in folders
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_the_wheel_holds_everything_and_nothing_else(built: Path) -> None:
    (wheel,) = built.glob("*.whl")
    names = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    templates = {f"callnotes/{name}" for name in shipped("templates")}
    assert names == shipped("callnotes") | templates
    assert any(name.startswith("callnotes/templates/closeout/") for name in names)


def test_the_source_package_can_be_built_from(built: Path) -> None:
    (package,) = built.glob("*.tar.gz")
    with tarfile.open(package) as tar:
        names = {name.partition("/")[2] for name in tar.getnames()}
    assert shipped("callnotes", "templates") | {"LICENSE", "README.md", "pyproject.toml"} <= names


def test_the_installed_package_writes_reports_from_another_folder(site: Path, tmp_path: Path) -> None:
    (tmp_path / "call.txt").write_text(CALL)
    code = (
        "import sys, callnotes; from callnotes.cli import main; from callnotes.resources import templates\n"
        "print(callnotes.__file__, templates(), file=sys.stderr); sys.exit(main())"
    )
    command = [sys.executable, "-c", code, "run", "call.txt", "--json"]
    environment = {**os.environ, "PYTHONPATH": str(site)}
    told = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stderr
    assert str(site / "callnotes" / "__init__.py") in told.stderr
    assert str(site / "callnotes" / "templates") in told.stderr
    assert str(ROOT) not in told.stderr
    folder = tmp_path / "call"
    assert (folder / "report.docx").read_bytes().startswith(b"PK")
    assert "no dial tone" in (folder / "report.md").read_text()
    assert "<html" in (folder / "report.html").read_text()


def test_the_program_is_installed(site: Path) -> None:
    names = {path.name for path in (site / "bin").iterdir()}
    assert "callnotes" in names
