"""DSL on a copper pair: length from attenuation, the notch of a bridged tap, the carrier serving area.

The words that websites give to margins and attenuations (fair, good, ...) judge nothing: no standard stands behind
them, and a line held at a 6 dB target margin is in order. They are here because customers quote them.
"""

from __future__ import annotations

from dataclasses import dataclass

from callnotes.calc.figures import LIGHT_M_PER_S, METERS_PER_FOOT, finite, not_negative, positive

ATTENUATION_DB_PER_KM = 13.81  # 26 AWG, speedguide.net (read); common practice, no standard behind it
VELOCITY = 0.65  # part of light's on a pair, from memory (high)
# Carrier serving area, from memory (medium), kft.
AREA_24_KFT, AREA_26_KFT = 12.0, 9.0
TAPS_KFT, SINGLE_TAP_KFT = 2.5, 2.0
# Words of public websites (read alike at five, common practice): from this margin up; up to this attenuation. Their
# bands leave gaps (6 to 7, 10 to 11, 28 to 29 dB), closed here as one of the sites closes them.
MARGIN_WORDS = ((29.0, "outstanding"), (20.0, "excellent"), (11.0, "good"), (7.0, "fair"))
ATTENUATION_WORDS = ((20.0, "outstanding"), (30.0, "excellent"), (40.0, "very good"), (50.0, "good"))


@dataclass(frozen=True, slots=True)
class ServingArea:
    """Most kft that the rule allows, the kft that count (taps included), and whether the loop is inside."""

    limit_kft: float
    total_kft: float
    inside: bool


def length_from_attenuation(db: float, *, db_per_km: float = ATTENUATION_DB_PER_KM) -> float:
    """km of 26 AWG from the modem's attenuation, e.g. 41.4 dB -> 3.0. An estimate, never a verdict."""
    return not_negative(db, "attenuation") / positive(db_per_km, "attenuation per km")


def margin_word(db: float) -> str:
    """The websites' word for a noise margin, e.g. 8 dB -> fair. Judges nothing, see the module."""
    margin = finite(db, "margin")
    return next((word for least, word in MARGIN_WORDS if margin >= least), "bad")


def attenuation_word(db: float) -> str:
    """The websites' word for an attenuation, e.g. 46 dB -> good; a shared edge goes to the better word."""
    loss = not_negative(db, "attenuation")
    return next((word for most, word in ATTENUATION_WORDS if loss <= most), "poor" if loss < 60 else "bad")


def tap_notch_khz(tap_ft: float, *, velocity: float = VELOCITY) -> float:
    """kHz of the first notch that an open bridged tap cuts, e.g. 500 ft -> 319.7.

    Source: quarter-wave stub, from memory (high).
    """
    if not 0 < velocity <= 1:
        raise ValueError(f"the velocity is a part of light's, above 0 and up to 1, not {velocity:g}")
    return velocity * LIGHT_M_PER_S / (4 * positive(tap_ft, "length of the tap") * METERS_PER_FOOT) / 1000


def tap_length_ft(notch_khz: float, *, velocity: float = VELOCITY) -> float:
    """Feet of an open bridged tap from its first notch, e.g. 319.7 kHz -> 500. The inverse of ``tap_notch_khz``."""
    return tap_notch_khz(1.0, velocity=velocity) / positive(notch_khz, "frequency of the notch")


def serving_area(kft_26: float, kft_24: float, *, taps_kft: float = 0.0, longest_tap_kft: float = 0.0) -> ServingArea:
    """Whether a nonloaded loop is inside the carrier serving area.

    E.g. 4 kft of 26 and 5 kft of 24 AWG -> 9 of 10.67 kft, inside.
    Total with taps at most ``12 - 3 * L26 / (9 - L_taps)`` kft; taps together at most 2.5, one at most 2 kft. Bellcore
    rule, from memory (medium): label it so. ``ValueError`` where the longest tap is longer than all taps.
    """
    taps, longest = not_negative(taps_kft, "bridged taps"), not_negative(longest_tap_kft, "longest tap")
    if longest > taps:
        raise ValueError(f"the longest tap ({longest:g} kft) cannot be longer than all taps together ({taps:g} kft)")
    total = not_negative(kft_26, "26 AWG length") + not_negative(kft_24, "24 AWG length") + taps
    if taps >= AREA_26_KFT:
        return ServingArea(0.0, total, inside=False)
    limit = AREA_24_KFT - 3 * kft_26 / (AREA_26_KFT - taps)
    return ServingArea(limit, total, total <= limit + 1e-9 and taps <= TAPS_KFT and longest <= SINGLE_TAP_KFT)
