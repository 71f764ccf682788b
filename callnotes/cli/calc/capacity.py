"""Sums by capacitance: distance to an open, one side open, lifted ground, and one pair's length two ways."""

from __future__ import annotations

from callnotes.calc import capacitance, lengths
from callnotes.calc.capacitance import OpenDistance
from callnotes.calc.rounding import about, exact, feet, spread
from callnotes.cli.calc.answer import Answer, Figure
from callnotes.cli.calc.copper import distance_figures
from callnotes.cli.calc.given import Given

_LONGER = {
    "resistance": "The resistance reads long: a bad joint in series, finer wire, or a warmer cable than said.",
    "capacitance": "The capacitance reads long: a bridged tap, a filter or set, water, or other cable than said.",
}


def open_(given: Given) -> Answer:
    """``open``: feet to an open from the capacitance."""
    nf_per_mile = _per_mile(given)
    found = capacitance.distance_to_open(given.number("reading"), nf_per_mile=nf_per_mile)
    line = feet(found.feet, found.low_ft, found.high_ft, to=" to the open")
    return Answer(line, _open_figures(found), _used(nf_per_mile, given.word("leads")), (_CONSTANT,))


def sides(given: Given) -> Answer:
    """``sides``: tip against ring, each to ground, and the shorter side's distance."""
    tip, ring = given.number("tip"), given.number("ring")
    nf_per_mile = given.number("per-mile")
    balance = capacitance.pair_balance(tip, ring)
    found = capacitance.distance_to_one_side_open(tip, ring, nf_per_mile=nf_per_mile)
    used, long = _used(nf_per_mile, "ground"), feet(found.feet, found.low_ft, found.high_ft)
    told = {"apart": Figure(balance.percent, "%"), "balanced": Figure(balance.balanced)}
    told |= {"use": Figure(balance.use_nf, "nF"), **_open_figures(found)}
    if balance.balanced:
        line = f"{exact(balance.percent, 1)} % apart, within 3 %: the sides are alike, {long}"
        return Answer(line, told, used, ("No side is open by this. A far end or an open of both reads the same.",))
    side = "tip" if tip < ring else "ring"
    line = f"{exact(balance.percent, 1)} % apart: the {side} is the shorter side, {long}"
    return Answer(line, told, used, ("Go by the shorter side; the longer footage is wrong.", _CONSTANT))


def capacity(given: Given) -> Answer:
    """``capacitance``: nF that a pair of some length holds."""
    nf_per_mile, long = given.number("per-mile"), given.number("length")
    nf, per_kft = capacitance.of_length(long, nf_per_mile=nf_per_mile), capacitance.per_kft(nf_per_mile)
    line = f"about {about(nf)} nF tip to ring over {about(long, 5)} ft"
    found = {"capacitance": Figure(nf, "nF"), "per_kft": Figure(per_kft, "nF/kft")}
    return Answer(line, found, (f"{about(nf_per_mile)} nF per mile = {about(per_kft, 4)} nF per kft",), (_CONSTANT,))


def network(given: Given) -> Answer:
    """``network``: the direct capacitances behind a mutual one and one to all else."""
    found = capacitance.three_terminal(given.number("mutual"), given.number("to-all"))
    line = f"{about(found.tip_ring)} nF tip to ring alone, {about(found.to_shield)} nF from each side to the shield"
    return Answer(line, {"tip_ring": Figure(found.tip_ring, "nF"), "to_shield": Figure(found.to_shield, "nF")})


def lift(given: Given) -> Answer:
    """``lift``: whether the ground was there, by the fall of a reading when its clip is lifted."""
    before, after = given.measures("readings")[0], given.measures("readings")[-1]
    if len(given.measures("readings")) != 2 or before.unit != after.unit:
        raise ValueError("it takes two readings of one kind, ground on and ground lifted, e.g. 3000 ft 1990 ft")
    drop, sound = capacitance.lifted_ground_drop(before.value, after.value), capacitance.lifted_ground_drop()
    line = (
        f"the reading falls by {about(drop, 2)} %; a sound pair with a good ground falls by about {about(sound, 2)} %"
    )
    notes = ("Hardly any fall: the ground was not there to begin with.",) * (drop < sound / 2)
    return Answer(line, {"fall": Figure(drop, "%"), "sound": Figure(sound, "%")}, ("125 and 83 nF per mile",), notes)


def length(given: Given) -> Answer:
    """``length``: one pair by resistance and by capacitance, and whether the two agree."""
    found = lengths.two_ways(
        given.number("loop"),
        given.number("capacitance"),
        given.count("gauge"),
        temp_c=given.celsius(),
        nf_per_mile=given.number("per-mile"),
    )
    ohm, nf = found.by_resistance, found.by_capacitance
    agree = "they agree" if found.longer is None else "they do NOT agree"
    by_ohm, by_nf = (spread(way.feet, way.low_ft, way.high_ft) for way in (ohm, nf))
    ways = f"about {by_ohm[0]} ft by resistance and {by_nf[0]} ft by capacitance"
    told = {f"resistance_{name}": one for name, one in distance_figures(ohm).items()}
    told |= {f"capacitance_{name}": one for name, one in _open_figures(nf).items()}
    told |= {"agree": Figure(found.longer is None), "reads_long": Figure(found.longer)}
    spreads = (
        f"by resistance {by_ohm[1]} to {by_ohm[2]} ft ({given.count('gauge')} AWG)",
        f"by capacitance {by_nf[1]} to {by_nf[2]} ft ({about(nf.nf_per_mile)} nF per mile)",
    )
    notes = ("The spreads meet; that is all that agreeing means here.",)
    if found.longer:
        apart = f"{abs(found.apart_percent):.0f} % {'longer' if found.longer == 'resistance' else 'shorter'}"
        notes = (f"By resistance it is {apart} than by capacitance. {_LONGER[found.longer]}",)
    return Answer(f"{ways}: {agree}", told, spreads, notes)


_CONSTANT = "An error in the cable's nF per mile is the same error in the footage: ask the cable type."


def _per_mile(given: Given) -> float:
    if given.has("per-mile"):
        return given.number("per-mile")
    return capacitance.GROUND_NF_PER_MILE if given.word("leads") == "ground" else capacitance.MUTUAL_NF_PER_MILE


def _used(nf_per_mile: float, leads: str) -> tuple[str, ...]:
    what = "one side to its mate and the shield" if leads == "ground" else "tip to ring"
    return (f"{about(nf_per_mile)} nF per mile, {what}, give or take 4 in 83",)


def _open_figures(found: OpenDistance) -> dict[str, Figure]:
    ends = {"low": Figure(found.low_ft, "ft"), "high": Figure(found.high_ft, "ft")}
    return {"distance": Figure(found.feet, "ft"), **ends}


SUMS = {
    "open": open_,
    "sides": sides,
    "length": length,
    "capacitance": capacity,
    "network": network,
    "lift": lift,
}
