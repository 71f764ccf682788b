"""Sums of data cabling: limits and headroom of a cable test, crosstalk ratio, delay, skew, lengths."""

from __future__ import annotations

from callnotes.calc import cabling
from callnotes.calc.cabling import Category, Headroom, Model, Parameter
from callnotes.calc.rounding import about, exact
from callnotes.cli.calc.answer import Answer, Figure
from callnotes.cli.calc.given import Given


def cable_test(given: Given) -> Answer:
    """``cable-test``: the limit at a frequency, and the headroom of a reading."""
    parameter, model, mhz = _parameter(given), _model(given), given.number("at")
    if given.word("category") == "5":
        return _old(parameter, model, mhz)
    category: Category = "5e" if given.word("category") == "5e" else "6"
    most = "at most" if parameter == "insertion loss" else "at least"
    what = f"Cat{category} {model} {parameter} at {mhz:g} MHz"
    used = ("allow 0.1 dB: editions print some figures a tenth apart",)
    limit = cabling.limit(category, model, parameter, mhz)
    if not given.has("reading"):
        return Answer(f"{what}: {most} {limit:.1f} dB", {"limit": Figure(limit, "dB")}, used)
    found = cabling.headroom(category, model, parameter, mhz, given.number("reading"))
    line = f"{_told(found, 'dB')}: {what} must be {most} {found.limit:.1f} dB"
    notes = ["A tester must judge every frequency and pair: one point passes or fails nothing by itself."]
    if given.has("loss") and cabling.exempt(parameter, given.number("loss")):
        notes.append(f"With only {given.number('loss'):g} dB of loss there, {parameter} is not judged.")
    return Answer(line, _figures(found, "dB"), used, tuple(notes))


def acr(given: Given) -> Answer:
    """``acr``: crosstalk less loss."""
    near, loss = given.number("next"), given.number("loss")
    db = cabling.acr(near, loss)
    notes = ("At or under 0 dB the crosstalk is as strong as the signal.",) * (db <= 0)
    line = f"{exact(db, 1)} dB between signal and near-end crosstalk"
    return Answer(line, {"acr": Figure(db, "dB")}, (f"NEXT {near:g} dB, insertion loss {loss:g} dB",), notes)


def delay(given: Given) -> Answer:
    """``delay``: the most delay allowed, and the length that a delay tells."""
    model = _model(given)
    most = cabling.delay_limit(model, given.number("at"))
    told: dict[str, Figure] = {"limit": Figure(most, "ns")}
    used = (f"at most {about(most)} ns for a {model} at {given.number('at'):g} MHz",)
    if not given.has("delay"):
        return Answer(f"at most {about(most)} ns for a {model}", told, used)
    ns, part, there_and_back = given.number("delay"), given.number("nvp"), given.has("round-trip")
    part = part / 100 if part > 1 else part
    meters = cabling.length_from_delay(ns, part, round_trip=there_and_back)
    told["length"] = Figure(meters, "m")
    way = "there and back" if there_and_back else "one way"
    line = f"about {about(meters, 2)} m ({about(meters / 0.3048, 2)} ft)"
    notes = ("The velocity on the jacket is nominal: the pair's own may lie some percent off, and so the length.",)
    return Answer(line, told, (f"{ns:g} ns {way}, {part:g} of light's velocity", *used), notes)


def skew(given: Given) -> Answer:
    """``skew``: how far the pairs' delays lie apart."""
    model = _model(given)
    found = cabling.skew([one.value for one in given.measures("delays")], model)
    ns = found.limit - found.headroom
    line = f"{_told(found, 'ns')}: {exact(ns, 1)} ns of skew, at most {found.limit:g} in a {model}"
    return Answer(line, {"skew": Figure(ns, "ns"), **_figures(found, "ns")})


def channel(given: Given) -> Answer:
    """``channel``: lengths of cable and cords against 90 m and 100 m."""
    found = cabling.lengths(given.number("cable"), given.number("cords"))
    link = "within" if found.permanent_link_passes else "OVER"
    whole = "within" if found.channel_passes else "OVER"
    line = f"permanent link {link} 90 m, channel of {exact(found.channel_m)} m {whole} 100 m"
    told = {"link_passes": Figure(found.permanent_link_passes), "channel_passes": Figure(found.channel_passes)}
    return Answer(line, {**told, "channel": Figure(found.channel_m, "m")})


def dc_loop(given: Given) -> Answer:
    """``dc-loop``: resistance of a data pair, out and back, against the limit."""
    model = _model(given)
    found = cabling.dc_loop(given.number("reading"), model)
    line = f"{_told(found, 'ohm')}: a {model} has at most {found.limit:g} ohm out and back"
    return Answer(line, _figures(found, "ohm"))


def _old(parameter: Parameter, model: Model, mhz: float) -> Answer:
    if parameter == "return loss":
        raise ValueError("the old Cat5 table has insertion loss and NEXT only")
    found = cabling.tsb67(model, int(mhz) if mhz == int(mhz) else 0)
    line = f"Cat5 {model} at {mhz:g} MHz: loss at most {found.attenuation:g} dB, NEXT at least {found.next:g} dB"
    told = {"attenuation": Figure(found.attenuation, "dB"), "next": Figure(found.next, "dB")}
    return Answer(line, told)


def _parameter(given: Given) -> Parameter:
    names: dict[str, Parameter] = {"loss": "insertion loss", "next": "NEXT", "return-loss": "return loss"}
    return names[given.word("parameter")]


def _model(given: Given) -> Model:
    return "permanent link" if given.word("model") == "link" else "channel"


def _told(found: Headroom, unit: str) -> str:
    room = f"{exact(abs(found.headroom))} {unit}"
    return f"passes with {room} to spare" if found.passes else f"FAILS by {room}"


def _figures(found: Headroom, unit: str) -> dict[str, Figure]:
    room = {"limit": Figure(found.limit, unit), "headroom": Figure(found.headroom, unit)}
    return {**room, "passes": Figure(found.passes)}


SUMS = {
    "cable-test": cable_test,
    "acr": acr,
    "delay": delay,
    "skew": skew,
    "channel": channel,
    "dc-loop": dc_loop,
}
