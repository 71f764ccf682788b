"""The search for the trouble on a voice line: place by place, and by parting what hangs on it."""

from __future__ import annotations

from tests.bench.simulated_calls.chance import Chance
from tests.bench.simulated_calls.job import Job
from tests.bench.simulated_calls.line import view
from tests.bench.simulated_calls.notes import Notes, Place
from tests.bench.simulated_calls.plant import Element, Plant
from tests.bench.simulated_calls.rates import rate
from tests.bench.simulated_calls.technician import Technician
from tests.bench.simulated_calls.voice_tests import VoiceTests

PARTED = {"plug": "disconnect", "clips": "remove_clips", "pair": "disconnect"}
JOINED = {"plug": "reconnect", "clips": "install_clips", "pair": "reconnect"}
THINGS = {"plug": "plug", "clips": "bridging clips", "pair": "pair"}


class VoiceSearch(Job):
    """The search keeps ``lo``, the last place seen good, and ``hi``, the first seen bad, among ``places``."""

    def __init__(self, plant: Plant, chance: Chance, notes: Notes, technician: Technician, symptom: str) -> None:
        super().__init__(plant, chance, notes, technician, symptom)
        self.tests = VoiceTests(plant, chance, notes, technician, symptom)
        self.tested = self.tests.tested
        self.places = _places(plant)
        self.here: Element | None = None
        self.shunt_wise = symptom in ("dead", "noisy")
        self.on_test = False
        self.left_off: set[int] = set()

    # --- search --------------------------------------------------------------------------------------

    def _search(self) -> list[Element]:
        lo, hi = -1, len(self.places) - 1
        begun = False
        for _ in range(self.technician.patience):
            if hi - lo <= 1 and begun and (lo >= 0 or hi == 0):
                break
            if begun and self.chance.hit(self.technician.stops_early):
                break
            at = self._next(lo, hi, begun)
            begun = True
            bad, held_below = self._probe(at)
            if held_below:
                found = self._hunt_below(at)
                return found or self._between(max(lo, at), hi)
            if not bad and at == len(self.places) - 1:
                bad = self._calls_fail()
                if not bad:
                    return []
            lo, hi = (lo, at) if bad else (at, hi)
        self.isolated = hi - lo == 1
        return self._between(lo, hi)

    def _calls_fail(self) -> bool:
        """Nothing is found where the trouble was reported: calls are made to prove the line, or not."""
        if not self.chance.hit(self.technician.retests):
            return False
        self.retested = not any([self.tests.call(q, *self.places[-1]) for q in ("outgoing_call", "incoming_call")])
        return not self.retested

    def _widened(self, suspects: list[Element]) -> list[Element]:
        """Where all of them were mended already, their neighbors on the path come in."""
        if not suspects or any(id(e) not in self.worked_on for e in suspects):
            return suspects
        at = [self.plant.path.index(e) for e in suspects if e in self.plant.path] or [0]
        near = self.plant.path[max(0, min(at) - 1) : max(at) + 2]
        return [e for e in near if e.owner == "customer"] or suspects

    def _next(self, lo: int, hi: int, begun: bool) -> int:
        last = len(self.places) - 1
        style = self.technician.style
        if not begun and style == "set_first":
            return last
        if hi - lo <= 1:
            return max(0, min(lo + 1, last))
        inside = range(lo + 1, hi if begun else hi + 1)
        if style == "walk" or (style == "set_first" and self.chance.hit(rate("work.set_first_goes_to_demarc"))):
            return inside[0]
        if style == "set_first":
            return inside[-1]
        return inside[len(inside) // 2] if style == "half" else self.chance.one(inside)

    def _between(self, lo: int, hi: int) -> list[Element]:
        path = self.plant.path
        start = _index(path, self.places[lo]) + 1 if lo >= 0 else 0
        return path[start : _index(path, self.places[hi]) + 1]

    def _probe(self, at: int) -> tuple[bool, bool]:
        """Test a place; second: good only once what lies below was parted."""
        element, outer = self.places[at]
        self._go(element)
        partable = (not outer or element.kind == "pbx") and element.parts_by is not None
        first = partable and self.chance.hit(self.technician.parts_first) and element.kind == "demarc"
        if first:
            self._part(element)
        bad = self._test(element, outer)
        if not bad:
            self.tests.second(element, outer)
        if self.chance.hit(self.technician.meters):
            self.tests.meter(element, outer)
        if not self.shunt_wise or not partable:
            self._join(element)
            return bad, False
        knows = max(self.technician.parts_first, rate("habits.tries_at_the_port") if outer else 0.0)
        if not first and bad and self.chance.hit(knows):
            self._part(element, below=outer)
            parted_bad = self._test(element, outer)
            self._look_down(element)
            return parted_bad, not parted_bad
        if first:
            if not bad:
                self._look_down(element)
            self._join(element)
            if not bad and self.chance.hit(self.technician.parts_first):
                return False, self._test(element, True)
        return bad, False

    def _look_down(self, element: Element) -> None:
        if self.shunt_wise and self.chance.hit(self.technician.meters):
            self.tests.ohms(element)
            if self.symptom == "dead":
                self.tests.to_open(element)

    def _test(self, element: Element, outer: bool) -> bool:
        bad = self.tests.shows_trouble(element, outer)
        if bad and self.tests.suspects_cord():
            bad = self.tests.shows_trouble(element, outer)
        return bad

    def _go(self, element: Element) -> None:
        if element is not self.here:
            self.tests.go(element)
            self.here = element

    # --- what lies below takes the line down: part it piece by piece ----------------------------------

    def _hunt_below(self, at: int) -> list[Element]:
        base, outer = self.places[at]
        self._join(base)
        outer = True if base.sides else outer
        below = [e for e in self.plant.elements if base in e.to_root() and e is not base]
        for element in self._devices(below):
            if self._comes_back(element, base, outer):
                self.isolated = True
                return [element]
        branches = [e for e in below if e.kind == "cable" and e not in self.plant.path]
        for element in branches:
            if self._comes_back(element, base, outer):
                self.isolated = True
                return [element, *(e for e in element.children)]
            self._join(element)
        return self._bisect(below, base, outer)

    def _bisect(self, below: list[Element], base: Element, outer: bool) -> list[Element]:
        cuts = [e for e in self.plant.path if e in below and e.parts_by in ("clips", "pair")]
        if base.children[0].kind == "cable" and base.children[0] in self.plant.path:
            cuts.insert(0, base.children[0])  # the first run lifted off: what is left is the base itself
        path, lo, hi = self.plant.path, self.plant.path.index(base), len(self.plant.path)
        while cuts:
            cut = cuts[len(cuts) // 2] if self.technician.style == "half" else cuts[0]
            good = self._comes_back(cut, base, outer)
            self._join(cut)
            if good:
                lo = path.index(cut) - 1
            else:
                hi = path.index(cut)
            cuts = [c for c in cuts if lo + 1 < path.index(c) < hi]
        # Devices were off while the hunt went on: they are out of it.
        return [e for e in path[lo + 1 : hi] if e.kind != "set" or not e.parted] or [base]

    def _devices(self, below: list[Element]) -> list[Element]:
        panels = [e for e in below if e.kind == "alarm_panel"]
        return panels + self.chance.shuffled([e for e in below if e.kind == "set"])

    def _comes_back(self, element: Element, base: Element, outer: bool) -> bool:
        """Part an element and test again at the base: True if the trouble is gone."""
        if element.kind == "alarm_panel":
            self._put_on_test(element)
        self._go(element)
        self._part(element)
        if (
            element.kind == "set"
            and self.chance.hit(rate("work.unplugs_without_a_look"))
            and len(self._devices(self.plant.elements)) > 1
        ):
            return not self._test_quietly(base, outer)
        self._go(base)
        return not self._test(base, outer)

    def _test_quietly(self, base: Element, outer: bool) -> bool:
        """A helper listens at the base; nothing is said unless the tone is back."""
        here = view(self.plant, base, outer)
        bad = bool(here.heard) if self.symptom == "noisy" else not here.tone
        if not bad:
            self._go(base)
            return self._test(base, outer)
        return bad

    # --- parting and putting back ---------------------------------------------------------------------

    def _part(self, element: Element, below: bool = False) -> None:
        if element.parted or element.open_below:
            return
        element.parted, element.open_below = not below, below
        how = element.parts_by or "pair"
        self.notes.act(Place(element), PARTED[how], THINGS[how])

    def _join(self, element: Element) -> None:
        if element.parted or element.open_below:
            element.parted = element.open_below = False
            how = element.parts_by or "pair"
            self.notes.act(Place(element), JOINED[how], THINGS[how])

    def _put_back(self) -> None:
        for element in self.plant.elements:
            if (
                (element.parted or element.open_below)
                and id(element) not in self.left_off
                and self.chance.hit(self.technician.restores)
            ):
                self._join(element)

    def _put_on_test(self, panel: Element) -> None:
        if not self.on_test and self.chance.hit(self.technician.parts_first):
            self.notes.act(Place(panel), "notify", "on test", "put the account on test")
            self.on_test = True


def _places(plant: Plant) -> list[tuple[Element, bool]]:
    """Where one can clip on along the path, provider first: element, and whether its outer end."""
    places: list[tuple[Element, bool]] = []
    for element in plant.path:
        if element.kind == "demarc" or (element.sides and element.parent is not None):
            places.append((element, False))
        if element.kind in ("block", "line_seizure_jack", "pbx", "jack", "filter", "set"):
            places.append((element, True))
    return places


def _index(path: list[Element], place: tuple[Element, bool]) -> int:
    """The last element of the path that lies before the place's terminal."""
    return path.index(place[0]) - (0 if place[1] else 1)
