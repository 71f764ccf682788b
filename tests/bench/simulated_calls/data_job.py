"""A data link worked by a technician, and the certification of new runs."""

from __future__ import annotations

from tests.bench.simulated_calls.data_search import RUN, DataSearch
from tests.bench.simulated_calls.notes import Place
from tests.bench.simulated_calls.plant import Element
from tests.bench.simulated_calls.rates import rate, span

COMPLAINTS = {
    "link": "says it's off the network", "speed": "says it's slow", "poe": "says it keeps restarting",
    "service": "says it has a light but gets nowhere",
}  # fmt: skip


class DataJob(DataSearch):
    """Works the call around the search, or certifies new runs."""

    def work(self) -> None:
        if self.new_work:
            self._certify_new_work()
            return
        if self.chance.hit(rate("speech.complaint_noted")):
            self.notes.note(f"customer {COMPLAINTS[self.symptom]}")
        for _ in range(3):
            self.suspects = list(self.plant.path)
            if not self._search():
                break
            if not self._mend_and_prove():
                break

    def _mend_and_prove(self) -> bool:
        """Mend a suspect; True if the search must go on."""
        self.suspect = self.choose(self.suspects)
        if self.suspect.kind == "switch" and self.chance.hit(rate("work.switch_is_others")):
            self.refer(self.suspect, "network people")
            return False
        cured = any(f.mended and f.element is self.suspect for f in self.plant.faults)
        if not cured:
            if self.chance.hit(rate("work.leaves_found")):
                return False
            self.notes.walk()
            self.mend(self.suspect)
        if not self.chance.hit(self.technician.retests):
            return False
        self._go()
        if self.suspect.kind in RUN and self.chance.hit(rate("work.certifies_after")):
            self._certify(self.by_kind["cable"])
        if self._tries(()):
            self.retested = True
            self.tell("it's up")
            return False
        return True

    def _certify_new_work(self) -> None:
        """New runs tested one after another; one of them has the fault."""
        run = self.by_kind["cable"]
        others = self.chance.shuffled([n for n in range(1, 25) if n != run.detail["port"]])[: self.chance.whole(2, 5)]
        turn = self.chance.whole(0, len(others))
        for at, port in enumerate([*others[:turn], None, *others[turn:]]):
            if port is not None:
                self._certify_sound(Element("cable", "customer", None, {"port": port}))
            elif self._certify(run):
                self._mend_run(run)
            if at and self.chance.hit(self.technician.stops_early * rate("work.quits_new_work")):
                break

    def _certify_sound(self, run: Element) -> None:
        state = "marginal" if self.chance.hit(rate("work.marginal_run")) else "pass"
        self.notes.state(Place(run), "cable_test", state)
        if self.chance.hit(rate("work.margin_told")):
            margin = self.chance.within(span("shown.margin_db" if state == "pass" else "shown.margin_marginal_db"))
            self.notes.number(Place(run), "margin", round(margin, 1), "dB", None, (("test", "NEXT", None),))

    def _mend_run(self, run: Element) -> None:
        self._keep(*RUN)
        self.suspect = self.choose(self.suspects)
        self.mend(self.suspect)
        if self.chance.hit(self.technician.retests):
            if not self._certify(run):
                self.retested = True
            elif self.chance.hit(rate("work.tries_other_end")):
                self.suspect = self.choose([e for e in self.suspects if e is not self.suspect] or self.suspects)
                self.mend(self.suspect)
                self.retested = not self._certify(run)
