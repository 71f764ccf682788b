"""Sums of the outside plant: load coils, bridged taps, and what DSL asks of a pair."""

from __future__ import annotations

from callnotes.calc import dsl, loading
from callnotes.calc.rounding import about, exact, feet, listed
from callnotes.cli.calc.answer import Answer, Figure
from callnotes.cli.calc.copper import sections_of
from callnotes.cli.calc.given import Given

KFT = 1000.0


def coils(given: Given) -> Answer:
    """``coils``: where the load coils of a loop stand, and the cut-off they give."""
    name, loop_ft = given.word("scheme"), given.number("length")
    kind, found = loading.scheme(name), loading.coil_positions(name, loop_ft)
    cutoff = loading.cutoff_hz(kind.coil_mh, kind.spacing_ft, nf_per_mile=given.number("per-mile"))
    places = [f"{place:,.0f}" for place in found.positions_ft]
    count = len(places)
    line = f"{count} coil{'s' * (count != 1)}" + (f" at {listed(places)} ft from the office" if places else "")
    told = {
        "coils": Figure(count),
        "positions": Figure(found.positions_ft, "ft"),
        "end_section": Figure(found.end_section_ft, "ft"),
        "cutoff": Figure(cutoff, "Hz"),
    }
    used = (f"{kind.coil_mh:g} mH every {kind.spacing_ft:,} ft, half of that from the office and kept at the end",)
    notes = (
        f"{exact(found.end_section_ft, 0)} ft are left after the last; the cut-off lies near {about(cutoff, 2)} Hz.",
        "A loaded pair carries no DSL: the coils must come off.",
    )
    return Answer(line, told, used, notes)


def tap(given: Given) -> Answer:
    """``tap``: the first notch of an open bridged tap, or the tap's length from its notch."""
    asked, part = given.measure("tap"), given.number("velocity")
    used = (f"velocity {part:g} of light's",)
    if asked.unit == "ft":
        khz = dsl.tap_notch_khz(asked.value, velocity=part)
        return Answer(f"first notch near {about(khz)} kHz", {"notch": Figure(khz, "kHz")}, used)
    long = dsl.tap_length_ft(asked.value, velocity=part)
    return Answer(f"{feet(long)} of open tap", {"length": Figure(long, "ft")}, used)


def serving_area(given: Given) -> Answer:
    """``serving-area``: whether a nonloaded loop is inside the carrier serving area."""
    sections = sections_of(given)
    by_gauge = {awg: sum(part.length_ft for part in sections if part.awg == awg) / KFT for awg in (26, 24)}
    if any(part.awg not in by_gauge for part in sections):
        raise ValueError("the rule speaks of 24 and 26 AWG only")
    taps, longest = given.number("taps"), given.maybe("longest-tap")
    found = dsl.serving_area(
        by_gauge[26], by_gauge[24], taps_kft=taps, longest_tap_kft=taps if longest is None else longest
    )
    where = "inside" if found.inside else "outside"
    line = f"{where} the carrier serving area: {about(found.total_kft)} of at most {about(found.limit_kft)} kft"
    told = {"inside": Figure(found.inside), "total": Figure(found.total_kft, "kft")}
    told |= {"limit": Figure(found.limit_kft, "kft")}
    return Answer(line, told, (f"taps {about(taps)} kft (at most 2.5 together, 2 in one)",))


def dsl_(given: Given) -> Answer:
    """``dsl``: length from the modem's attenuation, and the words that websites give to attenuation and margin."""
    attenuation = given.number("attenuation")
    km, word = dsl.length_from_attenuation(attenuation), dsl.attenuation_word(attenuation)
    told = {"length": Figure(km, "km"), "attenuation_word": Figure(word)}
    words = f'Websites call this attenuation "{word}"'
    if given.has("margin"):
        margin = dsl.margin_word(given.number("margin"))
        told["margin_word"] = Figure(margin)
        words += f' and the margin "{margin}"'
    notes = (f"{words}: words to know when a customer quotes them, nothing to judge a line by.",)
    line = f"about {about(km, 2)} km ({about(km / 0.3048, 2)} kft) of 26 AWG, an estimate"
    return Answer(line, told, (f"{dsl.ATTENUATION_DB_PER_KM:g} dB per km of 26 AWG",), notes)


SUMS = {"coils": coils, "tap": tap, "serving-area": serving_area, "dsl": dsl_}
