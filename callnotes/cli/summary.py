"""What a technician reads in the truck: the fault, whether the job may be closed, where the papers are.

Lines are made here as data (words and an emphasis) and printed in one place, so that they can be tested.
"""

from __future__ import annotations

import re
import sys
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from callnotes.cli.screen import has_color, plain, width

if TYPE_CHECKING:
    from callnotes.corrections import Named
    from callnotes.records import Diagnosis, Event, OpenItem, Timeline
    from callnotes.render.names import Names
    from callnotes.trade import Trade

Emphasis = Literal["bold", "bold red", "yellow", "dim"]

_STATUS = {
    "found": "FOUND, NOT MENDED",
    "mended": "MENDED, NOT RETESTED",
    "repaired": "REPAIRED AND RETESTED",
    "referred": "HANDED TO ITS OWNER",
    "not_found": "NOT FOUND",
}
_SIDE = {"provider": "provider's side", "customer": "customer's side", "unknown": "side not known"}


@dataclass(frozen=True)
class Line:
    """One line of the summary; ``hang`` is where its continuation lines begin."""

    text: str = ""
    emphasis: Emphasis | None = None
    indent: int = 2
    hang: int = 2


def show(lines: Iterable[Line]) -> None:
    """Prints the lines on standard output, wrapped to the terminal, with emphasis only where it may be."""
    for line in lines:
        text = textwrap.fill(
            line.text,
            width(),
            initial_indent=" " * line.indent if line.text else "",
            subsequent_indent=" " * line.hang,
            break_long_words=False,
            break_on_hyphens=False,
        )
        if line.emphasis and has_color(sys.stdout):
            from rich.console import Console
            from rich.text import Text

            Console(file=sys.stdout).print(Text(text, line.emphasis), soft_wrap=True)
        else:
            print(text)


def call_lines(timeline: Timeline, trade: Trade, *, folder: Path, reports: Sequence[Path]) -> list[Line]:
    """The summary of one call after ``run``."""
    shown = [p for p in reports if p.stem.startswith("report")]
    where = f"{shown[0]}" + "".join(f", {p.name}" for p in shown[1:]) if shown else str(folder)
    return [
        Line(plain(folder.resolve().name), "bold", indent=0),
        *_found(timeline, trade),
        Line(_counts(timeline)),
        Line(),
        *open_lines(timeline, brief=folder),
        Line(),
        Line(f"Report: {plain(where)}", hang=10),
    ]


def open_lines(timeline: Timeline, *, brief: Path | None = None) -> list[Line]:
    """Whether the job may be closed and what stands in its way, then the cautions.

    ``brief`` is the call folder when it is to be read at a glance: what rests on no event is only named.
    """
    from callnotes.corrections import named

    standing = [each for each in named(timeline) if each.item.accepted is None]
    stops = [each for each in standing if each.item.level == "stops"]
    noted = [each for each in standing if each.item.level != "stops"]
    lines = [_verdict(len(stops), len(noted))]
    lines += [Line(f"! STOPS  {_because(timeline, each)}", "bold red", hang=11) for each in stops]
    lines += [Line(f"- noted  {_because(timeline, each)}", hang=11) for each in noted if each.item.because or not brief]
    lines += [Line(f"= agreed {_accepted(item)}", hang=11) for item in timeline.open_items if item.accepted]
    if brief:
        lines += _in_brief([each.item for each in noted if not each.item.because], brief)
    for caution in timeline.cautions:
        text = plain(caution.text)
        lines.append(Line(f"* care   {text.split('. ')[0].rstrip('.') + '.' if brief else text}", "yellow", hang=11))
    return lines


def _in_brief(items: Sequence[OpenItem], folder: Path) -> list[Line]:
    """What rests on no event, named only; what can be filled in by its field."""
    fields = ", ".join(item.fill for item in items if item.fill)
    others = [plain(item.text).partition(":")[0].rstrip(".") for item in items if not item.fill]
    named = "; ".join([*others, *([f"Not said: {fields}"] if fields else [])])
    more = f"callnotes check {plain(str(folder))}"
    return [Line(f"- noted  {named}. More: {more}", hang=11)] if named else []


def as_data(timeline: Timeline) -> dict[str, Any]:
    """The same for a program: ``--json``."""
    dumped = timeline.model_dump(mode="json", by_alias=True, include={"diagnosis", "open_items", "cautions"})
    counted = {kind + "s": sum(e.kind == kind for e in timeline.events) for kind in ("reading", "action", "note")}
    return {**dumped, **counted, "may_close": may_close(timeline)}


def may_close(timeline: Timeline) -> bool:
    """Whether nothing stops the close-out."""
    from callnotes.diagnose.closeout import may_close as nothing_stops

    return nothing_stops(timeline)


def _found(timeline: Timeline, trade: Trade) -> list[Line]:
    diagnosis = timeline.diagnosis
    if diagnosis is None:
        return [Line("NO DIAGNOSIS", "bold")]
    lines = [Line(_STATUS[diagnosis.status], "bold")]
    if diagnosis.fault == "none":
        # The grounds are sentences for people; the event ids in brackets are for the report.
        why = re.sub(r"\s*\[[^\]]*\]", "", diagnosis.why[0]) if diagnosis.why else "No fault was named."
        lines.append(Line(plain(why)))
    else:
        lines.append(Line(_fault(diagnosis, timeline, trade)))
    if diagnosis.next_test and diagnosis.status in ("found", "not_found"):
        lines.append(Line(plain(f"Next test: {diagnosis.next_test.do}"), hang=13))
    return lines


def _fault(diagnosis: Diagnosis, timeline: Timeline, trade: Trade) -> str:
    fault = trade.fault(diagnosis.fault)
    words = [fault.name if fault else diagnosis.fault.replace("_", " ")]
    names = _names(trade)
    element = timeline.point(diagnosis.element)
    ends = [point for point in map(timeline.point, diagnosis.between or ()) if point]
    if element:
        words.append(f"at {names.prose(element)}")
    elif len(ends) == 2:
        words.append(f"between {names.prose(ends[0])} and {names.prose(ends[1])}")
    text = plain(" ".join(words))
    return f"{text[:1].upper()}{text[1:]}, {_SIDE[diagnosis.side]}"


def _names(trade: Trade) -> Names:
    from callnotes.render.names import Names
    from callnotes.render.words import read_words

    return Names(read_words(), trade)


def _counts(timeline: Timeline) -> str:
    from callnotes.render.clock import length

    def some(count: int, noun: str) -> str:
        return f"{count} {noun}" if count == 1 else f"{count} {noun}s"

    def of(kind: str) -> list[Event]:
        return [event for event in timeline.events if event.kind == kind]

    heard = sum(recording.duration_s for recording in timeline.recordings)
    counted = {"reading": len(of("reading")), "action": len(of("action")), "place": len(timeline.points)}
    counts = ", ".join(some(count, noun) for noun, count in counted.items())
    return plain(counts + (f" in {length(heard)} of talk" if heard else ""))


def _verdict(stops: int, noted: int) -> Line:
    if stops:
        return Line(f"DO NOT LEAVE YET: {stops} open item{'s' * (stops > 1)}", "bold red")
    if noted:
        return Line(f"Nothing stops you. {noted} item{'s' * (noted > 1)} noted:", "bold")
    return Line("Nothing is open.", "bold")


def _because(timeline: Timeline, each: Named) -> str:
    """The item, the field that settles it, when what raised it was said, and the name by which it is accepted."""
    from callnotes.render.clock import clock_of

    event = timeline.event(each.item.because)
    at = f" ({clock_of(timeline).at(event.start)})" if event else ""
    text = f"{each.item.text.rstrip('.')}, or set {each.item.fill}." if each.item.fill else each.item.text
    return plain(f"{text}{at} [{each.name}]")


def _accepted(item: OpenItem) -> str:
    agreed = item.accepted
    return plain(f"{item.text} (accepted by {agreed.by}: {agreed.reason})" if agreed else item.text)
