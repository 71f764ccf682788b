"""Noise, loss and level on a voice line: conversions and differences. No limits: those are judged by profile elsewhere.

Noise and power influence are comparable only with the same weighting (dBrnC, C-message).
"""

from __future__ import annotations

import math

from callnotes.calc.figures import finite, positive

DBRN_OFFSET = 90.0  # 0 dBrn = 1 pW = -90 dBm: lawinsider.com, vendor analog-voice note (read)


def dbrn(dbm: float) -> float:
    """dBrn for dBm, e.g. -68 dBm -> 22 dBrn. Carries no weighting: dBrnC needs a C-message filter in the meter."""
    return finite(dbm, "level") + DBRN_OFFSET


def dbm(dbrn: float) -> float:
    """dBm for dBrn, e.g. 22 dBrn -> -68 dBm."""
    return finite(dbrn, "level") - DBRN_OFFSET


def balance(power_influence_dbrnc: float, circuit_noise_dbrnc: float) -> float:
    """dB of balance: power influence less circuit noise, e.g. 84 and 18 -> 66.

    Source: S.C. Code Regs. 103-663.3 (read). A quiet line can give a poor figure (75 and 18 -> 57)
    with nothing wrong: say so, do not call it bad on this alone.
    """
    return finite(power_influence_dbrnc, "power influence") - finite(circuit_noise_dbrnc, "circuit noise")


def loss(sent_dbm: float, received_dbm: float) -> float:
    """dB of loss, sent less received, e.g. 0 and -9.2 dBm -> 9.2. Source: definition, from memory (high).

    Limits speak of 1004 Hz; a milliwatt source sends 0 dBm.
    """
    return finite(sent_dbm, "sent level") - finite(received_dbm, "received level")


def level_volts(dbm: float, *, ohm: float = 600.0) -> float:
    """V rms of a level across ``ohm``, e.g. 0 dBm in 600 ohm -> 0.7746. Source: definition, from memory (high)."""
    return math.sqrt(10.0 ** (finite(dbm, "level") / 10) * 1e-3 * positive(ohm, "impedance"))


def level_dbm(volts: float, *, ohm: float = 600.0) -> float:
    """dBm of V rms across ``ohm``, e.g. 0.7746 V in 600 ohm -> 0."""
    return 10 * math.log10(positive(volts, "voltage") ** 2 / positive(ohm, "impedance") * 1e3)
