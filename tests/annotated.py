"""An annotated call (``NAME.vtt`` with ``NAME.gold.json``) as a timeline, as if everything had been heard rightly.

Lets the judging and diagnosing stages be tried without the extractor.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from callnotes.records import Call, Condition, Event, Made, Material, Point, SetAside, Timeline
from callnotes.trade import Trade

CALLS = Path(__file__).parent / "calls"
STAMP = re.compile(r"(?:(\d+):)?(\d{1,2}):(\d{2})[.,](\d{3})\s*-->\s*(?:(\d+):)?(\d{1,2}):(\d{2})[.,](\d{3})")


def names() -> list[str]:
    """The annotated calls at hand, by name."""
    return sorted(path.name.removesuffix(".gold.json") for path in CALLS.glob("*.gold.json"))


def gold(name: str) -> dict[str, Any]:
    return json.loads((CALLS / f"{name}.gold.json").read_text(encoding="utf-8"))


def timeline_of(name: str, trade: Trade, *, optional: bool = True) -> Timeline:
    """The annotation as a timeline with no conclusions yet. ``optional`` False leaves optional events out."""
    truth, cues = gold(name), _cues(CALLS / f"{name}.vtt")
    wanted = [e for e in truth["events"] if optional or not e.get("optional")]
    points: dict[str, Point] = {}
    events = [_event(n, item, cues, points, trade) for n, item in enumerate(wanted, 1)]
    aside = [
        SetAside(start=(c := cues[s["cue"] - 1])[0], end=c[1], text=c[2], reason=s["reason"])
        for s in truth["set_aside"]
    ]
    return Timeline(
        call=_call(truth["call"]),
        made=Made(version="test"),
        points=tuple(points.values()),
        events=tuple(sorted(events, key=lambda e: e.start)),
        set_aside=tuple(aside),
    )


def _cues(path: Path) -> list[tuple[float, float, str]]:
    cues = []
    for block in re.split(r"\n\s*\n", path.read_text(encoding="utf-8")):
        match = STAMP.search(block)
        if match:
            h1, m1, s1, f1, h2, m2, s2, f2 = (int(g or 0) for g in match.groups())
            text = re.sub(r"<[^>]*>", "", block[match.end() :]).strip()
            cues.append(
                (h1 * 3600 + m1 * 60 + s1 + f1 / 1000, h2 * 3600 + m2 * 60 + s2 + f2 / 1000, " ".join(text.split()))
            )
    return cues


def _point(item: dict[str, Any] | None, points: dict[str, Point]) -> str | None:
    if item is None:
        return None
    details = {k: tuple(v) if isinstance(v, list) else v for k, v in item.items() if k != "either"}
    key = json.dumps(details, sort_keys=True)
    if key not in points:
        points[key] = Point(id=f"P{len(points) + 1}", **details)
    return points[key].id


def _event(n: int, item: dict[str, Any], cues: list[Any], points: dict[str, Point], trade: Trade) -> Event:
    start, end, text = cues[item["cue"] - 1]
    verdict, state = item.get("verdict"), item.get("state")
    quantity = trade.quantity(item.get("quantity"))
    word = quantity.state(state) if quantity else None
    by_state = word is not None and word.verdict == verdict
    return Event(
        id=f"E{n}",
        kind=item["kind"],
        start=start,
        end=end,
        text=text,
        confidence=1.0,
        point=_point(item.get("point"), points),
        quantity=item.get("quantity"),
        value=item.get("value"),
        unit=item.get("unit"),
        state=state,
        conditions=tuple(Condition(what=c["what"], is_=str(c["is"])) for c in item.get("conditions", [])),
        verdict=None if by_state else verdict,
        verdict_from=None if by_state or verdict is None else "stated",
        action=item.get("action"),
        object=item.get("object"),
    )


def _call(item: dict[str, Any]) -> Call:
    facts = {
        k: v for k, v in item.items() if k in ("work_order", "site", "contact", "arrived", "departed", "return_visit")
    }
    technician = item.get("technician")
    materials = tuple(Material(**m) for m in item.get("materials", []))
    return Call(
        **facts,
        technicians=(technician,) if technician else (),
        line_numbers=tuple(item.get("line_numbers", [])),
        materials=materials,
        no_materials=not materials,
    )
