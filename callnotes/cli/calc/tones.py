"""Tones: what was heard by its frequencies, touch-tone digits, special information tones."""

from __future__ import annotations

from collections.abc import Sequence

from callnotes.calc import tones
from callnotes.calc.rounding import listed
from callnotes.cli.calc.answer import Answer, Figure
from callnotes.cli.calc.given import Given

_ALARMING = "receiver off hook"


def tone(given: Given) -> Answer:
    """``tone``: a name for the frequencies heard, or the plan's figures for a name."""
    hz, name = _frequencies(given.words("heard"))
    if name:
        return _planned(tones.tone(name))
    on_s, off_s = given.maybe("on"), given.maybe("off") or 0.0
    heard = tones.classify(hz, 1.0 if on_s is None else on_s, off_s)
    told: dict[str, Figure] = {"tone": Figure(heard)}
    if heard is not None:
        planned = _planned(tones.tone(heard))
        steady = "steady" if not off_s else f"{on_s:g} s on, {off_s:g} s off"
        used = (f"heard {_hz(hz)} Hz, {steady}; each within {tones.HEARD_PERCENT:g} %", *planned.used)
        return Answer(f"{heard} tone", told | planned.figures, used, planned.notes)
    key = tones.dtmf_key(min(hz), max(hz)) if len(hz) == 2 else None
    if key:
        return Answer(f"touch-tone digit {key}", {"tone": Figure("digit"), "digit": Figure(key)}, _plan_of(key))
    alike = dict.fromkeys(filter(None, (tones.classify(hz, *_of(known)) for known in tones.PLAN)))
    if alike:
        notes = ("The cadence tells them apart: add --on and --off.",) if on_s is None else ()
        return Answer(f"{_hz(hz)} Hz, but not in the cadence of {' or '.join(alike)}", told, (), notes)
    hum = "A warble or a hum has no published plan: describe it (two tones in turn; 60 Hz and its harmonics)."
    return Answer(f"{_hz(hz)} Hz is no tone of the plan", told, (), (hum,))


def digit(given: Given) -> Answer:
    """``digit``: the two frequencies of a key, or the key of two frequencies."""
    said = given.words("key")
    if len(said) == 1:
        key = said[0].upper()
        low, high = tones.dtmf_hz(key)
    else:
        hz, _ = _frequencies(said)
        if len(hz) != 2:
            raise ValueError("a digit is two frequencies, e.g. 852 1209, or one key")
        found = tones.dtmf_key(min(hz), max(hz))
        if found is None:
            return Answer(f"{_hz(hz)} Hz is no touch-tone digit", {"digit": Figure(None)}, _bands(min(hz), max(hz)))
        key, (low, high) = found, tones.dtmf_hz(found)
    told = {"digit": Figure(key), "low": Figure(low, "Hz"), "high": Figure(high, "Hz")}
    for name, one in (("low", low), ("high", high)):
        bands = tones.dtmf_bands(one)
        told |= {f"{name}_accept": Figure(bands.accept, "Hz"), f"{name}_reject": Figure(bands.reject_outside, "Hz")}
    return Answer(f"digit {key} is {low} and {high} Hz together", told, _bands(low, high))


def dialing(given: Given) -> Answer:
    """``dialing``: the least time in which so many digits may be sent."""
    count = given.count("digits")
    ms = tones.fastest_dialing_ms(count)
    used = (f"{tones.DIAL_ON_MS:g} ms on, {tones.DIAL_OFF_MS:g} ms off at least, {tones.DIAL_CYCLE_MS:g} ms a digit",)
    return Answer(f"{count} digits take at least {ms:g} ms", {"time": Figure(ms, "ms")}, used)


def sit(given: Given) -> Answer:
    """``sit``: a name for three tones in a row, or the figures of a name."""
    hz, name = _frequencies(given.words("heard"))
    if name:
        found = tones.information_tone(name)
        lengths = [f"{ms} ms" for ms in found.ms]
        used = (f"{_hz(found.hz)} Hz in a row, {listed(lengths)}",)
        told = {"name": Figure(found.name), "hz": Figure(found.hz, "Hz"), "ms": Figure(found.ms, "ms")}
        return Answer(f"{found.name}: {_hz(found.hz)} Hz, one after the other", told, used)
    lengths_ms = [one.value for one in given.measures("lasting")] or None
    names = tones.classify_information_tone(hz, lengths_ms)
    line = " or ".join(names) or f"{_hz(hz)} Hz in a row are no special information tone here"
    notes = ("The lengths decide between them: add --lasting 274ms 274ms 380ms.",) if len(names) > 1 else ()
    return Answer(line, {"names": Figure(names)}, (f"heard {_hz(hz)} Hz in a row",), notes)


def _planned(known: tones.Tone) -> Answer:
    ways = "in turn" if known.alternating else "together" if len(known.hz) > 1 else "alone"
    cadence = ", ".join(f"{on:g} s on, {off:g} s off" for on, off in dict.fromkeys(known.cadence)) or "steady"
    level = "" if known.level_dbm is None else f", {known.level_dbm:g} dBm a tone at the sender"
    then = "" if known.then == "repeats" or not known.cadence else f", then {known.then}"
    told = {
        "tone": Figure(known.name),
        "hz": Figure(known.hz, "Hz"),
        "cadence": Figure(cadence),
        "on": Figure(known.cadence[0][0] if known.cadence else None, "s"),
        "off": Figure(known.cadence[0][1] if known.cadence else None, "s"),
        "per_minute": Figure(known.per_minute),
        "level": Figure(known.level_dbm, "dBm"),
    }
    loud = ("Very loud: never hold a receiver to the ear on it.",) * (known.name == _ALARMING)
    other = [name for name, meant in tones.ALSO_CALLED.items() if meant == known.name]
    called = (f"also called {listed(other)}",) if other else ()
    used = (f"plan: {_hz(known.hz)} Hz {ways}, {cadence}{then}{level} ({known.source})", *called)
    return Answer(f"{known.name} tone is {_hz(known.hz)} Hz {ways}, {cadence}{then}", told, used, loud)


def _of(known: tones.Tone) -> tuple[float, float]:
    return known.cadence[0] if known.cadence else (1.0, 0.0)


def _plan_of(key: str) -> tuple[str, ...]:
    return _bands(*tones.dtmf_hz(key))


def _bands(low: float, high: float) -> tuple[str, ...]:
    told = []
    for hz in (low, high):
        band = tones.dtmf_bands(hz)
        kept, lost = band.accept, band.reject_outside
        told.append(
            f"{hz:g} Hz: taken from {kept[0]:.1f} to {kept[1]:.1f}, refused outside {lost[0]:.1f} to {lost[1]:.1f}"
        )
    return tuple(told)


def _frequencies(said: list[str]) -> tuple[list[float], str]:
    """The frequencies in Hz, or the words where they are none."""
    text = " ".join(said).replace(",", " ").replace("+", " ").lower()
    parts = text.replace("khz", " khz").replace("hz", " hz").replace("k hz", "khz").split()
    found: list[float] = []
    for part in parts:
        if part in ("hz", "and"):
            continue
        if part == "khz" and found:
            found[-1] *= 1000
            continue
        try:
            found.append(float(part))
        except ValueError:
            return [], text
    if not found or min(found) <= 0:
        raise ValueError("a frequency is more than 0 Hz")
    return found, ""


def _hz(hz: Sequence[float]) -> str:
    return " + ".join(f"{one:g}" for one in hz)


SUMS = {"tone": tone, "digit": digit, "sit": sit, "dialing": dialing}
