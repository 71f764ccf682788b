"""Whether what a saying needs is met: its words alone can mean several things."""

from __future__ import annotations

from callnotes.extract.focus import Focus, Spot
from callnotes.extract.normal import Talk
from callnotes.extract.scene import Scene
from callnotes.extract.states import Said
from callnotes.trade import Trade
from callnotes.trade.words import Needs, Saying

_METERED = {
    "resistance", "loop_resistance", "insulation_resistance", "continuity", "short", "ground_fault", "wire_map",
    "capacitance",
}  # fmt: skip


def meant(talk: Talk, said: Said, scene: Scene, focus: Focus, spot: Spot, trade: Trade) -> tuple[Saying, str] | None:
    """The first saying of the words whose need is met, with its state; None if there is none."""
    for saying, state in said.readings:
        if _met(saying.needs, talk, said, scene, focus, spot, trade):
            return (
                None if saying.quantity == "cable_test" and _of_one_test(said, scene, talk, focus) else (saying, state)
            )
    return None


def _met(needs: Needs | None, talk: Talk, said: Said, scene: Scene, focus: Focus, spot: Spot, trade: Trade) -> bool:
    if needs is None:
        return True
    if needs == "line":
        return spot.is_telephone
    if needs == "alone":
        return spot.is_telephone and _rest(talk, said, scene) <= set(trade.words["word_set", "little"])
    if needs == "sound":
        return focus.heard_line and spot.is_telephone
    if needs == "port":
        return spot.is_ported
    if needs in ("pair_leads", "ground_leads"):
        leads = scene.leads_before(said.first)
        return leads is not None and (leads == "tip-ring") == (needs == "pair_leads")
    if needs == "copper":
        return focus.heading in _METERED or not set(trade.words["word_set", "conductors"]).isdisjoint(scene.words)
    return not set(trade.words["word_set", "parts"]).isdisjoint(scene.words)


def _rest(talk: Talk, said: Said, scene: Scene) -> set[str]:
    """The words of the clause besides the state and the places."""
    taken = {i for place in scene.places for i in range(place.first, place.last)} | set(range(said.first, said.last))
    return {talk.norms[i] for i in range(scene.clause.first, scene.clause.last) if i not in taken}


def _of_one_test(said: Said, scene: Scene, talk: Talk, focus: Focus) -> bool:
    """ "NEXT passes by five dB", "return loss is plus two, that's a pass": one test's result, not the overall one."""
    if talk.norms[said.first] == "that" and focus.heading in ("margin", "return_loss", "crosstalk"):
        return True
    tests = [hit for hit in scene.conditions if hit.entry.what == "test"]
    return talk.norms[said.last : said.last + 1] == ("by",) or any(hit.last == said.first for hit in tests)
