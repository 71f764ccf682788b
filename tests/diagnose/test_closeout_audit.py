"""Every open item and caution on the practice calls, judged by a person who read the call: at most one in ten is wrong.

``closeout_audit.csv`` holds a row for each: the call, whether its events were ``annotated`` or ``heard`` (extracted),
the code, the time and the words that raise it, and the judgment with its ground. ``not annotated``: the call says it
and the annotation has no place for it, so it counts neither way. ``missed``: it should have been raised. What is raised
and stands in no row counts as wrong.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from callnotes.diagnose import diagnose
from callnotes.judge import judge
from callnotes.pipeline.one import make_timeline, read_transcript
from callnotes.records import Timeline
from callnotes.settings import Settings
from callnotes.trade import load_trade
from tests import annotated

FILE = Path(__file__).parents[1] / "cases" / "closeout_audit.csv"
TRADE = load_trade()
MOST_WRONG = 0.1
MOST_WORDS = 8
# Asked of every call and easily answered; the rest must be right without their help.
HEAD = frozenset({"no_date", "no_acceptance", "no_technician"})

Raised = tuple[str, str, str, str, str]


@lru_cache(maxsize=1)
def raised() -> tuple[Raised, ...]:
    """What is raised now: call, events, code, time, words."""
    found: list[Raised] = []
    for name in annotated.names():
        made = diagnose(judge(annotated.timeline_of(name, TRADE), TRADE), TRADE)
        heard = make_timeline(read_transcript(annotated.CALLS / f"{name}.vtt"), Settings(), TRADE)
        found += _of(name, "annotated", made)
        found += _of(name, "heard", heard)
    return tuple(found)


def _of(name: str, how: str, timeline: Timeline) -> Iterator[Raised]:
    for item in (*timeline.open_items, *timeline.cautions):
        event = timeline.event(item.because)
        at = f"{int(event.start) // 60}:{int(event.start) % 60:02d}" if event else ""
        yield name, how, item.code, at, " ".join(event.text.split()[:MOST_WORDS]) if event else ""


def judged() -> list[dict[str, str]]:
    with FILE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def share_wrong(how: str | None = None, *, without: frozenset[str] = frozenset()) -> float:
    """Of what is raised now and counts, the share that was judged wrong or that nobody judged."""
    known = {(row["call"], row["events"], row["code"]): row["judgment"] for row in judged()}
    counts: Counter[str] = Counter()
    for call, events, code, _, _ in raised():
        if (how is None or events == how) and code not in without:
            judgment = known.get((call, events, code), "wrong")
            counts["right" if judgment == "missed" else judgment] += 1
    return counts["wrong"] / (counts["wrong"] + counts["right"])


def test_at_most_one_in_ten_is_wrong() -> None:
    for how in ("annotated", "heard"):
        assert share_wrong(how) <= MOST_WRONG, how
        assert share_wrong(how, without=HEAD) <= MOST_WRONG, how


def test_every_judgment_has_its_ground() -> None:
    for row in judged():
        assert row["judgment"] in ("right", "wrong", "not annotated", "missed"), row
        assert len(row["why"]) > 10, row
        assert len(row["words"].split()) <= MOST_WORDS, row
