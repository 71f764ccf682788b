"""How one action is worded as a clause in the past tense: "replaced the cord at the kitchen jack"."""

from __future__ import annotations

import re
from dataclasses import dataclass

from callnotes.records import Event, Timeline
from callnotes.render.names import Names
from callnotes.render.words import Words
from callnotes.trade import Trade

# A phrase that begins with one of these needs no "the".
DETERMINERS = frozenset(
    [
        "a",
        "an",
        "the",
        "this",
        "that",
        "these",
        "those",
        "his",
        "her",
        "its",
        "their",
        "our",
        "my",
        "your",
        "some",
        "all",
        "any",
        "both",
        "each",
        "every",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "several",
        "new",
        "old",
        "another",
        "no",
    ]
)
BARE_AFTER_ADJECTIVE = frozenset({"new", "old"})


@dataclass(frozen=True)
class Deeds:
    """Words actions from the wording and the trade tables."""

    words: Words
    trade: Trade
    names: Names

    def clause(self, event: Event, timeline: Timeline, *, place: bool = True) -> str:
        """The action as a clause without a subject; ``place`` False leaves the point out."""
        whole = self.words.text("clauses", event.action, (event.object or "").lower())
        if whole:
            return whole
        entry = self.words.at("actions", event.action) or {}
        point = timeline.point(event.point)
        # An object that only names the point again would be said twice.
        thing = event.object if not point or (event.object or "").lower() not in self.names.prose(point) else None
        if not thing and point and not point.side and entry.get("thing"):
            return str(entry["thing"]).replace("{thing}", self.names.prose(point))
        said = self._said(event.action, thing, entry)
        if not place or point is None or entry.get("nowhere"):
            return said
        return f"{said} {self.names.located(point)}"

    def _said(self, action: str | None, thing: str | None, entry: dict[str, str]) -> str:
        if thing and entry.get("with"):
            return entry["with"].replace("{object}", self.article(thing))
        if not thing and entry.get("alone"):
            return entry["alone"]
        known = self.trade.action(action)
        past = known.past if known else (action or "did something").replace("_", " ")
        return f"{past} {self.article(thing)}" if thing else past

    def article(self, thing: str) -> str:
        """A thing with "the" where it needs one: "house plug" becomes "the house plug"."""
        words = thing.split()
        if not words or thing.lower() in (self.words.at("articles", "none") or ()):
            return thing
        first = words[0].lower()
        plural = re.search(r"[a-z]{2}s$", words[-1]) and not words[-1].endswith(("ss", "us"))
        if first in BARE_AFTER_ADJECTIVE:
            return thing if plural else f"the {thing}"
        if words[-1].isdigit():
            return thing
        bare = first in DETERMINERS or first[0].isdigit() or (first.endswith(("'s", "’s")) and words[0][0].isupper())
        return thing if bare or not first[0].isalpha() or words[0][0].isupper() else f"the {thing}"
