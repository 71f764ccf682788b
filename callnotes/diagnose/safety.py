"""The gate before any advice: what no test may do, and what must be told or read before it.

Nothing at all where a voltage that endangers was read; nothing on the provider's side; a line that guards life or
property is only looked at before station and people are told; ohms only on a dead pair; a tracing tone
only on a pair that is dead and guards nothing.
"""

from __future__ import annotations

from collections import defaultdict
from functools import cached_property

from callnotes.diagnose.course import Course, says
from callnotes.diagnose.guarded import guarded, reported_as, words_of
from callnotes.diagnose.ledger import ledger_of
from callnotes.diagnose.path import on_one_line, same_place
from callnotes.diagnose.proof import dangers
from callnotes.diagnose.window import on_test_now
from callnotes.records import Event, Point
from callnotes.trade.testing import FieldTestKind, GateName

VOLTS = ("dc_voltage", "ac_voltage")
HIGH_AC = 50.0  # volts
OWN_MAINS = {"other", "device", "switch", "pbx", "ont", "alarm_panel"}  # have a supply of their own
JOINING = {"reconnect", "install_clips", "restore", "install", "terminate"}


class Safety:
    """What is safe to test on one call."""

    def __init__(self, course: Course) -> None:
        self.course = course
        self._memory: dict[tuple[str, bool], list[int]] = {}

    @cached_property
    def stop(self) -> bool:
        """Whether a voltage that endangers was read and nothing shows it gone: no test, the caution speaks."""
        return bool(dangers(self.course)) or any(self._high(event) for event in self.course.events)

    def allows(self, kind: FieldTestKind, point: Point) -> bool:
        """Whether that test may be made there at all, once its gates are told."""
        if point.side == "provider":
            return False
        return not kind.sends_tone or (not self.guards(point) and self._dead(point))

    def gates(self, kind: FieldTestKind, point: Point) -> tuple[GateName, ...]:
        """What must still be told or read before that test, in order."""
        kind_of_point = self.course.trade.point_kind(point.kind)
        harmless = kind.quiet and not (kind_of_point is not None and kind_of_point.guarded)
        told = () if harmless or not self.guards(point) else self._untold
        return (*told, "volts") if kind.ohms and not self._volts_are_low(point) else told

    def guards(self, point: Point) -> bool:
        """Whether the line that the point is on serves something that protects life or property."""
        return self._reported or any(on_one_line(point, other) for other in self._guarding)

    @cached_property
    def _reported(self) -> bool:
        return reported_as(self.course, "guarded")

    @cached_property
    def _guarding(self) -> list[Point]:
        """The points that guard, by their kind, their name, or what was done there ("the elevator telephone")."""
        words = words_of(self.course, "guarded")
        named = {e.point for e in self.course.events if guarded(e, self.course)}
        found = []
        for point in self.course.timeline.points:
            kind = self.course.trade.point_kind(point.kind)
            label = Event(id="-", kind="note", start=0, end=0, text=point.label or "", confidence=1)
            if (kind is not None and kind.guarded) or point.id in named or says(label, words):
                found.append(point)
        return found

    @cached_property
    def _untold(self) -> tuple[GateName, ...]:
        """Who has not been told yet: the station, unless the account is on test; the people on site."""
        station = words_of(self.course, "station")
        people = any(e.action == "notify" and not says(e, station) for e in self.course.events)
        kept = self.course.timeline.model_copy(update={"ledger": ledger_of(self.course)})
        on_test = on_test_now(Course(kept, self.course.trade))
        missing: list[tuple[GateName, bool]] = [("station", on_test), ("people", people)]
        return tuple(name for name, done in missing if not done)

    def _high(self, event: Event) -> bool:
        """Whether that is the last reading of ac volts at a set or at a place not told, and far too high."""
        point, unit = self.course.at(event), self.course.trade.unit(event.unit)
        high = event.quantity == "ac_voltage" and event.value is not None and event.verdict != "pass"
        if not high or unit is None or abs(event.value or 0) * unit.factor <= HIGH_AC:
            return False
        ringing = says(event, words_of(self.course, "ringing"))
        mains = point is not None and point.kind in OWN_MAINS
        last = [e for e in self.course.events if e.quantity == "ac_voltage" and e.point == event.point][-1]
        return not (ringing or mains) and last is event

    def _volts_are_low(self, point: Point) -> bool:
        """Whether dc and ac were read there, both low, since the line was last joined there."""
        low: dict[str, bool] = dict.fromkeys(VOLTS, False)
        for _, event in self.there(point):
            if event.kind == "action" and event.action in JOINING:
                low = dict.fromkeys(VOLTS, False)
            elif event.quantity == "foreign_voltage":
                low["ac_voltage"] = event.state == "absent"
            elif event.quantity in low:
                low[event.quantity] = self._is_low(event)
        return all(low.values())

    def _is_low(self, event: Event) -> bool:
        unit = self.course.trade.unit(event.unit)
        if event.value is None or unit is None:
            return False
        return abs(event.value) * unit.factor <= self.course.trade.advice.dead_volts

    def _dead(self, point: Point) -> bool:
        """Whether the last that was read of the service there, or dc volts, says that the pair is dead."""
        service = [e for _, e in self.there(point) if self.course.trade.family(e.quantity) == "service" and e.verdict]
        return bool(service) and service[-1].verdict == "fail"

    def there(self, point: Point, *, sides: bool = True) -> list[tuple[int, Event]]:
        """The events at that place with their positions, in order; ``sides`` False: at either side of it."""
        key = (point.id, sides)
        if key not in self._memory:
            places = {p.id for p in self.course.timeline.points if same_place(p, point, sides=sides)} | {point.id}
            self._memory[key] = sorted(n for place in places for n in self._by_point.get(place, ()))
        return [(n, self.course.events[n]) for n in self._memory[key]]

    @cached_property
    def _by_point(self) -> dict[str | None, list[int]]:
        found: dict[str | None, list[int]] = defaultdict(list)
        for n, event in enumerate(self.course.events):
            found[event.point].append(n)
        return found
