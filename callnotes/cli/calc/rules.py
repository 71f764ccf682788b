"""Dated rules as figures. Never a verdict: dates and editions decide."""

from __future__ import annotations

from callnotes.calc import rules
from callnotes.calc.rounding import exact
from callnotes.cli.calc.answer import Answer, Figure
from callnotes.cli.calc.given import Given


def demarc(_: Given) -> Answer:
    """``demarc``: how far the demarcation of a single unit may be from the protector."""
    place = rules.demarc_place()
    line = (
        f"single unit: within {place.inches:g} in ({place.centimeters:g} cm) of the protector, or of the wire's entry"
    )
    told = {"inches": Figure(place.inches, "in"), "centimeters": Figure(place.centimeters, "cm")}
    return Answer(line, told, ("or as close as practicable",), ("Buildings of several units have rules of their own.",))


def emergency(given: Given) -> Answer:
    """``911``: whether what must be dialed reaches the emergency number directly."""
    dialed = given.word("dialed")
    direct = rules.direct_emergency_call(dialed)
    does = "goes straight to the emergency number" if direct else "needs a prefix: the rule asks for 911 alone"
    return Answer(f"{dialed} {does}", {"direct": Figure(direct)})


def elevator(given: Given) -> Answer:
    """``elevator``: whether an unanswered call must have gone on to another place."""
    seconds = given.number("unanswered")
    moved = rules.elevator_moved_on(seconds)
    line = f"unanswered {exact(seconds)} s: the call {'must have' if moved else 'need not yet have'} moved on"
    return Answer(line, {"moved_on": Figure(moved)}, (f"after {rules.ELEVATOR_MOVES_ON_S:g} s",))


def alarm_test(given: Given) -> Answer:
    """``alarm-test``: whether the last test signal of a dialer is recent enough, by each edition."""
    hours = given.number("hours")
    kept = {edition: rules.alarm_test_in_time(hours, edition) for edition in rules.ALARM_TEST_H}
    words = [f"{'in time' if ok else 'LATE'} by the {edition} edition" for edition, ok in kept.items()]
    edges = [f"{edition}: every {most:g} h" for edition, most in rules.ALARM_TEST_H.items()]
    line = f"test signal {exact(hours)} h ago: {', '.join(words)}"
    return Answer(line, {f"ok_{edition}": Figure(ok) for edition, ok in kept.items()}, tuple(edges))


SUMS = {"demarc": demarc, "911": emergency, "elevator": elevator, "alarm-test": alarm_test}
