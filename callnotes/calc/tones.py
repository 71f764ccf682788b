"""Tones: touch-tone digits, the call-progress plan, special information tones, and a name for what was heard.

Safety: never hold a receiver to the ear on a line that sends the receiver-off-hook tone; it is very loud.

The tracing warble and hum on a line have no published plan: describe them (two alternating tones; 50 or 60 Hz and
harmonics), do not look them up here. The plan is the North American one. Levels are those of the sender and
decide nothing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from callnotes.calc.figures import not_negative, positive, whole

Then = Literal["repeats", "steady", "ends"]

# ITU-T Q.23 matrix, as in two public telephony sources (asterisk main/dsp.c, spandsp src/dtmf.c, read).
DTMF_ROWS_HZ = (697, 770, 852, 941)
DTMF_COLUMNS_HZ = (1209, 1336, 1477, 1633)
DTMF_KEYS = ("123A", "456B", "789C", "*0#D")
# AT&T column of ITU-T Q.24 as restated in the same two sources (read).
DTMF_ACCEPT_PERCENT, DTMF_REJECT_PERCENT = 1.5, 3.5
# T1.401-1988 as cited in a public listing, and a modem support page (read): least on, off, and cycle of a sender.
DIAL_ON_MS, DIAL_OFF_MS, DIAL_CYCLE_MS = 50.0, 45.0, 100.0
# Senders hold 0.5 percent (from memory, medium); what a recording shows is taken within 1.5 percent (own allowance).
HEARD_PERCENT = 1.5
# Plans of 0.3/0.2 and 0.24/0.26 s exist for reorder, so a cadence is told by its period, within this ratio (own).
PERIOD_RATIO = 1.3


@dataclass(frozen=True, slots=True)
class Tone:
    """A tone of the plan.

    ``hz`` sound together unless ``alternating``; ``cadence`` is (on, off) in seconds, empty for a steady tone;
    ``then`` says what follows the cadence. ``level_dbm`` is per tone at the sender, None where none was read.
    """

    name: str
    hz: tuple[float, ...]
    cadence: tuple[tuple[float, float], ...]
    level_dbm: float | None
    source: str
    then: Then = "repeats"
    alternating: bool = False

    @property
    def per_minute(self) -> float | None:
        """Interruptions per minute, e.g. busy 60, reorder 120; None for a steady tone."""
        return 60 / sum(self.cadence[0]) if self.cadence else None


@dataclass(frozen=True, slots=True)
class Bands:
    """Hz from and to that a receiver accepts, and outside of which it rejects."""

    accept: tuple[float, float]
    reject_outside: tuple[float, float]


@dataclass(frozen=True, slots=True)
class InformationTone:
    """A special information tone of the North American form: three tones in a row, Hz and nominal ms of each."""

    name: str
    code: str
    hz: tuple[float, float, float]
    ms: tuple[int, int, int]


_BOTH = "asterisk indications.conf.sample [us] and spandsp global-tones.xml, read"
_CADENCE_PLAN = "asterisk indications.conf.sample [us], read"
_LEVEL_PLAN = "spandsp global-tones.xml, read"

PLAN = (
    Tone("dial", (350, 440), (), -13, _BOTH, then="steady"),
    Tone("recall dial", (350, 440), ((0.1, 0.1),) * 3, -13, _BOTH, then="steady"),
    # 6 bursts in one source, 3 or 10 in another: any train of bursts and then steady dial tone counts.
    Tone("stutter dial", (350, 440), ((0.1, 0.1),) * 6, -13, _CADENCE_PLAN, then="steady"),
    Tone("confirmation", (350, 440), ((0.1, 0.1), (0.3, 0.0)), -13, _LEVEL_PLAN, then="ends"),
    Tone("busy", (480, 620), ((0.5, 0.5),), -24, _BOTH),
    Tone("reorder", (480, 620), ((0.25, 0.25),), -24, _BOTH),
    Tone("audible ringing", (440, 480), ((2.0, 4.0),), -19, _BOTH),
    Tone("pbx ringing", (440, 480), ((1.0, 3.0),), -16, _BOTH),
    # A table drawn from ITU lists has 480 + 620 instead; 440 is used.
    Tone("call waiting", (440,), ((0.3, 10.0),), -13, _CADENCE_PLAN),
    Tone("receiver off hook", (1400, 2060, 2450, 2600), ((0.1, 0.1),), None, "ten public source files, read"),
    Tone("recording warning", (1400,), ((0.5, 15.0),), -13, _BOTH),
    Tone("pbx intercept", (440, 620), ((0.25, 0.25),), -13, _LEVEL_PLAN, alternating=True),
    Tone("milliwatt", (1004,), (), 0, "a tone generator's listing, read; level from memory, high", then="steady"),
)
ALSO_CALLED = {
    "dial tone": "dial",
    "message waiting": "stutter dial",
    "busy tone": "busy",
    "fast busy": "reorder",
    "congestion": "reorder",
    "ringback": "audible ringing",
    "ringing tone": "audible ringing",
    "howler": "receiver off hook",
    "off-hook warning": "receiver off hook",
    "test tone": "milliwatt",
}

# North American special information tones: a TELECOM message of 1985, w4zt.com, a tone generator's source (read).
SIT_LOW_HZ, SIT_HIGH_HZ, SIT_THIRD_HZ = (913.8, 1370.6), (985.2, 1428.5), 1776.7
# Short is 274 ms in two sources, 276 in one.
SIT_SHORT_MS, SIT_LONG_MS = 274, 380
SIT_SHORT_RANGE_MS, SIT_LONG_RANGE_MS = (260.0, 290.0), (361.0, 399.0)
# The international form, ITU-T E.180 (encyclopedia copies, read), each within 50 Hz.
SIT_INTERNATIONAL_HZ, SIT_INTERNATIONAL_WITHIN_HZ = (950.0, 1400.0, 1800.0), 50.0
SIT_UNNAMED = "special information tone"


def _sit(name: str, code: str, lengths: str, pitches: str) -> InformationTone:
    first, second = (SIT_HIGH_HZ[i] if pitches[i] == "h" else SIT_LOW_HZ[i] for i in (0, 1))
    a, b, c = (SIT_SHORT_MS if length == "s" else SIT_LONG_MS for length in lengths)
    return InformationTone(name, code, (first, second, SIT_THIRD_HZ), (a, b, c))


SIT = (
    _sit("intercept (IC)", "IC", "ssl", "ll"),
    _sit("vacant code (VC)", "VC", "lsl", "hl"),
    _sit("reorder (RO1, local)", "RO1", "sll", "lh"),
    _sit("reorder (RO2, distant)", "RO2", "sll", "hl"),
    _sit("no circuit (NC1, local)", "NC1", "lll", "hh"),
    _sit("no circuit (NC2, distant)", "NC2", "lll", "ll"),
    _sit("ineffective or other (IO)", "IO", "lsl", "lh"),
)


def dtmf_hz(key: str) -> tuple[int, int]:
    """Row and column Hz of a key, e.g. ``7`` -> 852 and 1209. ``ValueError`` for what is no key."""
    for row, keys in zip(DTMF_ROWS_HZ, DTMF_KEYS, strict=True):
        if len(key) == 1 and key.upper() in keys:
            return row, DTMF_COLUMNS_HZ[keys.index(key.upper())]
    raise ValueError(f"no touch-tone key {key!r}; there are 0 to 9, A to D, * and #")


def dtmf_key(low_hz: float, high_hz: float) -> str | None:
    """The key of two frequencies, each within 1.5 percent; None where they make none."""
    row = next((i for i, hz in enumerate(DTMF_ROWS_HZ) if _near(low_hz, hz, DTMF_ACCEPT_PERCENT)), None)
    column = next((i for i, hz in enumerate(DTMF_COLUMNS_HZ) if _near(high_hz, hz, DTMF_ACCEPT_PERCENT)), None)
    return None if row is None or column is None else DTMF_KEYS[row][column]


def dtmf_bands(hz: float) -> Bands:
    """Hz accepted and rejected around a tone, e.g. 697 -> accept 686.5 to 707.5, reject outside 672.6 to 721.4."""
    positive(hz, "frequency")
    accept, reject = DTMF_ACCEPT_PERCENT / 100, DTMF_REJECT_PERCENT / 100
    return Bands((hz * (1 - accept), hz * (1 + accept)), (hz * (1 - reject), hz * (1 + reject)))


def fastest_dialing_ms(digits: int) -> float:
    """Least ms in which a sender may send so many digits, e.g. 7 -> 650."""
    return (whole(digits, "number of digits", 1, 1000) - 1) * DIAL_CYCLE_MS + DIAL_ON_MS


def tone(name: str) -> Tone:
    """The tone of a name, e.g. ``busy``, ``howler``. ``ValueError`` lists the plan's names for an unknown one."""
    wanted = " ".join(name.lower().split())
    wanted = ALSO_CALLED.get(wanted, wanted)
    for known in PLAN:
        if known.name == wanted:
            return known
    raise ValueError(f"no tone {name!r} in the plan; there are {', '.join(known.name for known in PLAN)}")


def information_tone(name: str) -> InformationTone:
    """The special information tone of a code or of the word before it, e.g. ``IC`` or ``intercept``.

    ``ValueError`` for an unknown name; *reorder* and *no circuit* need their code, since there are two of each.
    """
    wanted = name.strip().lower()
    found = [sit for sit in SIT if wanted in (sit.code.lower(), sit.name.lower(), sit.name.split(" (")[0].lower())]
    if len(found) != 1:
        raise ValueError(f"{name!r} names no single information tone; the codes are {', '.join(s.code for s in SIT)}")
    return found[0]


def classify(hz: Sequence[float], on_s: float, off_s: float = 0.0) -> str | None:
    """Name of the call-progress tone heard, e.g. 480 + 620 Hz, 0.26 on, 0.24 off -> ``reorder``; None where none fits.

    ``off_s`` 0 is a steady tone. Each frequency counts within 1.5 percent; among tones of the same frequencies the
    one of the nearest period is taken. Bursts of dial tone are ``stutter dial``: one burst tells no more than that.
    """
    positive(on_s, "time on")
    steady = not_negative(off_s, "time off") == 0
    alike = [known for known in PLAN if _same_hz(hz, known.hz) and steady == (not known.cadence)]
    if steady:
        return alike[0].name if alike else None
    if alike and alike[0].hz == tone("dial").hz:
        return tone("stutter dial").name
    ratios = {known.name: _ratio(on_s + off_s, sum(known.cadence[0])) for known in alike}
    nearest = min(ratios, key=lambda name: ratios[name], default=None)
    return nearest if nearest is not None and ratios[nearest] <= PERIOD_RATIO else None


def classify_information_tone(hz: Sequence[float], ms: Sequence[float] | None = None) -> tuple[str, ...]:
    """Names that three tones in a row may have, e.g. 985.2, 1428.5, 1776.7 Hz -> ``no circuit (NC1, local)`` alone.

    Order and frequency find them; the lengths in ms only narrow the names where they fit any. Tones of the
    international form that fit no North American name give ``special information tone``; others give no name.
    """
    if len(hz) != 3 or (ms is not None and len(ms) != 3):
        raise ValueError("a special information tone is three tones in a row")
    alike = [
        sit
        for sit in SIT
        if all(_near(heard, nominal, HEARD_PERCENT) for heard, nominal in zip(hz, sit.hz, strict=True))
    ]
    timed = [sit for sit in alike if ms is not None and _same_lengths(ms, sit.ms)]
    if alike:
        return tuple(sit.name for sit in timed or alike)
    pairs = zip(hz, SIT_INTERNATIONAL_HZ, strict=True)
    return (SIT_UNNAMED,) if all(abs(a - b) <= SIT_INTERNATIONAL_WITHIN_HZ for a, b in pairs) else ()


def _near(heard_hz: float, nominal_hz: float, percent: float) -> bool:
    return abs(heard_hz - nominal_hz) <= nominal_hz * percent / 100


def _same_hz(heard: Sequence[float], nominal: Sequence[float]) -> bool:
    return len(heard) == len(nominal) and all(
        _near(a, b, HEARD_PERCENT) for a, b in zip(sorted(heard), sorted(nominal), strict=True)
    )


def _ratio(a: float, b: float) -> float:
    return math.exp(abs(math.log(a / b)))


def _same_lengths(heard_ms: Sequence[float], nominal_ms: Sequence[int]) -> bool:
    ranges = (SIT_SHORT_RANGE_MS if ms == SIT_SHORT_MS else SIT_LONG_RANGE_MS for ms in nominal_ms)
    return all(low <= ms <= high for ms, (low, high) in zip(heard_ms, ranges, strict=True))
