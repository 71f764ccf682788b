"""What a test set and a meter show on a voice pair, and how a technician misreads them."""

from __future__ import annotations

from tests.bench.simulated_calls.chance import Chance
from tests.bench.simulated_calls.line import FEED_OHM, LOOP_OHM_PER_FT, SET_OHM, View, feet_between, feet_to_open, view
from tests.bench.simulated_calls.notes import Notes, Place
from tests.bench.simulated_calls.plant import Element, Plant
from tests.bench.simulated_calls.rates import rate, span
from tests.bench.simulated_calls.technician import Technician
from tests.bench.simulated_calls.words import turned

MAIN = {
    "dead": "dial_tone", "noisy": "line_sound", "number": "line_number", "polarity": "polarity",
    "calls_out": "outgoing_call", "ring": "incoming_call", "sync": "sync", "set": "dial_tone",
}  # fmt: skip
Holds = list[tuple[str, str, Place | None]]


class VoiceTests:
    """The tests of one call. ``number`` is the line's own; ``cord_open`` and ``astray`` are slips that go on."""

    def __init__(self, plant: Plant, chance: Chance, notes: Notes, technician: Technician, symptom: str) -> None:
        self.plant, self.chance, self.notes, self.technician = plant, chance, notes, technician
        self.symptom = symptom
        self.number = f"555-01{chance.whole(0, 99):02d}"
        self.visits = 0
        self.cord_open = False
        self.cord_will_fail = chance.whole(1, 5) if chance.hit(rate("slips.bad_cord")) else None
        self.astray: bool | None = None  # clipped on the pair beside it; True: that one is live
        self.tested: set[int] = set()

    # --- where ---------------------------------------------------------------------------------------

    def go(self, element: Element) -> None:
        """Walk to an element: time passes, intermittents come and go, slips begin and end."""
        self.notes.walk()
        self.visits += 1
        self.plant.waver(self.chance, self.visits)
        if self.visits == self.cord_will_fail:
            self.cord_open = True
            self.notes.slip("bad test cord")
        self.astray = None
        if element.kind == "block" and self.chance.hit(rate("slips.wrong_pair")):
            self.astray = self.chance.hit(rate("slips.wrong_pair_live"))
            self.notes.slip("clipped on the wrong pair")

    def place(self, element: Element, outer: bool) -> Place:
        """The place as it is spoken of."""
        named = element.sides is not None and self.chance.hit(rate("speech.side_said"))
        sure = element.parted or element.kind == "line_seizure_jack"
        return Place(element, element.sides[outer] if element.sides and (named or sure) else None)

    def holds(self, element: Element, *more: tuple[str, str]) -> Holds:
        """The conditions at an element: what is out there, and what else is said."""
        said: Holds = [(what, is_, None) for what, is_ in more]
        for part in (element, *element.children):
            if (part.parted or part.open_below) and part.parts_by in ("plug", "clips"):
                said.append((part.parts_by, "out", None if part is element else Place(part)))
        elsewhere = (e for e in self.plant.elements if e.parted and e.parts_by in ("plug", "clips"))
        for part in elsewhere:
            near = part is element or part in element.children
            if not near and self.chance.hit(rate("speech.far_condition_said")):
                said.append((part.parts_by or "", "out", Place(part)))
        return said

    # --- the test that the complaint asks for --------------------------------------------------------

    def shows_trouble(self, element: Element, outer: bool) -> bool:
        """Make the main test at a place, say it, and give back whether trouble was seen."""
        quantity = MAIN[self.symptom]
        here = view(self.plant, element, outer)
        self.tested.add(id(here.start))
        if element.kind == "set" and (here.has("dead_set") or self.symptom == "set"):
            return self._say(element, outer, "operation", "fails" if here.has("dead_set") or not here.tone else "works")
        if not self._live(here) and quantity not in ("sync", "dial_tone"):
            self._say(element, outer, "dial_tone", "absent")
            return True
        state, thing = self._true_state(quantity, here, element)
        return self._say(element, outer, quantity, state, thing)

    def _live(self, here: View) -> bool:
        if self.astray is not None:
            return self.astray
        return here.tone and not self.cord_open

    def _true_state(self, quantity: str, here: View, element: Element) -> tuple[str, str | None]:
        if self.astray is not None:
            return self._of_neighbor(quantity)
        dead = self.cord_open
        if quantity == "dial_tone":
            return ("present" if here.tone and not dead else "absent"), None
        if quantity == "line_sound":
            return ("noisy", here.heard) if here.heard and not dead else ("clean", None)
        if quantity == "sync":
            return ("down" if here.has("slow") or not here.battery or dead else "up"), None
        if quantity == "line_number":
            return ("wrong" if here.has("wrong_number") else "correct"), None
        if quantity == "polarity":
            return ("reversed" if here.has("reversed") else "correct"), None
        if quantity == "outgoing_call":
            return ("fails" if here.has("no_out") else "works"), None
        return ("fails" if here.has("no_ring") and element.kind in ("set", "jack") else "works"), None

    def _of_neighbor(self, quantity: str) -> tuple[str, str | None]:
        good = {"dial_tone": "present", "line_sound": "clean", "line_number": "wrong", "polarity": "correct",
                "sync": "down", "outgoing_call": "works", "incoming_call": "fails"}  # fmt: skip
        return good[quantity] if self.astray else turned(quantity, "present"), None

    def _say(self, element: Element, outer: bool, quantity: str, state: str, thing: str | None = None) -> bool:
        """Say a state as it was read; returns whether it spoke against the line."""
        slip = rate("slips.misread_state") * rate(
            "slips.misread_to_dead" if state in ("present", "clean") else "slips.misread_to_good"
        )
        if self.chance.hit(slip):
            state, thing = turned(quantity, state), "static" if quantity == "line_sound" and state == "clean" else None
            self.notes.slip("misread")
        wavering = any(f.intermittent for f in self.plant.faults)
        if (
            quantity == "dial_tone"
            and state == "present"
            and wavering
            and self.chance.hit(rate("faults.heard_coming_and_going"))
        ):
            state = "intermittent"
        holds = self.holds(element)
        if quantity == "line_number":
            holds.append(("number", self.number if state == "correct" else "555-0100", None))
        self.notes.state(self.place(element, outer), quantity, state, thing, holds)
        return state in ("absent", "noisy", "wrong", "reversed", "fails", "down", "intermittent")

    def call(self, quantity: str, element: Element, outer: bool) -> bool:
        """A test call out or in, as proof; returns whether it failed."""
        here = view(self.plant, element, outer)
        state, _ = self._true_state(quantity, here, element) if here.tone else ("fails", None)
        return self._say(element, outer, quantity, state)

    def second(self, element: Element, outer: bool) -> None:
        """After a good main test another one, as habit has it."""
        here = view(self.plant, element, outer)
        if not self._live(here) or not self.chance.hit(rate("speech.second_test")):
            return
        if self.symptom == "dead":
            state, thing = self._true_state("line_sound", here, element)
            self._say(element, outer, "line_sound", state, thing)
        elif self.symptom in ("noisy", "polarity", "number") and self.astray is None:
            more = (("digit", "breaks"),) if self.chance.hit(rate("speech.digit_breaks")) else ()
            self.notes.state(self.place(element, outer), "dial_tone", "present", holds=self.holds(element, *more))

    def hears_toner(self, run: Element) -> bool:
        """Listen for the toner at a run's far end: heard unless the run is open or shorted, or it bleeds."""
        through = self.plant.conducts(run) and view(self.plant, run, True).dead_shunt is None
        if self.chance.hit(rate("slips.tone_bleeds")):
            through = not through
            self.notes.slip("toner misheard")
        self.notes.state(Place(run.children[0]), "tracing_tone", "present" if through else "absent")
        return through

    def suspects_cord(self) -> bool:
        """After a dead reading: a bad cord is found out and changed, or not."""
        if not self.cord_open or not self.chance.hit(rate("slips.bad_cord_found")):
            return False
        self.cord_open, self.cord_will_fail = False, None
        self.notes.act(None, "replace", "test cord", "my cord was open, changed it")
        return True

    # --- numbers -------------------------------------------------------------------------------------

    def meter(self, element: Element, outer: bool) -> None:
        """One or two numbers beside the main test, as the meter shows them."""
        if self.cord_open or self.astray is False:
            return
        here = view(self.plant, element, outer)
        if self.symptom == "sync":
            self._rates(element, outer, here)
            return
        for quantity in self.chance.shuffled(("voltage", "current", "noise", "ground"))[: self.chance.whole(1, 2)]:
            getattr(self, f"_{quantity}")(element, outer, here)

    def _voltage(self, element: Element, outer: bool, here: View) -> None:
        shunt = here.dead_shunt
        if not here.battery or here.has("no_service"):
            value = self.chance.within(span("shown.dead_v"))
        elif shunt is not None:
            value = self.chance.within(span(f"shown.{shunt.kind.shunt}_v"))
        else:
            value = self.plant.battery_v * (0.45 if here.has("sags") else 1.0)
        sign = 1 if here.has("reversed") else -1
        self._number(element, outer, "dc_voltage", sign * value, "V", 1, here.tone, ("hook", "on"))

    def _current(self, element: Element, outer: bool, here: View) -> None:
        if element.kind == "set":
            return
        loop = FEED_OHM + here.ohms + SET_OHM
        limit = 25.0 if element in self.plant.path and self.plant.path[0].kind == "pbx" else 70.0
        amps = min(limit, 1000 * self.plant.battery_v / loop) if here.battery and not here.has("no_service") else 0.0
        if here.dead_shunt is not None:
            amps *= 0.15
        self._number(element, outer, "loop_current", amps * (0.5 if here.has("sags") else 1), "mA", 1, amps >= 20,
                     ("hook", "off"))  # fmt: skip

    def _noise(self, element: Element, outer: bool, here: View) -> None:
        if self.symptom != "noisy" or not here.tone:
            return
        level = self.chance.within(span("shown.noise_bad_dbrnc" if here.heard else "shown.noise_good_dbrnc"))
        self._number(element, outer, "noise", level, "dBrnC", 0, level <= 20)
        if self.chance.hit(rate("work.balance_too")):
            influence = self.chance.within(span("shown.power_influence_dbrnc"))
            self._number(element, outer, "balance", influence - level, "dB", 0, influence - level >= 60)

    def _rates(self, element: Element, outer: bool, here: View) -> None:
        """What a modem shows: a long or tapped line has much loss and no margin left."""
        poor = here.has("slow")
        loss, margin = (
            self.chance.within(span("shown.attenuation_bad_db" if poor else "shown.attenuation_good_db")),
            self.chance.within(span("shown.snr_bad_db" if poor else "shown.snr_good_db")),
        )
        self._number(element, outer, "attenuation", loss, "dB", 1, not poor)
        self._number(element, outer, "snr_margin", margin, "dB", 1, not poor)

    def _ground(self, element: Element, outer: bool, here: View) -> None:
        if not any(f.kind.shunt == "foreign" for f in here.across):
            return
        self._number(
            element,
            outer,
            "ac_voltage",
            self.chance.within(span("shown.foreign_ac_v")),
            "V",
            0,
            False,
            ("leads", "tip-ground"),
        )

    def ohms(self, element: Element) -> None:
        """Resistance looking down from an element whose line to the provider is parted."""
        here = view(self.plant, element, True)
        if here.battery or self.cord_open or self.astray is not None:
            return
        self.tested.add(id(here.start))
        shunt = here.dead_shunt
        if shunt is not None and shunt.kind.shunt != "held" and self.chance.hit(rate("speech.states_not_ohms")):
            quantity = "short" if shunt.kind.shunt == "short" else "ground_fault"
            self.notes.state(self.place(element, True), quantity, "present", holds=self.holds(element))
            return
        if shunt is not None and shunt.kind.shunt in ("short", "held"):
            wire = LOOP_OHM_PER_FT * max(0.0, feet_between(here.start, shunt.element))
            ohm = wire + (
                self.chance.within(span("shown.held_ohm" if shunt.kind.shunt == "held" else "shown.short_ohm"))
            )
            self._number(element, True, "resistance", ohm, "ohm", 1, False, ("leads", "tip-ring"))
            return
        leak = next((f for f in here.across if f.kind.shunt in ("ground", "leak")), None)
        if leak is not None:
            ohm = leak.ohms if leak.kind.shunt == "ground" else leak.ohms * 12
            self._number(element, True, "resistance", ohm / 1000, "kohm", 1, False, ("leads", "ring-ground"))
            return
        leads = self.chance.one(("tip-ring", "tip-ground", "ring-ground"))
        if self.chance.hit(rate("speech.states_not_ohms")):
            quantity = "short" if leads == "tip-ring" else "ground_fault"
            self.notes.state(self.place(element, True), quantity, "absent", holds=self.holds(element))
            return
        bound = [("bound", ">")] if self.chance.hit(rate("speech.bound_said")) else []
        self._number(element, True, "insulation_resistance", self.chance.one((10, 20, 40, 100)), "Mohm", 0, True,
                     ("leads", leads), *bound, exact=True)  # fmt: skip

    def to_open(self, element: Element) -> None:
        """Distance to an open by capacitance, looking down from an element."""
        if self.astray is not None or self.cord_open or view(self.plant, element, True).battery:
            return
        feet = feet_to_open(self.plant, view(self.plant, element, True))
        if feet:
            self._number(element, True, "distance_to_fault", feet, "ft", 0, None)

    def _number(self, element: Element, outer: bool, quantity: str, true: float, unit: str, digits: int,
                good: bool | None, *more: tuple[str, str], exact: bool = False) -> None:  # fmt: skip
        spread = {"dc_voltage": "dc_voltage", "loop_current": "loop_current", "distance_to_fault": "capacitance"}
        value = true if exact else self.chance.about(true, rate(f"instrument.{spread.get(quantity, 'resistance')}"))
        if self.chance.hit(rate("slips.misread_number")):
            value *= self.chance.one((10, 0.1, 1.5))
            self.notes.slip("misread")
        self.notes.number(self.place(element, outer), quantity, round(value, digits), unit, good,
                          self.holds(element, *more))  # fmt: skip
