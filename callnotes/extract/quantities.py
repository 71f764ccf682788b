"""What a measured number is a reading of: from its unit, the words around it, and the test in hand."""

from __future__ import annotations

from dataclasses import dataclass

from callnotes.extract.measures import Measure
from callnotes.extract.normal import norms
from callnotes.trade import Trade

_DB_FAMILY = {
    "loss", "balance", "margin", "snr_margin", "attenuation", "return_loss", "crosstalk", "optical_loss",
}  # fmt: skip
_TESTED = {"return_loss", "crosstalk", "margin"}
_OPTICAL = {"ont", "cable"}
_CABLED = {"cable", "patch_panel", "jack", "switch", "device"}
_CABLE_TESTS = {"length", "margin", "wire_map", "cable_test"}
_RATES = {"Mohm": "Mb/s", "kohm": "kb/s"}
_PLAIN = {"A": "loop_current", "F": "capacitance", "dBmV": "signal_level", "W": "poe_power", "Hz": "frequency"}


@dataclass(frozen=True)
class Around:
    """What surrounds a number: the words of its clause, its leads, the named quantity, the place, the last reading."""

    words: str
    leads: str | None
    named: str | None
    named_in_sentence: str | None
    kind: str | None
    heading: str | None
    modem: bool
    trade: Trade

    def says(self, name: str) -> bool:
        """Whether the clause holds one of the phrases of that set of ``measure_words``."""
        phrases = (" ".join(norms(phrase)) for phrase in self.trade.words["measure_words", name])
        return any(f" {phrase} " in f" {self.words} " for phrase in phrases)


def quantity_of(measure: Measure, around: Around) -> tuple[str, str, float] | None:
    """(quantity, unit symbol, confidence) of a number, or None where a listener could not tell."""
    if measure.unit is None:
        return _without_unit(measure, around)
    symbol, dimension = measure.unit.symbol, measure.unit.dimension
    if symbol in _RATES and (measure.way or around.says("rate")):
        return ("link_speed" if around.says("linked") else "sync_rate"), _RATES[symbol], 0.85
    named = around.trade.quantity(around.named)
    if named and symbol in named.units and dimension not in ("V", "ohm", "m", "dB"):
        return named.quantity, symbol, 0.92
    quantity = _by_dimension(dimension, symbol, around, measure.way)
    return (quantity, symbol, 0.9) if quantity else None


def _by_dimension(dimension: str, symbol: str, around: Around, way: str | None) -> str | None:
    if dimension == "V":
        return "ac_voltage" if around.says("ac") else "dc_voltage"
    if dimension == "ohm":
        return _resistance(symbol, around)
    if dimension == "dB":
        return _decibels(around)
    if dimension == "dBm":
        return "optical_power" if around.kind in _OPTICAL or around.says("light") else "signal_level"
    if dimension == "dBrnC":
        return "power_influence" if around.says("influence") else "noise"
    if dimension == "m":
        return _distance(around)
    if dimension == "b/s":
        return "sync_rate" if way or around.says("rate") else "link_speed"
    if dimension == "s":
        return ("skew" if around.says("skew") else "delay") if symbol in ("ns", "ms") else None
    return _PLAIN.get(dimension) or ("temperature" if dimension.startswith("deg") else None)


def _resistance(symbol: str, around: Around) -> str:
    if around.says("loop"):
        return "loop_resistance"
    if symbol in ("Mohm", "Gohm") or around.says("insulation"):
        return "insulation_resistance"
    return "resistance"


def _decibels(around: Around) -> str | None:
    if around.says("tests") and (around.says("headroom") or around.says("signed")):
        return "margin"
    if around.named == "margin" and around.modem:
        return "snr_margin"
    for named in (around.named, around.named_in_sentence, around.heading):
        if named in _DB_FAMILY:
            return named
    return "margin" if around.says("headroom") else None


def _distance(around: Around) -> str | None:
    if around.says("fault_way"):
        return "distance_to_fault"
    if around.says("length") or around.named == "length":
        return "length"
    return "length" if around.heading in _CABLE_TESTS and around.kind in _CABLED else None


def _without_unit(measure: Measure, around: Around) -> tuple[str, str, float] | None:
    """A bare number is a reading where its quantity was just named, where only its leads were, or "46 down"."""
    if measure.way and 0 < measure.value < 100_000:
        return "sync_rate", "Mb/s" if measure.value < 1000 else "kb/s", 0.7
    named = around.trade.quantity(around.named)
    if named and named.quantity in _TESTED and (around.says("headroom") or around.says("signed")):
        return "margin", "dB", 0.75
    if named and named.quantity == "margin" and around.modem:
        named = around.trade.quantity("snr_margin")
    if named and named.units:
        low, high = named.usual or (float("-inf"), float("inf"))
        if low <= abs(measure.value) <= high:
            return named.quantity, named.units[0], 0.8
    if around.leads is None:
        return None
    heading = around.trade.quantity(around.heading)
    if heading and heading.leads and heading.units:
        return heading.quantity, heading.units[0], 0.65
    if abs(measure.value) <= 60 and around.heading is None:
        return "dc_voltage", "V", 0.55
    return None
