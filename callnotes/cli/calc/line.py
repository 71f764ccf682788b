"""Sums of the analog line: current, ringing, ringers, insulation, noise, loss and level."""

from __future__ import annotations

from callnotes.calc import copper, fiber, loop, noise
from callnotes.calc.rounding import about, exact, scaled
from callnotes.cli.calc.answer import Answer, Figure
from callnotes.cli.calc.copper import sections_of
from callnotes.cli.calc.given import Given

# Least current of South Carolina and Illinois (read): under it a set may not work.
LEAST_MA = 20.0
# South Carolina's balance and circuit noise (read). A quiet line can fall under that balance and be in order.
ASKED_BALANCE_DB, QUIET_DBRNC = 60.0, 20.0
# Good power influence by trade bands, from memory (medium): for a hint, never for a verdict.
HIGH_INFLUENCE_DBRNC = 80.0


def current(given: Given) -> Answer:
    """``current``: expected off-hook current, or the most loop that still gives a wanted current."""
    volts, feed, set_ohm = given.number("volts"), given.number("feed"), given.number("set")
    used = (f"battery {volts:g} V, feed {feed:g} ohm, set {set_ohm:g} ohm",)
    powered = {"battery_v": volts, "feed_ohm": feed, "set_ohm": set_ohm}
    if given.has("loop") and given.measure("loop").unit == "mA":
        wanted = given.number("loop")
        most = loop.loop_for_current(wanted, **powered)
        line = f"at most {about(most, 4)} ohm of loop give {wanted:g} mA"
        return Answer(line, {"loop": Figure(most, "ohm")}, used)
    ohm = given.number("loop") if given.has("loop") else copper.loop_resistance(sections_of(given))
    ma = loop.loop_current(ohm, **powered)
    notes = (f"Under {LEAST_MA:g} mA a set may not work.",) * (ma < LEAST_MA)
    line = f"about {about(ma, 2)} mA off hook over {about(ohm)} ohm of loop"
    return Answer(line, {"current": Figure(ma, "mA"), "loop": Figure(ohm, "ohm")}, used, notes)


def ringing(given: Given) -> Answer:
    """``ringing``: the highest volts to ground while a line rings."""
    ring, battery = given.number("ringing"), given.number("battery")
    peak = loop.ringing_peak(ringing_v=ring, battery_v=battery)
    line = f"up to about {about(peak)} V peak to ground while it rings"
    return Answer(line, {"peak": Figure(peak, "V")}, (f"{ring:g} V rms of ringing on {battery:g} V of battery",))


def ren(given: Given) -> Answer:
    """``ren``: ringers added up, their ringing current and their load."""
    total = loop.ren_sum([one.value for one in given.measures("rens")])
    one_ohm, ma = loop.ren_load(), loop.ringing_current(total.total)
    line = f"{exact(total.total)} REN, {'within' if total.within else 'OVER'} the usual {loop.REN_LIMIT:g}"
    told = {"sum": Figure(total.total, "REN"), "within": Figure(total.within)}
    told |= {"current": Figure(ma, "mA"), "one_ren": Figure(one_ohm, "ohm")}
    load = f"about {about(one_ohm / total.total, 2)} ohm" if total.total else "no load"
    used = (
        f"together {load} at {loop.RINGING_HZ:g} Hz, about {about(ma, 2)} mA at {loop.RINGING_V:g} V rms",
        f"one REN is {loop.REN_OHM:,.0f} ohm and {loop.REN_UF:g} uF in series, about {about(one_ohm, 1)} ohm",
    )
    return Answer(line, told, used, ("Adapters and gateways often ring fewer than 5: see the maker's figure.",))


def leakage(given: Given) -> Answer:
    """``leakage``: mA that leak through an insulation resistance."""
    volts, ohm = given.number("volts"), given.number("resistance")
    ma = loop.leakage(volts, ohm)
    line = f"{scaled(ma / 1000, 'A')} leak at {volts:g} V through {about(ohm)} ohm"
    return Answer(line, {"current": Figure(ma, "mA"), "current_ua": Figure(1000 * ma, "uA")})


def insulation(given: Given) -> Answer:
    """``insulation``: a reading brought to one mile, and the least reading that new cable of that length must show."""
    long, floor = given.number("length"), given.number("floor")
    least = loop.least_reading(long / 5280, floor_mohm_mile=floor)
    told = {"least_reading": Figure(least, "Mohm")}
    used = (f"floor {about(floor)} Mohm-mile for new cable",)
    if not given.has("reading"):
        return Answer(f"at least {about(least)} Mohm must show on new cable of {about(long, 5)} ft", told, used)
    found = loop.megohm_miles(given.number("reading"), long)
    told["insulation"] = Figure(found, "Mohm-mile")
    line = f"about {about(found)} Mohm-mile; new cable of this length must show {about(least)} Mohm"
    return Answer(line, told, used)


def balance(given: Given) -> Answer:
    """``balance``: power influence less circuit noise."""
    influence, heard = given.number("influence"), given.number("noise")
    db = noise.balance(influence, heard)
    line = f"{exact(db, 1)} dB of balance"
    notes = []
    if db <= ASKED_BALANCE_DB and heard < QUIET_DBRNC:
        notes.append("The line is quiet: with so little influence a low balance shows nothing wrong by itself.")
    elif db <= ASKED_BALANCE_DB:
        notes.append(
            "Low balance (common practice): look for series resistance, a one-sided leak, a split, an unequal tap."
        )
    elif influence > HIGH_INFLUENCE_DBRNC:
        notes.append(
            "High influence and good balance (common practice): look at shield bonds and grounds, or power nearby."
        )
    used = (f"influence {exact(influence, 1)} dBrnC, noise {exact(heard, 1)} dBrnC, the same weighting in both",)
    return Answer(line, {"balance": Figure(db, "dB")}, used, tuple(notes))


def loss(given: Given) -> Answer:
    """``loss``: dB between a level sent and a level received."""
    sent, received = given.number("sent"), given.number("received")
    db = noise.loss(sent, received)
    notes = ("More came than was sent: one of the levels, or the impedance, is wrong.",) * (db < 0)
    return Answer(
        f"{exact(db, 1)} dB lost", {"loss": Figure(db, "dB")}, (f"{sent:g} dBm sent, {received:g} dBm received",), notes
    )


def level(given: Given) -> Answer:
    """``level``: one level as dBm, dBrn, volts and milliwatts."""
    asked, across = given.measure("level"), given.number("across")
    dbm = {
        "dBm": lambda value: value,
        "dBrnC": noise.dbm,
        "V": lambda value: noise.level_dbm(value, ohm=across),
        "mW": fiber.dbm,
    }[asked.unit](asked.value)
    told = {
        "dbm": Figure(dbm, "dBm"),
        "dbrn": Figure(noise.dbrn(dbm), "dBrn"),
        "volts": Figure(noise.level_volts(dbm, ohm=across), "V"),
        "milliwatts": Figure(fiber.milliwatts(dbm), "mW"),
    }
    volts, watts = noise.level_volts(dbm, ohm=across), fiber.milliwatts(dbm) / 1000
    ways = [f"{exact(dbm)} dBm", f"{exact(noise.dbrn(dbm))} dBrn", scaled(watts, "W", 4)]
    line = f"{' = '.join(ways)} = {scaled(volts, 'V', 4)} rms in {across:g} ohm"
    return Answer(line, told, (), ("dBrnC needs a C-message filter in the meter: no sum puts that weighting in.",))


SUMS = {
    "current": current,
    "ringing": ringing,
    "ren": ren,
    "leakage": leakage,
    "insulation": insulation,
    "balance": balance,
    "loss": loss,
    "level": level,
}
