"""The course of the call: which readings count as evidence, what was bad, and what became good after what.

Positions are places in ``timeline.events``; a later position is later in the call.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate

from callnotes.diagnose.path import same_place
from callnotes.judge import condition
from callnotes.records import Event, Point, Timeline
from callnotes.trade import Trade

WORKING = frozenset({"dial_tone", "outgoing_call", "incoming_call", "operation", "link", "sync", "cable_test", "power"})
SOUND = frozenset({"line_sound", "noise", "balance", "power_influence", "loss", "signal_level"})
ITSELF_ONLY = frozenset({"inspection", "line_number", "polarity", "link_speed", "length"})
QUIET_ACTIONS = frozenset({"label", "notify", "apply_tone", "refer"})
SAME_TEST = ("test", "leads", "conductor", "direction", "wavelength", "port", "wires", "pins")
AT_THE_CUT = {"demarc", "protector", "line_seizure_jack", "alarm_panel", "ont", "pbx", "switch", "device"}
LIVE = {"dial_tone", "dc_voltage", "loop_current", "line_sound", "link", "sync", "operation", "power"}
MOVED = re.compile(r"\b(mov|wiggl|wag|shak|shook|tapp|flex|bent|pull|tug|jiggl)", re.IGNORECASE)


@dataclass(frozen=True)
class Change:
    """A reading that was bad at position ``before`` and good at ``after``, at one place."""

    before: int
    after: int


@dataclass(frozen=True)
class Course:
    """One timeline, seen as readings that follow each other."""

    timeline: Timeline
    trade: Trade

    @cached_property
    def events(self) -> tuple[Event, ...]:
        return self.timeline.events

    @cached_property
    def points(self) -> dict[str, Point]:
        return {p.id: p for p in self.timeline.points}

    def at(self, event: Event) -> Point | None:
        return self.points.get(event.point or "")

    @cached_property
    def evidence(self) -> tuple[int, ...]:
        """Positions of the readings that tell of the line as it is, judged either way."""
        return tuple(n for n, e in enumerate(self.events) if e.kind == "reading" and e.verdict and self._tells(e))

    def _tells(self, event: Event) -> bool:
        """Not a reading through the technician's own cord, nor a dead one beyond what was taken apart.

        A dead line that was called right (nothing was bridged, the plug was out) tells neither way.
        """
        quantity = self.trade.quantity(event.quantity)
        word = quantity.state(event.state) if quantity else None
        if word is not None and word.verdict == "fail" and event.verdict == "pass":
            return False
        if re.search(r"\b(own|test|my)\b", condition(event, "cord") or ""):
            return False
        if event.verdict == "pass" or event.quantity not in LIVE:
            return True
        point = self.at(event)
        cut = condition(event, "clips") == "out" or condition(event, "plug") == "out"
        return not cut or (point is not None and (point.kind in AT_THE_CUT or point.side == "provider"))

    @cached_property
    def bad(self) -> tuple[int, ...]:
        return tuple(n for n in self.evidence if self.events[n].verdict == "fail")

    @cached_property
    def standing_bad(self) -> tuple[int, ...]:
        """The bad readings that no later reading of the same thing at the same place has replaced."""
        return tuple(n for n in self.bad if not self._later[n])

    @cached_property
    def _acted(self) -> tuple[int, ...]:
        """How many things had been done to the line before each position."""
        done = (e.kind == "action" and e.action not in QUIET_ACTIONS for e in self.events)
        return (0, *accumulate(done))

    @cached_property
    def _later(self) -> dict[int, tuple[int, ...]]:
        """For each bad reading the later ones of the same thing.

        Once something was done, a working test there settles it as well.
        """
        return {n: tuple(m for m in self._read_at(self.events[n]) if m > n and self._settles(m, n)) for n in self.bad}

    def _read_at(self, event: Event) -> tuple[int, ...]:
        """Positions of all evidence at the place of that event, in order."""
        places = self._places.get(event.point or "", ())
        return tuple(sorted(n for place in places for n in self._by_point.get(place, ())))

    @cached_property
    def _places(self) -> dict[str, tuple[str, ...]]:
        points = self.timeline.points
        return {p.id: tuple(q.id for q in points if q.id == p.id or same_place(p, q)) for p in points}

    @cached_property
    def _by_point(self) -> dict[str, tuple[int, ...]]:
        found: dict[str, tuple[int, ...]] = {}
        for n in self.evidence:
            found[self.events[n].point or ""] = (*found.get(self.events[n].point or "", ()), n)
        return found

    def _settles(self, later: int, bad: int) -> bool:
        proof, event = self.events[later], self.events[bad]
        acted = self._acted[later] > self._acted[bad]
        return self.one_test(event, proof) or (acted and _proves(proof, event))

    def one_place(self, a: Event, b: Event) -> bool:
        if a.point is None or b.point is None:
            return False
        return a.point == b.point or b.point in self._places.get(a.point, ())

    def one_test(self, a: Event, b: Event) -> bool:
        """The same quantity, under conditions that do not make it another test.

        Ohms on a pair and "shorted" or "grounded" said of the same wires are one test.
        """
        if a.quantity != b.quantity and not (_path_of_leak(a) and _path_of_leak(a) == _path_of_leak(b)):
            return False
        pairs = ((condition(a, what), condition(b, what)) for what in SAME_TEST)
        return not any(x and y and x != y for x, y in pairs)

    @cached_property
    def changes(self) -> tuple[Change, ...]:
        """Every bad reading with the first later reading at that place that shows it good."""
        found = []
        for n in self.bad:
            later = self._later[n]
            if later and self.events[later[0]].verdict != "fail":
                found.append(Change(n, later[0]))
        return tuple(found)

    @cached_property
    def contradictions(self) -> tuple[tuple[int, int], ...]:
        """Pairs of the same test at one place, one good and one bad, with nothing done to the line between."""
        found = []
        for n in self.bad:
            event = self.events[n]
            for m in self._read_at(event):
                quiet = self._acted[m] == self._acted[n] and self.events[m].conditions == event.conditions
                if quiet and self.events[m].verdict == "pass" and self.one_test(event, self.events[m]):
                    found.append((min(n, m), max(n, m)))
                    break
        return tuple(found)

    def still_bad_after(self, position: int) -> tuple[int, ...]:
        """Bad readings after ``position`` of what had been bad before it already."""
        bad = set(self.bad)
        return tuple(n for b in self.bad if b < position for n in self._later[b] if n > position and n in bad)

    def provider_side(self, event: Event) -> bool:
        """Whether this reading looks toward the provider with the premises taken off."""
        point = self.at(event)
        if point is None:
            return False
        return point.side == "provider" or (
            point.kind == "demarc" and point.side != "customer" and condition(event, "plug") == "out"
        )


def _path_of_leak(event: Event) -> str | None:
    """Between which wires a leak was looked for, or None where the reading looks for none."""
    leads = condition(event, "leads")
    if event.quantity == "short" and event.state in ("present", "absent"):
        return leads or "tip-ring"
    return leads if event.quantity in ("resistance", "insulation_resistance", "ground_fault") else None


def _proves(proof: Event, bad: Event) -> bool:
    """Whether a good reading of another kind settles a bad one: dial tone settles no volts, not a hum."""
    if proof.verdict != "pass" or bad.quantity in ITSELF_ONLY:
        return False
    return proof.quantity == "line_sound" if bad.quantity in SOUND else proof.quantity in WORKING


def says(event: Event, words: tuple[str, ...], *, object_only: bool = False) -> bool:
    """Whether any of the words stands in the object or, unless ``object_only``, in the words heard."""
    heard = (event.object or "") if object_only else f"{event.object or ''} {event.text}"
    return any(re.search(rf"(?<![a-z]){re.escape(word)}(?![a-z])", heard.lower()) for word in words)


def was_moved(event: Event) -> bool:
    """Whether the reading was taken while something was moved."""
    return any(MOVED.search(c.is_) for c in event.conditions)
