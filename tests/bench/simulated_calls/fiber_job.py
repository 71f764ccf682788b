"""A fiber link worked by a technician: light at the far end, loss along the way, ends looked at and cleaned."""

from __future__ import annotations

from tests.bench.simulated_calls.chance import Chance
from tests.bench.simulated_calls.job import Job
from tests.bench.simulated_calls.notes import Notes, Place
from tests.bench.simulated_calls.plant import Element, Plant
from tests.bench.simulated_calls.rates import rate, span
from tests.bench.simulated_calls.technician import Technician
from tests.bench.simulated_calls.words import state_verdict, turned

SENT_DBM = -5.0  # a usual sender
DB_PER_KM = 0.4  # single-mode, 1310 nm, typical
CONNECTION_DB = 0.5  # a mated connection, typical
LIMIT_DBM = -20.0  # a usual receiver
DARK_DBM = -40.0
LOSSES = ("dirty", "bend", "weak")


class FiberJob(Job):
    """Places by light's way: sender, near panel, run, far panel, converter."""

    def __init__(self, plant: Plant, chance: Chance, notes: Notes, technician: Technician, symptom: str) -> None:
        super().__init__(plant, chance, notes, technician, symptom)
        self.sender, self.near, self.run, self.far, self.ont = plant.path
        self.lost_db = {id(f): 0.0 for f in plant.faults}
        for fault in plant.faults:
            if fault.kind.does in LOSSES:
                self.lost_db[id(fault)] = chance.within(span(f"shown.{fault.kind.does}_db"))
        self.suspects = list(plant.path)
        self.wave = chance.one(("1310", "1490", "1550"))
        self.visit = 0

    def work(self) -> None:
        if self.chance.hit(rate("speech.complaint_noted")):
            self.notes.note("customer says the building is off the network")
        for _ in range(3):
            self.suspects = list(self.plant.path)
            self._search()
            if not self.suspects or not self._mend_and_prove():
                break

    # --- the light as it is --------------------------------------------------------------------------

    def _light(self, element: Element) -> float:
        """dBm at the outer end of an element."""
        way = list(element.to_root())
        faults = [f for f in self.plant.faults if f.bites and f.element in way]
        if any(f.kind.series == "open" or f.kind.does in ("dark", "rolled") for f in faults):
            return DARK_DBM
        km = sum(e.length_ft for e in way) * 0.0003048
        joints = CONNECTION_DB * sum(e.kind == "patch_panel" for e in way)
        return SENT_DBM - km * DB_PER_KM - joints - sum(self.lost_db[id(f)] for f in faults)

    def _works(self) -> bool:
        dead = any(f.bites and f.kind.does == "dead" for f in self.plant.faults)
        return not dead and self._light(self.far) > LIMIT_DBM

    def _state(self, element: Element, quantity: str, state: str) -> bool:
        """Say a state as read; returns whether it spoke against the link."""
        self.tested.add(id(element))
        if self.chance.hit(rate("slips.misread_state")):
            state = turned(quantity, state)
            self.notes.slip("misread")
        self.notes.state(Place(element), quantity, state)
        return state_verdict(quantity, state) == "fail"

    def _power(self, element: Element) -> bool:
        """Measure light at an element; returns whether it was too weak."""
        self.tested.add(id(element))
        dbm = self._light(element) + self.chance.within(span("shown.light_off_db"))
        if self.chance.hit(rate("slips.misread_number")):
            dbm *= 1.5
            self.notes.slip("misread")
        weak = dbm < LIMIT_DBM
        holds = (("wavelength", f"{self.wave} nm", None),) if self.chance.hit(rate("speech.wavelength_said")) else ()
        self.notes.number(Place(element), "optical_power", round(dbm, 1), "dBm", not weak, holds)
        return weak

    # --- search --------------------------------------------------------------------------------------

    def _keep(self, *elements: Element) -> None:
        self.suspects = [e for e in self.suspects if e in elements] or self.suspects

    def _search(self) -> None:
        self._go()
        up = not self._state(self.ont, "link", "up" if self._works() else "down")
        if up and not self._power(self.far):
            self.suspects = []
            return
        if self._power_of(self.ont):
            return
        order = {"walk": (self.sender, self.near, self.far), "half": (self.near, self.far, self.sender)}
        measured = order.get(self.technician.style, (self.far, self.near, self.sender))
        for element in measured:
            if len(self.suspects) == 1 or self.chance.hit(self.technician.stops_early):
                break
            if element.owner == "provider":
                continue
            self._go()
            beyond = self.plant.path[self.plant.path.index(element) + 1 :]
            weak = self._power(element)
            self._keep(*([e for e in self.plant.path if e not in beyond] if weak else beyond))
        if self.run in self.suspects and self.run.owner == "customer" and self.chance.hit(self.technician.meters):
            self._reflect()
        self.isolated = len(self.suspects) == 1
        panels = [e for e in self.suspects if e.kind == "patch_panel" and e.owner == "customer"]
        for panel in panels:
            if self.chance.hit(self.technician.inspects) and self.looks_bad(panel):
                self._keep(panel)
                self.isolated = True
                break

    def _power_of(self, element: Element) -> bool:
        """Is the converter powered at all; True ends the search."""
        if not self.chance.hit(rate("work.looks_for_power")):
            return False
        dead = any(f.bites and f.kind.does == "dead" and f.kind.word == "bad_device" for f in self.plant.faults)
        if self._state(element, "power", "absent" if dead else "present"):
            self._keep(element)
            self.isolated = True
            return True
        return False

    def _reflect(self) -> None:
        """A reflectometer or a red light on the run."""
        faults = [f for f in self.plant.faults_at(self.run)]
        if self.chance.hit(rate("work.red_light")):
            self.notes.act(Place(self.near), "apply_tone", "red light", "put the red light on it")
            broken = any(f.kind.series == "open" for f in faults)
            if self._state(self.run, "continuity", "open" if broken else "good"):
                self._keep(self.run)
            return
        if faults:
            feet = self.chance.about(self.run.length_ft * faults[0].at_share, rate("instrument.length"))
            self.notes.number(Place(self.run), "distance_to_fault", round(feet), "ft", None)
            self._keep(self.run)
        else:
            km = self.run.length_ft * 0.0003048
            loss = self.chance.about(km * DB_PER_KM + 2 * CONNECTION_DB, rate("instrument.loss"))
            self.notes.number(Place(self.run), "optical_loss", round(loss, 2), "dB", True)
            self._keep(*(e for e in self.suspects if e is not self.run))

    def _go(self) -> None:
        self.notes.walk()
        self.visit += 1
        self.plant.waver(self.chance, self.visit)

    # --- mend and prove ------------------------------------------------------------------------------

    def _mend_and_prove(self) -> bool:
        """Mend a suspect, or hand over; True if the search must go on."""
        ours = [e for e in self.suspects if e.owner == "customer" and id(e) not in self.worked_on]
        if not ours and self.sender.owner == "provider":
            self.suspect = self.sender
            if self.chance.hit(self.technician.refers):
                self.refer(self.ont, "provider")
            return False
        self.suspect = self.choose(ours or [e for e in self.suspects if e.owner == "customer"])
        if self.chance.hit(rate("work.leaves_found")):
            return False
        self.mend(self.suspect)
        if not self.chance.hit(self.technician.retests):
            return False
        self._go()
        self._power(self.far)
        if self._state(self.ont, "link", "up" if self._works() else "down"):
            return True
        self.retested = True
        self.tell("it's up")
        return False
