"""Power over Ethernet and light: what arrives at a device, classes, optical budgets."""

from __future__ import annotations

from callnotes.calc import fiber, poe
from callnotes.calc.fiber import Basis, Kind
from callnotes.calc.poe import Supply
from callnotes.calc.rounding import about, exact
from callnotes.cli.calc.answer import Answer, Figure
from callnotes.cli.calc.given import Given


def powered(given: Given) -> Answer:
    """``poe``: what arrives at a device that takes so many watts, and the class it needs."""
    watts, volts = given.number("device"), given.number("volts")
    number = poe.class_for(watts)
    four_pairs = number > _LAST_CLASS_OF_TYPE[1]
    ohm = _channel_ohm(given, four_pairs=four_pairs)
    found = poe.supply_for_load(volts, watts, ohm)
    kind = next(kind for kind, last in enumerate(_LAST_CLASS_OF_TYPE, 1) if number <= last)
    enough = poe.enough_at_device(found.device_v, kind)
    told = {**_figures(found), "class": Figure(number), "enough": Figure(enough)}
    line = f"about {exact(found.device_v, 1)} V at a device that takes {watts:g} W; it needs class {number}"
    least = poe.power_type(kind).device_v
    notes = [f"Type {kind} promises a device {least:g} V at least: {'enough' if enough else 'NOT enough'}."]
    if four_pairs:
        notes.append(
            "Over 25.5 W all four pairs carry power: half the ohms of two, by length; --ohm is taken as given."
        )
    return Answer(line, told, (_over(volts, ohm), _lost(found)), tuple(notes))


def poe_current(given: Given) -> Answer:
    """``poe-current``: what arrives at a known current."""
    volts, amps, ohm = given.number("volts"), given.number("current"), _channel_ohm(given)
    found = poe.supply(volts, amps, ohm)
    line = f"{exact(found.device_v, 1)} V and {exact(found.device_w, 1)} W arrive of {exact(found.source_w, 1)} W sent"
    return Answer(line, _figures(found), (_over(volts, ohm), _lost(found)))


def poe_class(given: Given) -> Answer:
    """``poe-class``: the watts of a class, or the class that a device needs."""
    asked = given.measure("class")
    number = poe.class_for(asked.value) if asked.unit == "W" else given.count("class")
    found = poe.power_class(number)
    line = f"class {number}: {found.source_w:g} W from the source, up to {found.device_w:g} W at the device"
    told = {"class": Figure(number), "source": Figure(found.source_w, "W"), "device": Figure(found.device_w, "W")}
    return Answer(line, told)


def poe_read(given: Given) -> Answer:
    """``poe-read``: whether a voltage read at a device under load is enough for its type."""
    volts, number = given.number("reading"), given.count("type")
    enough, least = poe.enough_at_device(volts, number), poe.power_type(number).device_v
    line = f"{'passes' if enough else 'FAILS'}: {volts:g} V at the device, type {number} promises {least:g} V"
    told = {"passes": Figure(enough), "least": Figure(least, "V")}
    return Answer(line, told, (), ("Read it under load: without a load a bad pair shows the full voltage.",))


def optical(given: Given) -> Answer:
    """``optical``: the most that a link may lose, and what it mostly loses."""
    kind, km = _kind(given.word("fiber")), given.number("length")
    counts = {"connections": given.count("connections"), "splices": given.count("splices")}
    most, usual = (fiber.budget(kind, km, **counts, basis=basis) for basis in _BASES)
    told = {"most": Figure(most, "dB"), "typical": Figure(usual, "dB")}
    line = f"at most {exact(most)} dB; typical is about {exact(usual, 1)} dB"
    if given.has("read"):
        read = given.number("read")
        told |= {"headroom": Figure(most - read, "dB"), "passes": Figure(read <= most)}
        line = f"{'passes' if read <= most else 'FAILS'}: {exact(read)} dB read, {line}"
    rates = [_rates(fiber.MAXIMUM[kind], "at most"), _rates(fiber.TYPICAL[kind], "typical")]
    notes = ("More than typical deserves a look; only more than the most fails.",)
    return Answer(line, told, (f"{kind}, {about(km, 4)} km, {_counted(counts)}", *rates), notes)


def optical_margin(given: Given) -> Answer:
    """``optical-margin``: light left over at the receiver."""
    sent, needed, lost = given.number("sent"), given.number("needed"), given.number("loss")
    db = fiber.power_margin(sent, needed, lost)
    line = f"{exact(db, 1)} dB to spare" if db >= 0 else f"{exact(-db, 1)} dB too little light"
    used = (f"{sent:g} dBm sent, {needed:g} dBm needed, {lost:g} dB lost",)
    notes = ("Check the receiver's most, too: a short link can send too much light.",)
    return Answer(line, {"margin": Figure(db, "dB")}, used, notes)


def strand(given: Given) -> Answer:
    """``fiber``: color of a fiber in its tube."""
    number = given.count("fiber")
    name = fiber.color(number)
    return Answer(f"fiber {number} of a tube is {name}", {"color": Figure(name)}, (" ".join(fiber.COLORS),))


# Classes 1 to 3 are type 1, class 4 type 2, 5 and 6 type 3, 7 and 8 type 4 (IEEE 802.3, from memory, high).
_LAST_CLASS_OF_TYPE = (3, 4, 6, 8)
_BASES: tuple[Basis, Basis] = ("maximum", "typical")


def _kind(name: str) -> Kind:
    return next(kind for kind in fiber.MAXIMUM if kind == name)


def _channel_ohm(given: Given, *, four_pairs: bool = False) -> float:
    if given.has("ohm"):
        return given.number("ohm")
    if given.has("length"):
        return poe.channel_ohm(given.number("length")) / (2 if four_pairs else 1)
    raise ValueError("how long is the cable? say its length (60 m) or its resistance (--ohm 7.5 ohm)")


def _over(volts: float, ohm: float) -> str:
    by_length = f"by length {poe.OHM_PER_100_M:g} ohm per 100 m of two pairs"
    return f"{volts:g} V at the source, {about(ohm)} ohm of channel ({by_length})"


def _lost(found: Supply) -> str:
    lost = found.source_w - found.device_w
    return f"{about(found.current_a)} A; {exact(found.source_w, 1)} W sent, {exact(lost, 1)} W warm the cable"


def _figures(found: Supply) -> dict[str, Figure]:
    return {
        "source": Figure(found.source_w, "W"),
        "device_v": Figure(found.device_v, "V"),
        "device": Figure(found.device_w, "W"),
        "current": Figure(found.current_a, "A"),
    }


def _rates(losses: fiber.Losses, name: str) -> str:
    per = (
        f"{losses.db_per_km:g} dB per km, {losses.db_per_connection:g} a connection, {losses.db_per_splice:g} a splice"
    )
    return f"{name}: {per}"


def _counted(counts: dict[str, int]) -> str:
    return f"{counts['connections']} connections, {counts['splices']} splices"


SUMS = {
    "poe": powered,
    "poe-class": poe_class,
    "poe-read": poe_read,
    "poe-current": poe_current,
    "optical": optical,
    "optical-margin": optical_margin,
    "fiber": strand,
}
