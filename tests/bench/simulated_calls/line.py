"""What a voice pair is at one end of an element: battery or none, what lies across it, what is heard on it."""

from __future__ import annotations

from dataclasses import dataclass

from tests.bench.simulated_calls.plant import Element, Fault, Plant

FEED_OHM = 400.0  # battery feed, trade value (from memory)
SET_OHM = 200.0  # a set off hook, trade value (from memory)
LOOP_OHM_PER_FT = 0.0519  # 24 AWG, telephone practice
DEAD_SHUNTS = ("short", "held", "ground")
HEARD = {"leak": "hum", "hum": "hum", "foreign": "hum", "crosstalk": "crosstalk", "static": "static", "ground": "hum"}


@dataclass(frozen=True)
class View:
    """The pair as seen from one terminal. ``across`` are the faults in parallel, ``along`` those in series.

    ``ohms`` is the loop to the source without feed and set, faults in series included.
    """

    battery: bool
    ohms: float
    across: tuple[Fault, ...]
    along: tuple[Fault, ...]
    start: Element

    def has(self, does: str) -> bool:
        """True if a fault on the way to the source does this."""
        return any(f.kind.does == does for f in self.along)

    @property
    def dead_shunt(self) -> Fault | None:
        """What takes the line down, if anything."""
        return next((f for f in self.across if f.kind.shunt in DEAD_SHUNTS), None)

    @property
    def tone(self) -> bool:
        """True if a test set draws dial tone here."""
        return self.battery and self.dead_shunt is None and not self.has("no_service") and not self.has("sags")

    @property
    def heard(self) -> str | None:
        """The noise that is on the line, in a word, or None."""
        shunts = [HEARD[f.kind.shunt] for f in self.across if f.kind.shunt in HEARD]
        if shunts:
            return shunts[0]
        return "static" if any(f.kind.series == "resistive" for f in self.along) else None


def view(plant: Plant, element: Element, outer: bool) -> View:
    """The pair at the outer or inner end of an element."""
    start = element if outer or element.parent is None else element.parent
    way = list(start.to_root())
    battery = all(plant.conducts(e) for e in way)
    joined = plant.joined(start)
    for system in (e for e in way if e.kind == "pbx" and e.parent is not None):
        joined += plant.joined(system.parent or start)  # trouble on the trunk reaches the stations, not the other way
    across = tuple(f for f in plant.faults if f.bites and f.element in joined and f.kind.shunt is not None)
    along = tuple(f for e in way for f in plant.faults_at(e))
    extra = sum(f.ohms for f in along if f.kind.series == "resistive")
    return View(battery, sum(e.length_ft for e in way) * LOOP_OHM_PER_FT + extra, across, along, start)


def feet_between(a: Element, b: Element) -> float:
    """Length of cable between the outer ends of two elements."""
    ways = [list(e.to_root()) for e in (a, b)]
    shared = {id(e) for e in ways[0]} & {id(e) for e in ways[1]}
    return sum(e.length_ft for way in ways for e in way if id(e) not in shared)


def feet_to_open(plant: Plant, here: View) -> float | None:
    """Length of pair from here down to the first open in the run, None if there is none below."""
    for fault in plant.faults:
        if fault.bites and fault.kind.series == "open" and here.start in fault.element.to_root():
            length = fault.element.length_ft
            return feet_between(here.start, fault.element) - length * (1 - fault.at_share)
    return None
