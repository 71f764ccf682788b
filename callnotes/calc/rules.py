"""Dated rules that a technician is asked about, as figures. Texts of cautions, never verdicts.

Dates and editions decide, and the authority having jurisdiction, the owner and licensed practice decide above them:
ask which edition was adopted before quoting any of these.
"""

from __future__ import annotations

from dataclasses import dataclass

from callnotes.calc.figures import not_negative

# 47 CFR 68.105(c), 2018 edition (read at hallikainen.org): the rule itself gives both figures.
DEMARC_IN, DEMARC_CM = 12.0, 30.0
# ASME A17.1-2019, 2.27.1.1.2, in a reprint (read).
ELEVATOR_MOVES_ON_S = 45.0
# Most hours between test signals of a dialer by the edition of NFPA 72: ecmag.com, securityinfowatch.com (read).
ALARM_TEST_H = {2002: 24.0, 2013: 6.0}
EMERGENCY_NUMBER = "911"


@dataclass(frozen=True, slots=True)
class DemarcPlace:
    """Most distance of a demarcation of a single unit from the protector or, without one, from the wire's entry."""

    inches: float
    centimeters: float


def demarc_place() -> DemarcPlace:
    """Where the demarcation of a single unit is: within 12 in (30 cm), or as close as practicable."""
    return DemarcPlace(DEMARC_IN, DEMARC_CM)


def direct_emergency_call(dialed: str) -> bool:
    """Whether what must be dialed is 911 alone, e.g. ``9-911`` -> False: no prefix or code may be needed.

    Source: 47 CFR 9.16(b), 2020 edition, and 47 U.S.C. 623 (read), for multi-line systems; that it holds for systems
    first sold or installed after 2020-02-16 is from memory (medium). ``ValueError`` where 911 is not dialed at all.
    """
    keys = "".join(key for key in dialed if key in "0123456789*#")
    if not keys.endswith(EMERGENCY_NUMBER):
        raise ValueError(f"{dialed!r} does not end in {EMERGENCY_NUMBER}")
    return keys == EMERGENCY_NUMBER


def elevator_moved_on(unanswered_s: float) -> bool:
    """Whether a call from an elevator must have gone on to another place by now, e.g. 50 s unanswered -> True."""
    return not_negative(unanswered_s, "time unanswered") > ELEVATOR_MOVES_ON_S


def alarm_test_in_time(hours: float, edition: int) -> bool:
    """Whether the last test signal of an alarm dialer is recent enough, e.g. 8 h by 2013 -> False, by 2002 -> True.

    ``ValueError`` for an edition other than 2002 and 2013: those between were not read.
    """
    if edition not in ALARM_TEST_H:
        raise ValueError(f"no figure here for the {edition} edition of NFPA 72; there are 2002 and 2013")
    return not_negative(hours, "time since the test") <= ALARM_TEST_H[edition]
