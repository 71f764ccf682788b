"""Sums of the copper pair: resistance, distance to a short, what a gauge is, loss and reach."""

from __future__ import annotations

from callnotes.calc import cabling, copper, figures
from callnotes.calc.copper import Distance, Section, Table
from callnotes.calc.rounding import about, exact, feet, listed, signed
from callnotes.cli.calc.answer import Answer, Figure
from callnotes.cli.calc.given import Given

# Below this the test leads weigh as much as the pair: common practice, no published source.
LEADS_MATTER_OHM = 2.0


def gauge(given: Given) -> Answer:
    """``gauge``: diameter and resistance of a wire gauge."""
    awg, temp_c, _, at = _copper(given)
    size = copper.diameter(awg)
    one, loop = (
        copper.conductor_ohm_per_kft(awg, temp_c=temp_c),
        copper.loop_ohm_per_kft(awg, temp_c=temp_c),
    )
    quick = copper.textbook_loop_ohm_per_mile(round(size.inches, 4))
    used = [at, f"quick textbook figure: {about(quick)} ohm per mile of loop"]
    if awg in copper.TELEPHONE_LOOP_OHM_PER_KFT:
        twisted = copper.loop_ohm_per_kft(awg, temp_c=temp_c, table="telephone")
        used.append(f"telephone table, with the twist of a pair: {about(twisted)} ohm per kft of loop")
    line = f"{awg} AWG is {about(size.inches)} in ({about(size.mm)} mm): {about(loop)} ohm per 1,000 ft of loop"
    found = {
        "diameter_in": Figure(size.inches, "in"),
        "diameter_mm": Figure(size.mm, "mm"),
        "conductor": Figure(one, "ohm/kft"),
        "loop": Figure(loop, "ohm/kft"),
        "quick_loop": Figure(quick, "ohm/mi"),
    }
    return Answer(line, found, tuple(used), (f"One conductor by itself: {about(one)} ohm per 1,000 ft.",))


def loop(given: Given) -> Answer:
    """``loop``: resistance of a shorted cable pair, out and back, and how a reading compares."""
    sections = sections_of(given)
    temp_c, table, at = _temperature(given), _table(given), _at(given)
    ohm = copper.loop_resistance(sections, temp_c=temp_c, table=table)
    line = f"about {about(ohm)} ohm of loop for {_cable(sections)}"
    found: dict[str, Figure] = {"loop": Figure(ohm, "ohm")}
    notes = ["Bare wire and telephone tables differ by 1 to 2 percent: read no more than that into a difference."]
    if given.has("read"):
        gap = copper.deviation(given.number("read"), ohm)
        found |= {"off": Figure(gap.percent, "%"), "within": Figure(gap.within)}
        line += f"; the reading is {signed(gap.percent)} % off, {'within' if gap.within else 'outside'} 10 %"
        if not gap.within and gap.percent > 0:
            notes.append("Reads high: a bad joint, a longer or finer cable, or a warmer one.")
        elif not gap.within:
            notes.append("Reads low: shorted nearer than the end, a shorter or heavier cable, or a colder one.")
    return Answer(line, found, (*_rates(sections, temp_c, table), at), tuple(notes))


def short(given: Given) -> Answer:
    """``short``: feet to a short from the resistance tip to ring."""
    reading, leads = given.number("reading"), given.maybe("leads") or 0.0
    sections = sections_of(given, may_lack=True)
    temp_c, table = given.celsius(), _table(given)
    if sections:
        pair_ohm = figures.not_negative(reading - leads, "resistance less the leads")
        found = copper.distance_to_short_mixed(pair_ohm, sections, temp_c=temp_c, table=table)
    else:
        awg = _awg(given)
        found = copper.distance_to_short(reading, awg, temp_c=temp_c, table=table, leads_ohm=leads)
        sections = [Section(awg, 1000.0)]
    rates = _rates(sections, _temperature(given), table)
    notes = ["The spread covers both tables and the temperature, not the meter: add its own error."]
    if reading < LEADS_MATTER_OHM and not leads:
        notes.append(
            f"Under {LEADS_MATTER_OHM:g} ohm the test leads weigh as much as the pair: take them off by --leads."
        )
    line = feet(found.feet, found.low_ft, found.high_ft, to=" to the short")
    return Answer(line, distance_figures(found), (*rates, _at(given)), tuple(notes))


def unbalance(given: Given) -> Answer:
    """``unbalance``: how far the two conductors of a pair differ."""
    both = [one.value for one in given.measures("conductors")]
    if len(both) != 2:
        raise ValueError("it takes the readings of two conductors, e.g. 305 ohm 311 ohm")
    tip, ring = both
    gap, data = copper.dc_unbalance(tip, ring), cabling.pair_unbalance(tip, ring)
    line = f"{about(gap.ohm)} ohm apart, {about(gap.percent, 2)} % of the sum"
    verdict = "within" if data.passes else "outside"
    smaller = about(gap.percent_of_smaller, 2)
    notes = (
        f"By data cabling's limit (3 % of the sum or 0.20 ohm, whichever is greater) it is {verdict}.",
        f"Some telephone texts divide by the smaller conductor: {smaller} %. Name the one you give.",
    )
    found = {"apart": Figure(gap.ohm, "ohm"), "of_sum": Figure(gap.percent, "%"), "data_cabling": Figure(data.passes)}
    return Answer(line, found, (), notes)


def cable_loss(given: Given) -> Answer:
    """``cable-loss``: dB that a nonloaded pair loses near 1 kHz."""
    awg, kft = _awg(given), given.number("length")
    db, rate = copper.voice_loss(kft, awg), copper.voice_loss_db_per_kft(awg)
    line = f"about {exact(db, 1)} dB near 1 kHz over {about(kft)} kft of {awg} AWG, nonloaded"
    return Answer(line, {"loss": Figure(db, "dB")}, (f"{rate:g} dB per kft of {awg} AWG",))


def reach(given: Given) -> Answer:
    """``reach``: the longest pair for a most resistance or a most loss."""
    most, awg = given.measure("limit"), _awg(given)
    if most.unit == "dB":
        kft = copper.length_for_loss(most.value, awg)
        line = f"about {about(kft)} kft of {awg} AWG lose {most.value:g} dB near 1 kHz, nonloaded"
        return Answer(line, {"length": Figure(kft, "kft")}, (f"{copper.voice_loss_db_per_kft(awg):g} dB per kft",))
    temp_c, table = _temperature(given), _table(given)
    rate = copper.loop_ohm_per_kft(awg, temp_c=temp_c, table=table)
    long = copper.length_for_resistance(most.value, rate)
    line = f"{feet(long)} of {awg} AWG have {about(most.value)} ohm of loop"
    notes = ("Beyond 18,000 ft a voice loop needs load coils: resistance is not the only bound.",) * (long > 18_000)
    return Answer(
        line, {"length": Figure(long, "ft")}, (*_rates([Section(awg, 1.0)], temp_c, table), _at(given)), notes
    )


def distance_figures(found: Distance) -> dict[str, Figure]:
    """A distance by resistance as data."""
    spread = {"low": Figure(found.low_ft, "ft"), "high": Figure(found.high_ft, "ft")}
    return {"distance": Figure(found.feet, "ft"), **spread}


def sections_of(given: Given, *, may_lack: bool = False) -> list[Section]:
    """The cable: its sections, or one of ``--gauge`` and a length; empty where it may lack and no length was given."""
    sections = given.sections()
    if sections:
        return sections
    if given.has("length"):
        return [Section(_awg(given), given.number("length"))]
    if may_lack:
        return []
    raise ValueError("no cable was given: say its length and --gauge, or --section 26 6000ft")


def _awg(given: Given) -> int:
    if not given.has("gauge"):
        raise ValueError("the gauge is missing: add --gauge 24 (19, 22, 24 and 26 are usual)")
    return given.count("gauge")


def _copper(given: Given) -> tuple[int, float, Table, str]:
    return _awg(given), _temperature(given), _table(given), _at(given)


def _temperature(given: Given) -> float:
    temp_c = given.celsius()
    return copper.STANDARD_C if temp_c is None else temp_c


def _table(given: Given) -> Table:
    return "telephone" if given.has("table") and given.word("table") == "telephone" else "bare"


def _at(given: Given) -> str:
    temp_c = _temperature(given)
    degrees = f"{exact(figures.fahrenheit(temp_c), 0)} °F ({exact(temp_c, 0)} °C)"
    return f"cable at {degrees}" if given.has("temperature") else f"cable taken at {degrees}: none was given"


def _rates(sections: list[Section], temp_c: float, table: Table) -> tuple[str, ...]:
    names = {"bare": "bare copper", "telephone": "telephone table"}
    awgs = dict.fromkeys(part.awg for part in sections)
    rates = [f"{awg} AWG {about(copper.loop_ohm_per_kft(awg, temp_c=temp_c, table=table))}" for awg in awgs]
    return (f"ohm per kft of loop: {listed(rates)}, {names[table]}",)


def _cable(sections: list[Section]) -> str:
    return listed([f"{about(part.length_ft, 5)} ft of {part.awg} AWG" for part in sections])


SUMS = {
    "short": short,
    "loop": loop,
    "gauge": gauge,
    "unbalance": unbalance,
    "cable-loss": cable_loss,
    "reach": reach,
}
