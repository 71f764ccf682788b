"""What every job shares: what was believed, mended and handed over, and how a suspect is mended."""

from __future__ import annotations

from tests.bench.simulated_calls.chance import Chance
from tests.bench.simulated_calls.notes import Notes, Place
from tests.bench.simulated_calls.plant import Element, Plant
from tests.bench.simulated_calls.rates import rate
from tests.bench.simulated_calls.technician import Technician

# How a suspect is mended where its fault asks for nothing else; weights are [practice].
MENDS: dict[str, dict[tuple[str, str], float]] = {
    "cable": {("replace", "run"): 5, ("repair", "splice"): 3, ("move", "line to a spare pair"): 2},
    "terminal": {("repair", "splice"): 1},
    "protector": {("replace", "protector"): 1},
    "demarc": {("terminate", "house pair"): 1},
    "block": {("terminate", "pair"): 6, ("install_clips", "bridging clips"): 2, ("move", "jumper"): 2},
    "jack": {("replace", "jack"): 3, ("terminate", "pair"): 2},
    "line_seizure_jack": {("replace", "jack"): 2, ("terminate", "pair"): 1},
    "alarm_panel": {("reset", "panel"): 1, ("replace", "panel cord"): 1},
    "filter": {("replace", "filter"): 1},
    "set": {("replace", "phone"): 3, ("reset", "phone"): 1},
    "data cable": {("replace", "run"): 1},
    "fiber cable": {("repair", "splice"): 2, ("replace", "fiber"): 1},
    "pbx": {("reset", "system"): 2, ("configure", "port"): 2, ("move", "station to a spare port"): 1},
    "switch": {("reset", "switch"): 1, ("configure", "port"): 1, ("move", "cord to a spare port"): 2},
    "cord": {("replace", "cord"): 1},
    "patch_panel": {("terminate", "port"): 1},
    "device": {("replace", "device"): 2, ("reset", "device"): 1},
    "ont": {("replace", "converter"): 2, ("reset", "converter"): 1},
}


class Job:
    """A service call being worked. ``suspect`` is what the technician settled on."""

    def __init__(self, plant: Plant, chance: Chance, notes: Notes, technician: Technician, symptom: str) -> None:
        self.plant, self.chance, self.notes, self.technician = plant, chance, notes, technician
        self.symptom = symptom
        self.suspect: Element | None = None
        self.isolated = self.referred = self.retested = False
        self.tested: set[int] = set()
        self.looked_good: set[int] = set()
        self.worked_on: set[int] = set()

    def work(self) -> None:
        """Work the call from arrival to the last word."""
        raise NotImplementedError

    def looks_bad(self, element: Element) -> bool:
        """Look at a suspect and say what is seen."""
        fault = next((f for f in self.plant.faults_at(element) if self.chance.hit(f.kind.seen)), None)
        place = Place(element)
        if fault is not None and not self.chance.hit(rate("slips.damage_overlooked")):
            self.notes.state(place, "inspection", "defect", fault.kind.defect)
            return True
        if fault is None and self.chance.hit(rate("slips.sound_looks_bad")):
            self.notes.state(place, "inspection", "defect", self.chance.one(("corroded", "loose", "old")))
            self.notes.slip("sound thing looked bad")
            return True
        self.notes.state(place, "inspection", "ok")
        self.looked_good.add(id(element))
        return False

    def choose(self, suspects: list[Element]) -> Element:
        """The suspect to mend: what looks bad, else the likeliest by habit."""
        for element in self.chance.shuffled(suspects):
            worth_it = element.kind not in ("switch", "ont") and id(element) not in self.looked_good
            if (
                worth_it
                and self.chance.hit(self.technician.inspects / 2 if len(suspects) > 3 else self.technician.inspects)
                and self.looks_bad(element)
            ):
                self.isolated = True
                return element
        self.isolated = self.isolated or len(suspects) == 1
        return self.chance.weigh(suspects, [self._blame(e) for e in suspects])

    def _blame(self, element: Element) -> float:
        """How readily an element is blamed: habit, and less where it looked good or was mended before."""
        been = rate("blame.looked_good") ** ((id(element) in self.looked_good) + 2 * (id(element) in self.worked_on))
        return rate(f"blame.{element.kind}") * been

    def mend(self, element: Element) -> None:
        """Mend an element; a fault of it is gone, unless the work was bad."""
        self.worked_on.add(id(element))
        faults = [f for f in self.plant.faults if f.element is element and not f.mended]
        asked = [f.kind.mend for f in faults if f.kind.mend]
        habit = MENDS.get(f"{self.plant.world} {element.kind}", MENDS[element.kind])
        action, thing = asked[0] if asked else self.chance.weigh(list(habit), list(habit.values()))
        self.notes.act(Place(element), action, thing)
        if self.chance.hit(rate("slips.mend_fails")):
            self.notes.slip("mended badly")
            return
        for fault in faults:
            fault.mended = True
        element.parted = False

    def refer(self, element: Element | None, to: str) -> None:
        """Hand the trouble to its owner."""
        self.notes.act(Place(element) if element else None, "refer", to, f"turned it over to the {to}")
        self.referred = True

    def tell(self, what: str) -> None:
        """Tell the customer, where that is done."""
        if self.chance.hit(rate("speech.tells_customer")):
            self.notes.act(None, "notify", "customer", f"told the customer {what}")
