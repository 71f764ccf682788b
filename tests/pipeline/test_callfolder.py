"""A call folder: whole writes, the lock, names, and what a person changed."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from callnotes import callfolder
from callnotes.callfolder import CallFolder, claim, reopen, source_of, write_whole
from callnotes.errors import InputError, OutputError


def made(path: Path, text: str = "sound") -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    return path


def files(folder: Path) -> set[str]:
    return {entry.name for entry in folder.iterdir()} - {".callnotes.lock", ".callnotes.json"}


def begin(out: Path, source: Path, *, failing: BaseException | None = None) -> Path:
    with claim(out, source_of(source)) as folder:
        if failing:
            folder.keep_recording(source)
            raise failing
        folder.write("transcript.json", b"{}")
        return folder.path


@pytest.mark.parametrize(
    ("number", "says"),
    [(errno.ENOSPC, "the disk is full"), (errno.EROFS, "cannot be written"), (errno.EACCES, "cannot be written")],
)
def test_a_write_that_fails_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, says: str
) -> None:
    path = made(tmp_path / "report.md", "old")

    def refuse(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(OutputError, match=says) as caught:
        write_whole(path, b"new")
    assert str(path) in str(caught.value)
    assert path.read_text() == "old"
    assert files(tmp_path) == {"report.md"}


def test_an_interrupt_in_the_middle_of_a_write_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = made(tmp_path / "report.md", "old")

    def interrupted(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_whole(path, b"new")
    assert path.read_text() == "old"
    assert files(tmp_path) == {"report.md"}


def test_a_file_that_a_person_changed_is_kept_and_the_new_one_gets_a_number(tmp_path: Path) -> None:
    with claim(tmp_path, source_of(made(tmp_path / "memo.opus"))) as folder:
        assert folder.write("report.md", b"first").name == "report.md"
        assert folder.write("report.md", b"second").name == "report.md"
        (folder.path / "report.md").write_text("by hand")
        assert folder.write("report.md", b"third").name == "report-2.md"
        assert folder.write("report.md", b"fourth").name == "report-2.md"
        (folder.path / "report-2.md").write_text("by hand too")
        assert folder.write("report.md", b"fifth").name == "report-3.md"
    texts = {name: (folder.path / name).read_text() for name in files(folder.path)}
    assert texts == {"report.md": "by hand", "report-2.md": "by hand too", "report-3.md": "fifth"}


def test_a_file_that_was_there_before_counts_as_a_persons(tmp_path: Path) -> None:
    folder = begin(tmp_path, made(tmp_path / "memo.opus"))
    made(folder / "report.docx", "mine")
    with reopen(folder) as again:
        assert again.write("report.docx", b"ours").name == "report-2.docx"
    assert (folder / "report.docx").read_text() == "mine"


def test_a_kill_between_the_note_and_the_file_leaves_neither_version_as_a_persons(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = begin(tmp_path, made(tmp_path / "memo.opus"))

    def killed(path: Path, data: bytes) -> None:
        if path.name == "transcript.json":
            raise KeyboardInterrupt
        write_whole(path, data)

    for newer in (b"newer", b"newest"):
        with monkeypatch.context() as patch, reopen(folder) as opened:
            patch.setattr(callfolder, "write_whole", killed)
            with pytest.raises(KeyboardInterrupt):
                opened.write("transcript.json", newer)
    with reopen(folder) as opened:
        assert not opened.edited("transcript.json")
        assert opened.write("transcript.json", b"newest").name == "transcript.json"
        assert (folder / "transcript.json").read_bytes() == b"newest"
        assert not opened.edited("transcript.json")


def test_equal_names_from_different_inputs_get_a_number(tmp_path: Path) -> None:
    first = begin(tmp_path / "out", made(tmp_path / "a" / "memo.opus", "one"))
    second = begin(tmp_path / "out", made(tmp_path / "b" / "memo.opus", "two"))
    assert (first.name, second.name) == ("memo", "memo-2")
    assert begin(tmp_path / "out", tmp_path / "a" / "memo.opus") == first
    assert begin(tmp_path / "out", tmp_path / "b" / "memo.opus") == second


def test_another_recording_under_the_same_path_is_another_call(tmp_path: Path) -> None:
    first = begin(tmp_path / "out", made(tmp_path / "memo.opus", "one"))
    assert begin(tmp_path / "out", made(tmp_path / "memo.opus", "two")) != first


def test_dots_in_a_name_stay_where_they_are(tmp_path: Path) -> None:
    begin(tmp_path / "out", made(tmp_path / "2026.11.05.opus", "one"))
    assert begin(tmp_path / "out", made(tmp_path / "2026.11.05.opus", "two")).name == "2026.11.05-2"


def test_a_name_that_something_else_has_taken_gets_a_number(tmp_path: Path) -> None:
    source = made(tmp_path / "memo")
    made(tmp_path / "memo-2" / "holiday.jpg")
    assert begin(tmp_path, source).name == "memo-3"
    assert files(tmp_path / "memo-2") == {"holiday.jpg"}


def test_a_file_in_the_place_of_the_folder_is_one_clear_error(tmp_path: Path) -> None:
    out = made(tmp_path / "out")
    with pytest.raises(OutputError, match="a file stands where a folder is needed"):
        begin(out, made(tmp_path / "memo.opus"))
    assert out.read_text() == "sound"


def test_a_new_folder_in_which_nothing_came_about_is_taken_away(tmp_path: Path) -> None:
    source = made(tmp_path / "memo.opus")
    with pytest.raises(InputError):
        begin(tmp_path / "out", source, failing=InputError("nothing in it decodes"))
    assert list((tmp_path / "out").iterdir()) == []
    assert source.exists()


def test_an_interrupt_keeps_the_recording(tmp_path: Path) -> None:
    source = made(tmp_path / "memo.opus")
    with pytest.raises(KeyboardInterrupt):
        begin(tmp_path / "out", source, failing=KeyboardInterrupt())
    assert callfolder.recording_of(tmp_path / "out" / "memo").read_text() == "sound"


def test_an_error_in_a_folder_that_held_something_takes_nothing_away(tmp_path: Path) -> None:
    source = made(tmp_path / "memo.opus")
    folder = begin(tmp_path, source)
    with pytest.raises(InputError):
        begin(tmp_path, source, failing=InputError("nothing in it decodes"))
    assert files(folder) == {"memo.opus", "transcript.json"}


def test_the_copy_of_the_recording_is_made_once_and_is_whole(tmp_path: Path) -> None:
    source = made(tmp_path / "memo.opus", "sound " * 1000)
    with claim(tmp_path / "out", source_of(source)) as folder:
        copy = folder.keep_recording(source)
        before = copy.stat()
        assert folder.keep_recording(source) == copy
        assert (copy.stat().st_ino, copy.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)
        assert copy.read_bytes() == source.read_bytes()


def test_a_recording_that_changes_while_it_is_copied_is_refused(tmp_path: Path) -> None:
    source = made(tmp_path / "memo.opus")
    origin = source_of(source)
    source.write_text("still recording")
    with (
        pytest.raises(InputError, match="changed while it was being copied"),
        claim(tmp_path / "out", origin) as folder,
    ):
        folder.keep_recording(source)
    assert list((tmp_path / "out").iterdir()) == []


def test_two_runs_on_one_folder_do_not_mix(tmp_path: Path) -> None:
    source = made(tmp_path / "memo.opus")
    with claim(tmp_path / "out", source_of(source)) as held:
        with pytest.raises(OutputError, match="another run is at work"), reopen(held.path):
            pass
        with pytest.raises(OutputError, match="another run is at work"):
            begin(tmp_path / "out", source)
    begin(tmp_path / "out", source)


def test_a_killed_run_leaves_no_lock_and_no_part_of_a_file(tmp_path: Path) -> None:
    source = made(tmp_path / "memo.opus")
    code = (
        "import os, sys; from pathlib import Path; from callnotes.callfolder import claim, source_of\n"
        "source = Path(sys.argv[1])\n"
        "with claim(source.parent / 'out', source_of(source)) as folder:\n"
        "    (folder.path / '.report.md.1.part').write_text('half')\n"
        "    os._exit(9)\n"
    )
    assert subprocess.run([sys.executable, "-c", code, source], check=False).returncode == 9
    folder = begin(tmp_path / "out", source)
    assert files(folder) == {"transcript.json"}


def test_a_memory_that_is_damaged_is_named(tmp_path: Path) -> None:
    folder = begin(tmp_path, made(tmp_path / "memo.opus"))
    (folder / ".callnotes.json").write_text("{")
    with pytest.raises(InputError, match=r"\.callnotes\.json: is not readable"), reopen(folder):
        pass


def test_a_folder_that_is_no_call_folder_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is not a call folder"), reopen(tmp_path):
        pass
    assert list(tmp_path.iterdir()) == []


def test_corrections_are_begun_empty_and_never_touched_again(tmp_path: Path) -> None:
    with claim(tmp_path, source_of(made(tmp_path / "memo.opus"))) as folder:
        folder.start_corrections()
        corrections = folder.path / callfolder.CORRECTIONS
        assert corrections.read_bytes() == b""
        corrections.write_text("{}\n")
        folder.start_corrections()
        assert corrections.read_text() == "{}\n"
        assert isinstance(folder, CallFolder)
