"""A voice line worked by a technician: search, mend, retest, put back."""

from __future__ import annotations

from tests.bench.simulated_calls.notes import Place
from tests.bench.simulated_calls.plant import Element
from tests.bench.simulated_calls.rates import rate
from tests.bench.simulated_calls.voice_search import VoiceSearch

COMPLAINTS = {
    "dead": "says the phone is dead", "noisy": "says there's noise on the line",
    "number": "says people reach them under the wrong number", "polarity": "says the entry phone acts up",
    "calls_out": "says they can't call out", "ring": "says it doesn't ring", "sync": "says the internet is down",
    "set": "says this one phone is dead",
}  # fmt: skip
LONG_DAY = 40  # events, after which a technician starts no new search


class VoiceJob(VoiceSearch):
    """Works the call around the search."""

    def work(self) -> None:
        if self.chance.hit(rate("speech.complaint_noted")):
            self.notes.note(f"customer {COMPLAINTS[self.symptom]}")
        if self.chance.hit(self.technician.mends_first):
            self._mends_a_favorite()
        while len(self.notes.drafts) < LONG_DAY:
            suspects = self._widened(self._search())
            if suspects and all(e.owner == "provider" for e in suspects) and self._house_holds_it():
                suspects = self._hunt_below(0)
            if not suspects or not self._deal_with(suspects):
                break
            self._put_back()
            if not self.chance.hit(self.technician.retests):
                break
            if self._retest():
                self.retested = True
                break
        self._close()

    def _mends_a_favorite(self) -> None:
        favorite = self.chance.one([e for e in self.plant.path if e.kind in ("jack", "set", "filter", "block")])
        self.notes.walk()
        self.mend(favorite)
        self.notes.slip("mended before testing")

    def _deal_with(self, suspects: list[Element]) -> bool:
        """Mend, or hand over; False ends the call."""
        if all(e.owner == "provider" for e in suspects):
            self.suspect = next(e for e in self.plant.path if e.kind == "demarc")
            if self.chance.hit(self.technician.refers):
                self.refer(self.suspect, "provider")
            return False
        self.suspect = self.choose(self._tell_apart([e for e in suspects if e.owner == "customer"]))
        if self.suspect.kind == "alarm_panel" and self.suspect.parted and self.chance.hit(rate("work.panel_left_off")):
            self.left_off.add(id(self.suspect))
            self.refer(self.suspect, "alarm company")
            return True
        if self.chance.hit(rate("work.leaves_owners" if self.suspect.kind in ("set", "pbx") else "work.leaves_found")):
            self.tell("what it needs")
            return False
        self.notes.walk()
        self.mend(self.suspect)
        return True

    def _house_holds_it(self) -> bool:
        """Before the provider is called: the house parted, the test made again, a number taken.

        True if the line is good with the house off, so that the trouble is not the provider's.
        """
        demarc, good = self.places[0][0], False
        self._go(demarc)
        if self.chance.hit(self.technician.parts_first):
            self._part(demarc)
            good = not self._test(demarc, False) and self.shunt_wise
        if self.chance.hit(self.technician.meters):
            self.tests.meter(demarc, False)
        self._join(demarc)
        return good

    def _tell_apart(self, suspects: list[Element]) -> list[Element]:
        """Run or jack: listen on the bare pair behind the jack."""
        kinds = [e.kind for e in suspects]
        if kinds != ["cable", "jack"] or not self.chance.hit(self.technician.inspects * rate("habits.behind_the_jack")):
            return self._trace(suspects)
        run, jack = suspects
        self._go(jack)
        self.isolated = True
        return [run] if self._test(run, True) else [jack]

    def _trace(self, suspects: list[Element]) -> list[Element]:
        """Tone put on a suspected run's near end and listened for at its far end, where a pair seems open."""
        runs = [e for e in suspects if e.kind == "cable" and e.parent is not None and e.children]
        if self.symptom != "dead" or not runs or not self.chance.hit(self.technician.meters * rate("work.traces")):
            return suspects
        run = runs[0]
        if run.parent is None or run.parent.kind in ("cable", "demarc"):
            return suspects
        self._go(run.parent)
        self.notes.act(Place(run.parent), "apply_tone", "toner", "put my toner on it")
        self._go(run.children[0])
        if self.tests.hears_toner(run):
            return [e for e in suspects if e is not run] or suspects
        self.isolated = True
        return [run]

    def _retest(self) -> bool:
        place = self.places[-1]
        if place[0].parted:
            place = next((p for p in reversed(self.places) if not p[0].parted), place)
        self._go(place[0])
        good = not self._test(*place)
        if good and self.symptom in ("dead", "noisy", "calls_out", "ring", "number"):
            for quantity in ("outgoing_call", "incoming_call"):
                if self.chance.hit(rate("work.call_each_way")):
                    good = not self.tests.call(quantity, *place) and good
        return good

    def _close(self) -> None:
        self._put_back()
        if self.on_test and self.chance.hit(self.technician.restores):
            self.notes.act(None, "notify", "off test", "took the account off test")
        if self.retested:
            self.tell("it works")
