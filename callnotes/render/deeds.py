"""How one action is worded as a clause in the past tense: "replaced the cord at the kitchen jack"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from callnotes.records import Event, Timeline
from callnotes.render.escape import plain
from callnotes.render.figures import NO_BREAK
from callnotes.render.names import Names
from callnotes.render.words import Words
from callnotes.trade import Trade

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
        thing = self._thing(event.object)
        if thing and point and thing.lower() in self.names.prose(point).replace(NO_BREAK, " ").lower():
            thing = None
        if not thing and point and not point.side and entry.get("thing"):
            return str(entry["thing"]).replace("{thing}", self.names.prose(point))
        said = self._said(event.action, thing, entry)
        if not place or point is None or entry.get("nowhere"):
            return said
        return f"{said} {self.names.located(point)}"

    def _thing(self, heard: str | None) -> str | None:
        """What was acted on, without a genitive that was cut off; None where only a pronoun was heard."""
        thing = re.sub(r"['’]s$", "", plain(heard or ""))
        return None if thing.lower() in (self.words.at("pronouns", "none") or ()) else thing or None

    def _said(self, action: str | None, thing: str | None, entry: dict[str, Any]) -> str:
        if thing and entry.get("with"):
            said = self._for_class(thing, entry).replace("{a_object}", self.article(thing, new=True))
            return said.replace("{object}", self.article(thing))
        if not thing and entry.get("alone"):
            return str(entry["alone"])
        known = self.trade.action(action)
        past = known.past if known else (action or "did something").replace("_", " ")
        return f"{past} {self.article(thing)}" if thing else past

    def _for_class(self, thing: str, entry: dict[str, Any]) -> str:
        """The wording for a class of thing, if the thing is of one ("put on a tag", but "labeled the jack")."""
        last = thing.lower().split()[-1]
        for name, wording in entry.get("by_class", {}).items():
            if last in self.trade.words["object_words", name]:
                return str(wording)
        return str(entry["with"])

    def article(self, thing: str, *, new: bool = False) -> str:
        """A thing with its article, if it needs one: "the house plug", or ``new`` on the call: "a red tag"."""
        words = thing.split()
        if not words or thing.lower() in (self.words.at("articles", "none") or ()) or words[-1].isdigit():
            return thing
        first = words[0].lower()
        name = words[0][0].isupper() or not first[0].isalpha()
        if name or (first in self.words.at("articles", "determined") and first not in BARE_AFTER_ADJECTIVE):
            return thing
        plural = re.search(r"[a-z]{2}s$", words[-1]) and not words[-1].endswith(("ss", "us"))
        if plural and (new or first in BARE_AFTER_ADJECTIVE):
            return thing
        article = "the" if not new else "an" if first[0] in "aeiou" else "a"
        return f"{article} {thing}"
