"""Calls written as plain lines, one event a line, with what must come of them.

    # what the case is about
    call order=1 left=09:30 return=yes materials=none until=10:00
    call + until=10:00 off=09:50          the facts of a whole call, and these
    note set
    read demarc/side=provider dial_tone present plug=out
    read demarc/side=provider dc_voltage 51.2V leads=tip-ring fail
    do disconnect demarc/side=customer : house plug
    expect fault=none element=none side=unknown status=not_found
    expect out=demarc,alarm_panel        kinds of point of what is not back
    expect stops=plug_out items=no_site cautions=power next=jack needs=2

``?`` for the point is a place that was not told; after ``:`` comes the object. A verdict is written only where it
was said; ``sure=0.4`` is how sure the reading is.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from callnotes.records import Call, Condition, Event, Made, Material, OnTest, Point, SetAside, Ticket, Timeline

CASES = Path(__file__).parents[1] / "cases" / "diagnosis"
FACTS = {
    "order": "work_order",
    "site": "site",
    "contact": "contact",
    "day": "date",
    "came": "arrived",
    "left": "departed",
    "complaint": "complaint",
    "accepted": "accepted_by",
}
WHOLE = (
    "call order=1 site=there contact=Ann tech=Bo line=555-0100 day=2026-03-09 came=08:00 left=09:30 accepted=Ann"
    " materials=none"
)


@dataclass
class Case:
    name: str
    timeline: Timeline
    expect: dict[str, list[str]] = field(default_factory=dict)


def cases() -> list[Case]:
    return [read_case(path) for path in sorted(CASES.glob("*.case"))]


def read_case(path: Path) -> Case:
    return parse(path.stem, path.read_text(encoding="utf-8"))


def parse(name: str, text: str) -> Case:
    points: dict[str, Point] = {}
    events: list[Event] = []
    call, aside = _call(WHOLE.split()[1:]), []
    expect: dict[str, list[str]] = {}
    for line in text.splitlines():
        head, _, thing = line.partition(" : ")
        words = head.split()
        if not words or words[0] == "#":
            continue
        match words[0]:
            case "call":
                whole = WHOLE.split()[1:] if words[1:2] == ["+"] else []
                call = _call([*whole, *(word for word in words[1:] if word != "+")])
            case "aside":
                aside.append(SetAside(start=0, end=0, text=thing, reason=words[1]))
            case "expect":
                expect |= {k: v.split(",") if v else [] for k, v in (w.split("=", 1) for w in words[1:])}
            case _:
                events.append(_event(len(events) + 1, words, thing or None, points))
    timeline = Timeline(
        call=call,
        made=Made(version="test"),
        points=tuple(points.values()),
        events=tuple(events),
        set_aside=tuple(aside),
    )
    return Case(name, timeline, expect)


def _call(words: list[str]) -> Call:
    given = dict(w.split("=", 1) for w in words)
    made: dict[str, Any] = {FACTS[k]: v.replace("_", " ") for k, v in given.items() if k in FACTS and v}
    made |= {name: (given[k],) for k, name in (("tech", "technicians"), ("line", "line_numbers")) if given.get(k)}
    if "ticket" in given:
        made["tickets"] = (Ticket(number=given["ticket"]),)
    materials = given.get("materials")
    if materials and materials != "none":
        made["materials"] = (Material(item=materials, quantity=1),)
    made["no_materials"] = materials == "none"
    if "return" in given:
        made["return_visit"] = given["return"] == "yes"
    if "until" in given:
        made["on_test"] = OnTest(until=given["until"], off=given.get("off"))
    return Call(**made)


def _point(word: str, points: dict[str, Point]) -> str | None:
    if word == "?":
        return None
    if word not in points:
        kind, _, rest = word.partition("/")
        details: dict[str, Any] = dict(part.split("=", 1) for part in rest.split(",") if part)
        if "row" in details:
            details["row"] = tuple(int(n) for n in details["row"].split("-"))
        if "pair" in details:
            details["pair"] = int(details["pair"])
        points[word] = Point(id=f"P{len(points) + 1}", kind=kind, **details)
    return points[word].id


def _event(n: int, words: list[str], thing: str | None, points: dict[str, Point]) -> Event:
    base: dict[str, Any] = {
        "id": f"E{n}",
        "start": 60.0 * n,
        "end": 60.0 * n + 5,
        "text": thing or "",
        "confidence": 1.0,
        "object": thing,
    }
    if words[0] == "note":
        return Event(kind="note", point=_point(words[1], points), **base)
    if words[0] == "do":
        return Event(kind="action", action=words[1], point=_point(words[2], points), **base)
    sure = next((float(w[5:]) for w in words[4:] if w.startswith("sure=")), 1.0)
    words = [w for w in words if not w.startswith("sure=")]
    verdict = words[-1] if words[-1] in ("pass", "fail", "marginal") and len(words) > 4 else None
    conditions = tuple(
        Condition(what=w.split("=")[0], is_=w.split("=")[1].replace("_", " ")) for w in words[4:] if "=" in w
    )
    number = re.fullmatch(r"(-?[\d.]+)(\D.*)", words[3])
    value = {"value": float(number[1]), "unit": number[2]} if number else {"state": words[3]}
    point = _point(words[1], points)
    return Event(
        kind="reading",
        point=point,
        quantity=words[2],
        conditions=conditions,
        verdict=verdict,
        verdict_from="stated" if verdict else None,
        **value,
        **base | {"confidence": sure},
    )
