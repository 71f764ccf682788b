"""``set``: what is filled in or accepted stands in every paper, outlives every stage, and is undone by the next."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from callnotes.pipeline import amend

from .conftest import Command

TALK = """[0:00] This is Bo Reed on order 48213, the toy shop, and she says the phone is dead.
[0:20] At the interface, plug out: dial tone.
[0:50] Left side of the block, pair seven: dial tone.
[1:00] Right side of the block, pair seven: no dial tone.
[1:20] I replaced the bridging clips on pair seven.
[1:40] Back at the interface, I pulled the plug.
"""
FOLDER = Path("call")


@pytest.fixture
def call(callnotes: Command) -> Command:
    """A call folder with its reports, left with a mend that was not tested again."""
    Path("call.txt").write_text(TALK)
    assert callnotes("run", "call.txt").status == 0
    return callnotes


def lines() -> list[dict]:
    return [json.loads(line) for line in (FOLDER / "corrections.jsonl").read_text().splitlines()]


def facts() -> dict:
    return json.loads((FOLDER / "timeline.json").read_text())["call"]


def test_what_is_set_stands_in_timeline_and_reports(call: Command) -> None:
    said = call("set", FOLDER, "left=4:20 pm", "materials=2 bridging clips", "site=Elm Toy Shop")
    assert said.status == 0
    assert said.out.startswith("departed: 16:20\nmaterials: 2 bridging clip\nsite: Elm Toy Shop")
    assert "no_departure" not in said.out
    assert "no_arrival" in said.out
    assert f"Made anew: {FOLDER / 'report.docx'}" in said.out
    assert facts()["departed"] == "16:20"
    assert "Elm Toy Shop" in (FOLDER / "report.md").read_text()
    assert "bridging clips" in (FOLDER / "report.md").read_text()
    (line,) = lines()
    assert line["set"]["departed"] == "16:20"
    assert line["who"]
    assert line["at"][:2] == "20"


def test_it_outlives_every_earlier_stage(call: Command) -> None:
    call("set", FOLDER, "departed=16:20", "order=77")
    for stage in (["timeline", FOLDER], ["run", FOLDER], ["report", FOLDER]):
        assert call(*stage).status == 0
        assert (facts()["departed"], facts()["work_order"]) == ("16:20", "77")
    assert "77" in (FOLDER / "report.md").read_text()
    call("timeline", FOLDER, "-o", "again.json")
    assert json.loads(Path("again.json").read_text())["call"]["departed"] == "16:20"


def test_undone_and_erased(call: Command) -> None:
    heard = facts()["work_order"]
    call("set", FOLDER, "order=77")
    call("set", FOLDER, "order=")
    assert facts()["work_order"] is None
    assert "no_work_order" in call("check", FOLDER).out
    assert call("set", FOLDER, "order=heard").out.startswith(f"work_order: {heard}\n")
    assert (facts()["work_order"], len(lines())) == (heard, 3)


def test_only_papers_that_are_there_are_made_anew(call: Command) -> None:
    (FOLDER / "report.docx").unlink()
    out = call("set", FOLDER, "departed=16:20").out
    assert "report.md" in out
    assert "report.docx" not in out
    assert not (FOLDER / "report.docx").exists()


def test_nothing_is_written_where_one_value_does_not_hold(call: Command) -> None:
    before = (FOLDER / "timeline.json").read_bytes()
    said = call("set", FOLDER, "site=Mill", "departed=25:00")
    assert (said.status, said.out, lines()) == (2, "", [])
    assert said.err == "callnotes: departed: '25:00' is no time of day; a day has the hours 00 to 23\n"
    assert (FOLDER / "timeline.json").read_bytes() == before


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["call", "departd=9:00"], "no field 'departd'; did you mean departed"),
        (["call.txt", "departed=9:00"], "call.txt: is not a call folder; callnotes run makes one"),
        (["nowhere", "departed=9:00"], "nowhere: is not a call folder"),
        (["call", "accept"], "accept: which open item?"),
        (["call", "accept", "no_retest"], "no_retest: an open item is accepted by somebody and for a reason"),
        (["call", "accept", "nonsense", "--by", "A", "--reason", "b"], "nonsense: is no open item of this call"),
        (["call", "site=x", "--by", "A"], "--by: only an open item is accepted by somebody"),
    ],
)
def test_what_cannot_be_done_is_one_line(call: Command, arguments: list[str], says: str) -> None:
    said = call("set", *arguments)
    assert (said.status, said.out, said.err.count("\n")) == (2, "", 1)
    assert said.err.startswith(f"callnotes: {says}")


def test_accepted_by_name_and_reason_it_stops_no_longer(call: Command) -> None:
    stops = [item["code"] for item in json.loads(call("check", FOLDER, "--json").out)["open_items"]]
    assert {"no_retest", "plug_out"} <= set(stops)
    assert call("check", FOLDER).status == 1
    agreed = ["--by", "Ann Lee", "--reason", "office opens at nine"]
    assert call("set", FOLDER, "accept", "no_retest", *agreed).status == 0
    assert call("check", FOLDER).status == 1
    assert call("set", FOLDER, "accept", "plug_out", *agreed).status == 0
    said = call("check", FOLDER)
    assert said.status == 0
    assert "(accepted by Ann Lee: office opens at nine)" in " ".join(said.out.split())
    report = (FOLDER / "report.md").read_text()
    assert "Accepted by Ann Lee: office opens at nine." in report
    assert "Do not close yet" not in report
    assert call("run", FOLDER).status == 0
    assert call("check", FOLDER).status == 0
    call("set", FOLDER, "accept", "plug_out=")
    assert call("check", FOLDER).status == 1


def test_for_a_program(call: Command) -> None:
    told = json.loads(call("set", FOLDER, "accept", "no_retest", "--by", "A", "--reason", "b", "--json").out)
    assert (told["format"], told["may_close"]) == ("callnotes.set/1", False)
    assert told["corrections"][0]["item"]["code"] == "no_retest"
    (item,) = [item for item in told["open_items"] if item["accepted"]]
    assert (item["code"], item["accepted"]["by"]) == ("no_retest", "A")
    assert json.loads(call("set", FOLDER, "--json").out)["fields"]["work_order"] == "48213"


def test_with_nothing_to_set_it_shows_the_fields(call: Command) -> None:
    out = call("set", FOLDER).out.splitlines()
    assert "work_order        48213" in out
    assert "departed          nothing" in out


def test_what_a_person_edited_is_kept(call: Command) -> None:
    edited = (FOLDER / "report.md").read_text() + "my words\n"
    (FOLDER / "report.md").write_text(edited)
    timeline = json.loads((FOLDER / "timeline.json").read_text())
    timeline["diagnosis"]["why"] = ["I know it. [E1]"]
    (FOLDER / "timeline.json").write_text(json.dumps(timeline))
    said = call("set", FOLDER, "departed=16:20")
    assert "report.md was changed by hand and is kept" in said.err
    assert (FOLDER / "report.md").read_text() == edited
    assert json.loads((FOLDER / "timeline.json").read_text()) == timeline
    assert "no_departure" not in call("check", FOLDER).out
    assert "4:20" in (FOLDER / "report-2.md").read_text()


def test_killed_after_the_line_was_written_nothing_is_lost(call: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(amend.Job, "keep_timeline", killed)
        call("set", FOLDER, "departed=16:20")
    assert facts()["departed"] is None
    assert "no_departure" not in call("check", FOLDER).out
    call("run", FOLDER)
    assert facts()["departed"] == "16:20"


def test_lines_are_only_added(call: Command) -> None:
    (FOLDER / "corrections.jsonl").write_text("")
    call("set", FOLDER, "departed=16:20")
    first = (FOLDER / "corrections.jsonl").read_bytes()
    call("set", FOLDER, "arrived=15:00")
    assert (FOLDER / "corrections.jsonl").read_bytes().startswith(first)
    (FOLDER / "corrections.jsonl").write_bytes(first.rstrip(b"\n"))  # as some editors leave it
    call("set", FOLDER, "arrived=15:10")
    assert len(lines()) == 2


def test_a_visit_of_a_day_is_doubted(call: Command) -> None:
    said = call("set", FOLDER, "arrived=14:05", "departed=4:20")
    assert said.status == 0
    assert said.err.splitlines()[-1] == "note: from 14:05 to 04:20 is 14 hours; times count 00 to 23, or say am or pm"


def test_what_was_set_cannot_steer_a_terminal_or_a_page(call: Command) -> None:
    call("set", FOLDER, "site=\x1b[31m<script>x</script>", "accepted_by=|a|")
    assert "\x1b" not in call("set", FOLDER).out
    assert "<script>x" not in (FOLDER / "report.html").read_text()
