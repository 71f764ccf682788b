"""The search on a data link: lamps, swaps, wire map and certification, each ruling elements out."""

from __future__ import annotations

from collections.abc import Callable

from tests.bench.simulated_calls.chance import Chance
from tests.bench.simulated_calls.job import Job
from tests.bench.simulated_calls.notes import Notes, Place
from tests.bench.simulated_calls.plant import Element, Fault, Plant
from tests.bench.simulated_calls.rates import rate, span
from tests.bench.simulated_calls.technician import Technician
from tests.bench.simulated_calls.words import state_verdict, turned

MAPS = ("open", "short", "crossed", "reversed", "split")  # what a wire map names
RUN = ("patch_panel", "cable", "jack")  # what a tester between panel and jack sees
CERT_FAILS = {"split": "NEXT", "long": "insertion loss", "kink": "return loss", "resistive": "resistance"}
# A step is worth its walk while one of these is under suspicion.
RULES_ON = {
    "lamp": ("switch", "cord", "device"), "power": ("switch", "cord", "device"), "poe": ("switch", "cord", "device"),
    "spare_port": ("switch",), "cord": ("cord",), "known_good": ("device",), "map": RUN, "certify": RUN,
}  # fmt: skip
ORDER = {
    "walk": ("lamp", "spare_port", "cord", "map", "certify", "poe", "known_good"),
    "set_first": ("power", "known_good", "poe", "map", "cord", "lamp", "spare_port", "certify"),
    "half": ("map", "lamp", "poe", "cord", "known_good", "spare_port", "certify"),
    "haphazard": ("cord", "lamp", "power", "map", "known_good", "certify", "spare_port", "poe"),
}


class DataSearch(Job):
    """``suspects`` shrinks with each step; a step gives back whether it showed trouble."""

    def __init__(self, plant: Plant, chance: Chance, notes: Notes, technician: Technician, symptom: str) -> None:
        super().__init__(plant, chance, notes, technician, symptom)
        self.by_kind = {e.kind: e for e in plant.path}
        self.suspects = list(plant.path)
        wired = all(f.element.kind in RUN for f in plant.faults)
        self.new_work = wired and symptom in ("link", "speed") and chance.hit(rate("work.new_runs"))
        self.visit = 0

    # --- the link as it is ---------------------------------------------------------------------------

    def _faults(self, *kinds: str) -> list[Fault]:
        return [f for f in self.plant.faults if f.bites and f.element.kind in kinds]

    def _at(self, kind: str) -> Place:
        return Place(self.by_kind[kind])

    def _works(self, without: tuple[str, ...] = ()) -> bool:
        """The complaint is gone, with these kinds of element replaced by good ones."""
        return not any(f.bites and f.element.kind not in without for f in self.plant.faults)

    def _linked(self, without: tuple[str, ...] = ()) -> bool:
        breaks = [f for f in self.plant.faults if f.bites and f.element.kind not in without]
        return not any(f.kind.series == "open" or f.kind.does == "dead" for f in breaks)

    def _say(
        self, place: Place, quantity: str, state: str, holds: tuple[tuple[str, str, Place | None], ...] = ()
    ) -> bool:
        if self.chance.hit(rate("slips.misread_state")):
            state = turned(quantity, state)
            self.notes.slip("misread")
        self.notes.state(place, quantity, state, holds=holds)
        return state_verdict(quantity, state) == "fail"

    # --- search --------------------------------------------------------------------------------------

    def _search(self) -> bool:
        steps = list(ORDER[self.technician.style])
        if self.technician.style == "haphazard":
            steps = self.chance.shuffled(steps)
        if self.symptom == "poe":
            steps = ["power", "poe", *(s for s in steps if s not in ("power", "poe"))]
        done = {"cord": "cord", "spare_port": "switch"}
        steps = [s for s in steps if id(self.by_kind[done.get(s, "jack")]) not in self.worked_on or s not in done]
        for step in steps[: self.technician.patience]:
            if not any(e.kind in RULES_ON[step] for e in self.suspects):
                continue
            self._go()
            run: Callable[[], None] = getattr(self, f"_step_{step}")
            run()
            if len(self.suspects) == 1 or self.chance.hit(self.technician.stops_early):
                break
        self.isolated = len(self.suspects) == 1
        return bool(self.suspects)

    def _go(self) -> None:
        self.notes.walk()
        self.visit += 1
        self.plant.waver(self.chance, self.visit)

    def _keep(self, *kinds: str) -> None:
        """Only these kinds remain suspects; a contradiction leaves them as they were."""
        self.suspects = [e for e in self.suspects if e.kind in kinds] or self.suspects

    def _clear(self, *kinds: str) -> None:
        self._keep(*(e.kind for e in self.suspects if e.kind not in kinds))

    def _step_lamp(self) -> None:
        self.tested.add(id(self.by_kind["switch"]))
        if not self._say(self._at("switch"), "link", "up" if self._linked() else "down"):
            if self.symptom == "link":
                self._keep("device", "switch")
            if self.chance.hit(self.technician.meters):
                slow = bool(
                    [f for f in self.plant.faults if f.bites and f.kind.does in ("split", "long", "slow", "kink")]
                )
                self.notes.number(self._at("switch"), "link_speed", 100 if slow else 1000, "Mb/s", not slow)

    def _step_power(self) -> None:
        if self.by_kind["device"].label == "printer":
            return
        dark = self._linked() is False or (self.symptom == "poe" and not self._works())
        self._say(self._at("device"), "power", "absent" if dark else "present")

    def _step_poe(self) -> None:
        if self.by_kind["device"].label == "printer" or self.symptom not in ("poe", "link"):
            return
        self.tested |= {id(self.by_kind["jack"])}
        bad = [f for f in self._faults("switch", "cord", *RUN) if f.kind.does in ("low_poe", "resistive", "dead")
               or f.kind.series == "open"]  # fmt: skip
        weak = [f for f in bad if f.kind.does in ("low_poe", "resistive")]
        watts = self.chance.within(span("shown.poe_weak_w" if weak else "shown.poe_good_w")) if weak or not bad else 0.0
        watts = round(self.chance.about(watts, rate("instrument.power")), 1)
        self.notes.number(self._at("jack"), "poe_power", watts, "W", not bad)
        if bad and self.symptom == "poe":
            near = self.chance.within(
                span(f"shown.poe_{'weak' if any(f.kind.does == 'low_poe' for f in weak) else 'good'}_w")
            )
            self.notes.number(self._at("switch"), "poe_power", round(near, 1), "W", near > 20)
            self._keep(*(("switch",) if near < 20 else ("cord", *RUN)))
        elif not bad:
            self._keep("device") if self.symptom == "poe" else self._clear("switch", "cord", *RUN)

    def _step_cord(self) -> None:
        if self.symptom == "poe" and self.chance.hit(rate("work.skips_cord_for_power")):
            return
        self.tested.add(id(self.by_kind["cord"]))
        self.notes.act(self._at("cord"), "replace", "cord")
        for fault in self._faults("cord"):
            fault.mended = True
        self.worked_on.add(id(self.by_kind["cord"]))
        if self._tries(("cord",)):
            self._keep("cord")
        else:
            self._clear("cord")

    def _tries(self, without: tuple[str, ...]) -> bool:
        """See whether it works now; True if it does."""
        if self.symptom == "link":
            return not self._say(self._at("device"), "link", "up" if self._linked(without) else "down")
        return not self._say(self._at("device"), "operation", "works" if self._works(without) else "fails")

    def _step_spare_port(self) -> None:
        self.tested.add(id(self.by_kind["switch"]))
        self.notes.act(self._at("switch"), "move", "cord to a spare port")
        self.worked_on.add(id(self.by_kind["switch"]))
        if self._tries(("switch",)):
            self._keep("switch")
            for fault in self._faults("switch"):
                fault.mended = fault.kind.mend == ("move", "cord to a spare port")
        else:
            self._clear("switch")

    def _step_known_good(self) -> None:
        self.tested |= {id(self.by_kind["jack"]), id(self.by_kind["device"])}
        self.notes.act(self._at("device"), "disconnect", "device")
        if self.symptom == "link":
            bad = self._say(self._at("jack"), "link", "up" if self._linked(("device",)) else "down")
        else:
            bad = self._say(self._at("jack"), "operation", "works" if self._works(("device",)) else "fails")
        if bad:
            self._clear("device")
        else:
            self._keep("device")
        if self.chance.hit(self.technician.restores):
            self.notes.act(self._at("device"), "reconnect", "device")

    def _step_map(self) -> None:
        faults = [f for f in self._faults(*RUN) if f.kind.does in (*MAPS, "elsewhere")]
        self.tested |= {id(self.by_kind[k]) for k in RUN}
        does = faults[0].kind.does if faults else "pass"
        # A split pair passes a plain continuity tester; only one that measures crosstalk shows it.
        seen = (
            "pass"
            if does == "split" and self.chance.hit(rate("slips.map_misses_split"))
            else {"elsewhere": "open"}.get(does or "pass", does)
        )
        place = self._at(self.chance.one(("cable", "jack", "cable")))
        bad = self._say(place, "wire_map", seen or "pass", self._wires(seen or "pass"))
        if bad and faults and seen in ("open", "short") and self.chance.hit(rate("work.distance_told")):
            self._distance(faults[0])
        elif bad:
            self._keep("patch_panel", "jack", *(("cable",) if seen in ("open", "short") else ()))
        elif self.symptom in ("link", "service"):
            self._clear(*RUN)

    def _wires(self, state: str) -> tuple[tuple[str, str, Place | None], ...]:
        if state == "pass" or not self.chance.hit(rate("speech.wires_said")):
            return ()
        return (("wires", self.chance.one(("1-2", "3-6", "4-5", "7-8")), None),)

    def _distance(self, fault: Fault) -> None:
        length = self.by_kind["cable"].length_ft
        share = {"patch_panel": 0.0, "jack": 1.0}.get(fault.element.kind, fault.at_share)
        feet = self.chance.about(length * share, rate("instrument.length")) + self.chance.within(
            span("shown.reflection_off_ft")
        )
        self.notes.number(self._at("cable"), "distance_to_fault", round(feet), "ft")
        near = feet < 5 or fault.kind.does == "elsewhere"
        self._keep("patch_panel" if near else "jack" if feet > 0.95 * length else "cable")

    def _step_certify(self) -> None:
        if self.symptom in ("service", "link") and self.chance.hit(rate("work.skips_certifying")):
            return
        if self._certify(self.by_kind["cable"]):
            self._keep(*RUN)
        else:
            self._clear(*RUN)

    def _certify(self, run: Element) -> bool:
        """A certification test of the run; returns whether it failed."""
        self.tested |= {id(self.by_kind[k]) for k in RUN}
        faults = self._faults(*RUN)
        if not self._say(Place(run), "cable_test", "fail" if faults else "pass"):
            if self.chance.hit(rate("work.margin_told")):
                margin = self.chance.within(span("shown.margin_db"))
                self.notes.number(Place(run), "margin", round(margin, 1), "dB", None, (("test", "NEXT", None),))
            return False
        does = faults[0].kind.does if faults else None
        if faults and self.chance.hit(self.technician.meters * rate("work.distance_told")):
            self._distance(faults[0])
        if does in CERT_FAILS:
            short_by = -self.chance.within(span("shown.short_of_limit_db"))
            self.notes.number(
                Place(run), "margin", round(short_by, 1), "dB", False, (("test", CERT_FAILS[does or ""], None),)
            )
        if does == "long":
            self.notes.number(
                Place(run), "length", round(self.chance.within(span("shown.over_length_ft"))), "ft", False
            )
            self._keep("cable")
        elif does in MAPS and does != "split":
            if does in ("crossed", "reversed"):
                self._clear("cable")  # wires change places at an end, not inside a run
            self._say(Place(run), "wire_map", does or "open", self._wires(does or "open"))
        return True
