"""Which of the places named in a clause the talk goes to, and bare numbers that go on through ports or pairs."""

from __future__ import annotations

from collections.abc import Callable

from callnotes.extract.actions import Done
from callnotes.extract.focus import Focus, Spot
from callnotes.extract.measures import Measure
from callnotes.extract.normal import Talk
from callnotes.extract.places import Place
from callnotes.extract.scene import Scene
from callnotes.trade import Trade

_WHERE = {"from", "off", "of", "in", "into", "on", "at", "to", "back", "behind"}
_COUNTED = {"after", "past", "o'clock", "minutes", "minute", "dollars", "people", "steps", "times", "percent", "hours"}
_MOVABLE = {"set", "device", "cable", "alarm_panel", "filter"}
_LOOSE = ("cable", "other")
_HELD_BY_PLUG = ("line_seizure_jack", "alarm_panel", "device")


def with_bare_numbers(
    scene: Scene, talk: Talk, focus: Focus, trade: Trade, is_reading: Callable[[int, int], bool]
) -> Scene:
    """ "ten passes", "and on 13": numbers that go on through ports, pairs or rows become places of the scene.

    ``is_reading`` tells of tokens whether they are surely heard as a reading.
    """
    if focus.spot.kind is None:
        return scene
    opening = scene.clause.first
    while opening < scene.clause.last and talk.norms[opening] in trade.words["word_set", "openers"]:
        opening += 1
    for measure in list(scene.measures):
        if (
            not _could_number(measure)
            or is_reading(measure.first, measure.last)
            or _counts(measure, talk)
            or any(p.first <= measure.last < p.last for p in scene.places)
        ):
            continue
        last = scene.places[-1] if scene.places else None
        listed = next((key for key in ("row", "pins") if last and last.noun == "number" and key in last.details), None)
        if last and listed and measure.first == last.last + 1:
            several = (*last.details[listed], int(measure.value))
            scene.places[-1] = Place(last.first, measure.last, None, {listed: several}, "number")
        elif place := _numbered(scene, measure, opening, talk, focus, trade):
            scene.places.append(Place(measure.first, measure.last, None, place.details, "number"))
        else:
            continue
        scene.measures.remove(measure)
    scene.places.sort(key=lambda place: place.first)
    return scene


def _numbered(scene: Scene, measure: Measure, opening: int, talk: Talk, focus: Focus, trade: Trade) -> Place | None:
    before = talk.norms[measure.first - 1] if measure.first > scene.clause.first else ""
    led = before in trade.words["word_set", "leads_to_number"]
    opens = measure.first == opening and measure.last < scene.clause.last
    return focus.numbered(int(measure.value)) if led or opens else None


def _counts(measure: Measure, talk: Talk) -> bool:
    """Whether the number is of a time or of a count: "five after two", "three people"."""
    around = talk.norms[max(0, measure.first - 1) : measure.first] + talk.norms[measure.last : measure.last + 1]
    return not _COUNTED.isdisjoint(around)


def _could_number(measure: Measure) -> bool:
    """A plain whole number without unit, as ports and pairs have."""
    value = measure.value
    return measure.unit is None and not measure.number.loose and value == int(value) and 0 < value < 1000


def goes_to(place: Place, scene: Scene, talk: Talk, trade: Trade) -> bool:
    """Whether the talk goes there: not to what was only acted on, hung up, or spoken of in passing."""
    if place.kind in _MOVABLE and any(first <= place.first < last for first, last in scene.things):
        return False
    if "with" in talk.norms[max(scene.clause.first, place.first - 2) : place.first]:
        return False
    hooks = [hit for hit in scene.conditions if hit.entry.what == "hook"]
    if any(hit.first - 2 < place.last and place.first <= hit.last for hit in hooks):
        return False
    if scene.measures or scene.states or place.kind not in _LOOSE:
        return True
    return toward(place, scene, talk, trade)


def toward(place: Place, scene: Scene, talk: Talk, trade: Trade) -> bool:
    """Whether the words before a place lead there: "on the block", "to the closet"."""
    if place.kind is None:
        return True
    before = talk.norms[max(scene.clause.first, place.first - 3) : place.first]
    return not set(trade.words["word_set", "toward"]).isdisjoint(before)


def pins_tested(scene: Scene) -> list[Place]:
    """Pins that a wire map speaks of are conditions of it, no place: "crossed on pins three and five"."""
    if not any(saying.quantity == "wire_map" for said in scene.states for saying, _ in said.readings):
        return []
    return [place for place in scene.places if place.kind is None and set(place.details) == {"pins"}]


def action_spot(done: Done, scene: Scene, focus: Focus, spot: Spot, talk: Talk) -> Spot:
    """Where an action was done: the place said behind it, else the thing itself, else where the talk is."""
    thing, behind = None, None
    for place in scene.places:
        if done.thing and done.thing[0] <= place.first < done.thing[1] and place.kind:
            thing = thing or place
        elif place.first >= (done.thing[1] if done.thing else done.last) and _at_it(place, scene, talk):
            behind = behind or place
    where = behind or thing
    return _plug_spot(done, behind, focus, spot, talk) or (focus.at(where) if where else spot)


def _at_it(place: Place, scene: Scene, talk: Talk) -> bool:
    """Whether the place is where a thing was taken from or put: "out of the jack", "on pair nine"."""
    before = talk.norms[max(scene.clause.first, place.first - 3) : place.first]
    return place.kind is None or not _WHERE.isdisjoint(before)


def _plug_spot(done: Done, behind: Place | None, focus: Focus, spot: Spot, talk: Talk) -> Spot | None:
    """The plug at the interface: pulling "the plug" parts the customer's side, unless another place is meant."""
    words = talk.norms[slice(*done.thing)] if done.thing else ()
    if done.action not in ("disconnect", "reconnect") or "plug" not in words or not focus.knows("demarc"):
        return None
    if (behind and behind.kind not in (None, "demarc")) or spot.kind in _HELD_BY_PLUG:
        return None
    details = {key: value for key, value in focus.at(Place(0, 0, "demarc")).details.items() if key == "line"}
    return Spot("demarc", details | {"side": "customer"})
