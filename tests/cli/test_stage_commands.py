"""``transcribe``, ``timeline``, ``report`` and ``check``: each from the file of the stage before."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from .conftest import RECORDING, WORDS, Command


def test_the_stages_chain_through_files(callnotes: Command) -> None:
    assert callnotes("transcribe", RECORDING, "-o", "call.json").out.split() == ["call.json"]
    assert callnotes("timeline", "call.json", "-o", "call.timeline.json").status == 0
    for name in ("report.docx", "report.html", "report.md", "report.json"):
        assert callnotes("report", "call.timeline.json", "-o", name).status == 0
    assert Path("report.docx").read_bytes().startswith(b"PK")
    assert "<html" in Path("report.html").read_text()
    assert "dial tone" in Path("report.md").read_text()
    assert json.loads(Path("report.json").read_text())


def test_the_stages_chain_through_pipes(callnotes: Command) -> None:
    words = callnotes("transcribe", RECORDING, "-o", "-").out
    assert json.loads(words)["format"] == "callnotes.transcript/1"
    timeline = callnotes("timeline", "-", "-o", "-", given=words.encode()).out
    assert json.loads(timeline)["format"] == "callnotes.timeline/1"
    paper = callnotes("report", "-", "-o", "-", given=timeline.encode())
    assert (paper.status, paper.err) == (0, "writing report.md\n" if paper.err else "")
    assert "dial tone" in paper.out
    page = callnotes("report", "-", "-o", "-", "--format", "html", given=timeline.encode())
    assert "<html" in page.out
    assert callnotes("check", "-", given=timeline.encode()).status in (0, 1)


def test_captions_by_their_ending(callnotes: Command) -> None:
    callnotes("transcribe", RECORDING, "-o", "call.vtt")
    assert Path("call.vtt").read_text().startswith("WEBVTT\n")


def test_captions_on_standard_input(callnotes: Command) -> None:
    said = callnotes("timeline", "-", "-o", "-", given=WORDS.read_bytes())
    assert json.loads(said.out)["events"]


def test_the_stages_work_in_a_call_folder(callnotes: Command) -> None:
    callnotes("run", RECORDING)
    folder = Path("split-block-short")
    wrote = json.loads(callnotes("transcribe", folder, "--json").out)["wrote"]
    assert wrote == [str(folder / "transcript.json"), str(folder / "transcript.vtt")]
    assert callnotes("timeline", folder).out.split() == [str(folder / "timeline.json")]
    assert callnotes("report", folder).out.split() == [str(folder / f"report.{end}") for end in ("docx", "html", "md")]
    assert callnotes("report", folder, "--format", "json").out.split() == [str(folder / "report.json")]
    assert callnotes("transcribe", folder, "-o", "again.vtt").status == 0
    assert callnotes("timeline", folder, "-o", "again.json").status == 0
    assert callnotes("report", folder, "-o", "again.md").status == 0
    assert Path("again.json").read_bytes() == (folder / "timeline.json").read_bytes()


def test_a_timeline_changed_by_hand_is_what_the_report_is_made_from(callnotes: Command) -> None:
    callnotes("run", WORDS)
    folder = Path("split-block-short")
    timeline = json.loads((folder / "timeline.json").read_text())
    timeline["call"]["site"] = "Lantern Street Library"
    (folder / "timeline.json").write_text(json.dumps(timeline))
    callnotes("report", folder)
    assert "Lantern Street Library" in (folder / "report.md").read_text()
    said = callnotes("timeline", folder)
    assert said.out.split() == [str(folder / "timeline-2.json")]
    assert "timeline.json was changed by hand and is kept; the new one is timeline-2.json" in said.err


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["transcribe", RECORDING], "where shall it go?; add -o FILE"),
        (["timeline", WORDS], "where shall it go?; add -o FILE"),
        (["timeline", RECORDING, "-o", "x.json"], "is no transcript that callnotes knows"),
        (["report", "call.timeline.json"], "where shall it go?"),
        (["report", "call.timeline.json", "-o", "x.pages"], "x.pages: no report format 'pages'; choose from docx"),
        (["report", "call.timeline.json", "-o", "x"], "which format?; choose from docx, html, md, json"),
        (["report", WORDS, "-o", "x.md"], "is not a timeline"),
        (["report", "call.timeline.json", "-o", "call.timeline.json"], "would be overwritten by its own result"),
        (["report", "call.timeline.json", "-o", "no/such/x.md"], "the folder is not there"),
        (["check", "gone.json"], "gone.json: no such file"),
        (["check", "."], "holds no timeline.json"),
        (["transcribe", "."], "is not a call folder"),
    ],
)
def test_what_cannot_be_done_is_one_line(
    callnotes: Command, timeline_of: Callable[..., Path], arguments: list[object], says: str
) -> None:
    Path("call.timeline.json").write_bytes(timeline_of().read_bytes())
    before = Path("call.timeline.json").read_bytes()
    said = callnotes(*arguments)
    assert said.status == 2
    assert says in said.err.splitlines()[-1]
    assert said.out == ""
    assert [p.name for p in Path().iterdir()] == ["call.timeline.json"]
    assert Path("call.timeline.json").read_bytes() == before


def test_a_pipe_is_written_to_and_a_link_stays_a_link(callnotes: Command, timeline_of: Callable[..., Path]) -> None:
    os.mkfifo("pipe")
    reader = os.open("pipe", os.O_RDONLY | os.O_NONBLOCK)
    assert callnotes("report", timeline_of(), "-o", "pipe", "--format", "md").status == 0
    assert os.read(reader, 100)
    os.close(reader)
    assert Path("pipe").is_fifo()
    Path("real.md").touch()
    Path("link.md").symlink_to("real.md")
    assert callnotes("report", timeline_of(), "-o", "link.md").status == 0
    assert Path("link.md").is_symlink()
    assert Path("real.md").read_text()


def test_check_stops_what_must_not_be_closed(callnotes: Command, timeline_of: Callable[..., Path]) -> None:
    said = callnotes("check", timeline_of("stops", "noted", caution="Mind the ladder. Local codes decide."))
    assert said.status == 1
    assert said.out.splitlines() == [
        "  DO NOT LEAVE YET: 1 open item",
        "  ! STOPS  Item 0 (3:20) [item-0]",
        "  - noted  Item 1 (3:20) [item-1]",
        "  * care   Mind the ladder. Local codes decide.",
    ]


def test_check_lets_go_what_is_only_noted(callnotes: Command, timeline_of: Callable[..., Path]) -> None:
    said = callnotes("check", timeline_of("noted"))
    assert (said.status, said.out.splitlines()[0]) == (0, "  Nothing stops you. 1 item noted:")
    assert callnotes("check", timeline_of()).out == "  Nothing is open.\n"


def test_check_for_a_program(callnotes: Command, timeline_of: Callable[..., Path]) -> None:
    said = callnotes("check", timeline_of("stops"), "--json")
    told = json.loads(said.out)
    assert (said.status, told["format"], told["may_close"]) == (1, "callnotes.check/1", False)
    item = {"code": "item-0", "text": "Item 0", "level": "stops", "because": "E1", "fill": None, "accepted": None}
    assert told["open_items"] == [item]


@pytest.mark.parametrize("command", ["run", "timeline"])
def test_an_unknown_profile_is_one_line_with_those_there_are(callnotes: Command, command: str) -> None:
    said = callnotes(command, WORDS, "--profile", "atlantis")
    assert (said.status, said.out) == (2, "")
    line = said.err.strip().splitlines()[-1]
    assert "no limits named 'atlantis'; choose from cabling-channel" in line
    assert "south-carolina" in line


def test_a_profile_judges_and_leaves_figures_on_the_timeline(callnotes: Command) -> None:
    talk = "At the network interface, plug out, 26 milliamps of loop current."
    Path("talk.vtt").write_text(f"WEBVTT\n\n00:00.000 --> 00:05.000\n{talk}\n", encoding="utf-8")
    judged, bare = (
        json.loads(callnotes("timeline", "talk.vtt", "-o", "-", *options).out)
        for options in (("--profile", "illinois"), ())
    )
    assert [(e["verdict"], e["limit"]) for e in judged["events"] if e["unit"] == "mA"] == [("pass", "il-loop-current")]
    assert [e["verdict"] for e in bare["events"] if e["unit"] == "mA"] == [None]
    assert [(one["sum"], one["value"], one["from"]) for one in judged["sums"]] == [
        ("headroom", 6.0, [e["id"] for e in judged["events"] if e["unit"] == "mA"])
    ]
    assert bare["sums"] == []
