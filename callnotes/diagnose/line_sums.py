"""The sums of a line, of light and of powered devices that a call allows."""

from __future__ import annotations

import re
from collections.abc import Callable

from callnotes.calc import copper, fiber, loop, noise, poe
from callnotes.calc.fiber import Kind
from callnotes.calc.rounding import about, exact, spread
from callnotes.diagnose.sum_readings import Taking
from callnotes.diagnose.sum_told import told
from callnotes.judge import condition
from callnotes.records import Sum

# On-hook voltage at an interface, and the set of the interface standard: T1.401, from memory (medium); the bare meter
# that some read with has next to no resistance.
BATTERY_V = (42.5, 56.5)
SET_OHM = (0.0, 430.0)
# Current-limited feeds hold the current in this range over any short loop: trade value, as in ``calc.loop``.
HELD_MA = (18.0, 30.0)
# South Carolina's circuit noise and balance (read): on a quieter line a low balance alone shows nothing wrong.
QUIET_DBRNC, ASKED_BALANCE_DB = 20.0, 60.0
# Least ohm of a channel of two pairs: 24 AWG, each way in parallel. The most is the standard's, in ``calc.poe``.
LEAST_OHM_PER_100_M = copper.loop_ohm_per_kft(24) / 2 / 3.048
# A port that sends more uses all four pairs (class 4 of IEEE 802.3, from memory, high); below that it may.
TWO_PAIRS_W = 30.0
FIBERS: dict[str, tuple[Kind, ...]] = {
    "850 nm": ("multimode 850 nm",),
    "1300 nm": ("multimode 1300 nm",),
    "1310 nm": ("single-mode 1310 nm outside plant", "single-mode 1310 nm indoor"),
    "1550 nm": ("single-mode 1550 nm outside plant", "single-mode 1550 nm indoor"),
}


def expected_current(taking: Taking) -> Sum | None:
    """Expected loop current against the one read; None where a feed that holds its current would read the same."""
    ohm, read, volts = taking.values["ohm"], taking.values["ma"], taking.values.get("volts")
    low_v, high_v = BATTERY_V if volts is None else (volts, volts)
    battery = loop.BATTERY_V if volts is None else volts
    value = loop.loop_current(ohm, battery_v=battery)
    low = loop.loop_current(ohm, battery_v=low_v, set_ohm=SET_OHM[1])
    high = loop.loop_current(ohm, battery_v=high_v, set_ohm=SET_OHM[0])
    if read < low and HELD_MA[0] <= read <= HELD_MA[1]:
        return None
    verdict = "under" if read < low else "over" if read > high else "fits"
    shown = {"expected": about(value, 2), "low": about(low, 2), "high": about(high, 2)}
    given = {"ohm": about(ohm), "battery": f"{battery:g}", "read": f"{read:g}", "verdict": taking.row.says[verdict]}
    return told(taking, shown | given, value, "mA", (low, high))


def balance(taking: Taking) -> Sum:
    """Power influence less circuit noise; on a quiet line with the words that a low figure alone shows nothing."""
    influence, heard = taking.values["influence"], taking.values["noise"]
    db = noise.balance(influence, heard)
    quiet = taking.row.says["quiet"] if db <= ASKED_BALANCE_DB and heard < QUIET_DBRNC else ""
    words = {"balance": exact(db, 1), "influence": f"{influence:g}", "noise": f"{heard:g}", "quiet": quiet}
    return told(taking, words, db, "dB")


def lost_between(taking: Taking) -> Sum | None:
    """dB that the stretch between two points takes; None where more came than was sent: then one of the two is off."""
    near, far = taking.values["near"], taking.values["far"]
    db = far - near if taking.event("far").quantity == "loss" else noise.loss(near, far)
    if db < 0:
        return None
    words = {"near_place": _place(taking, "near"), "far_place": _place(taking, "far")}
    color = condition(taking.first, "wavelength") or ""
    levels = {"near": _signed(near), "far": _signed(far), "wavelength": color, "lost": exact(db, 1)}
    return told(taking, words | levels, db, "dB")


def light_budget(taking: Taking) -> Sum:
    """The light lost against the most that such a link may lose."""
    color, km = condition(taking.event("lost"), "wavelength") or "", taking.values["long"]
    most = [fiber.budget(kind, km, connections=2) for kind in FIBERS[color]]
    ends = " to ".join(dict.fromkeys(exact(one, 1) for one in most))
    kinds = f"{ends} dB" + (" outside to indoor fiber" if len(set(most)) > 1 else "")
    lost, event = taking.values["lost"], taking.event("long")
    room = (min(most) - lost, max(most) - lost)
    long = f"{event.value:g} {event.unit}"
    words = {"lost": f"{lost:g}", "most": kinds, "wavelength": color, "long": long}
    return told(taking, words, None, "dB", room)


def power_arriving(taking: Taking) -> Sum | None:
    """Watts and volts at a powered device, from what the port sends, its volts and the length of the cable."""
    watts, volts, meters = (taking.values[name] for name in ("watts", "volts", "long"))
    least_ohm = poe.channel_ohm(meters, ohm_per_100_m=LEAST_OHM_PER_100_M) / 2
    ends = (least_ohm, poe.channel_ohm(meters) / (2 if watts > TWO_PAIRS_W else 1))
    best, worst = (poe.supply(volts, watts / volts, ohm) for ohm in ends)
    low, high, middle = worst.device_w, best.device_w, (worst.device_w + best.device_w) / 2
    arriving, least, most = spread(middle, low, high)
    arrived = f"{(worst.device_v + best.device_v) / 2:.0f}"
    long = f"{taking.event('long').value:g} {taking.event('long').unit}"
    ohms = f"{ends[0]:.0f} to {ends[1]:.0f}"
    words = {"arriving": arriving, "low": least, "high": most, "volts": arrived, "watts": f"{watts:g}"}
    return told(taking, words | {"long": long, "ohm": ohms}, middle, "W", (low, high))


def power_class(taking: Taking) -> Sum:
    """The least class of power over Ethernet that lets a device take so many watts."""
    watts = taking.values["watts"]
    number = poe.class_for(watts)
    source = f"{poe.power_class(number).source_w:g}"
    return told(taking, {"watts": f"{watts:g}", "number": number, "source": source}, number, None)


def drop_under_load(taking: Taking) -> Sum | None:
    """Ohm of a channel by the volts that it drops at a known load; None where it gains, or no watts were said."""
    load = re.fullmatch(r"(\d+(?:\.\d+)?) ?(?:W|watts?)", condition(taking.first, "load") or "")
    loaded, idle = taking.values["loaded"], taking.values["idle"]
    if load is None or float(load[1]) <= 0 or idle <= loaded:
        return None
    amps = float(load[1]) / loaded
    ohm = (idle - loaded) / amps
    shown = {"lost": exact(idle - loaded, 1), "watts": load[1], "amps": about(amps, 2), "ohm": about(ohm, 2)}
    return told(taking, shown, ohm, "ohm")


def _place(taking: Taking, name: str) -> str:
    """A point in few words: "the block", "the jack (kitchen)"."""
    point = taking.course.at(taking.event(name))
    kind = taking.course.trade.point_kind(point.kind) if point else None
    label = f" ({point.label})" if point and point.label else ""
    return f"the {kind.name if kind else 'point'}{label}"


def _signed(value: float) -> str:
    return f"{value:g}".replace("-", "\N{MINUS SIGN}")


MAKERS: dict[str, Callable[[Taking], Sum | None]] = {
    "expected_current": expected_current,
    "balance": balance,
    "loss_between": lost_between,
    "level_loss": lost_between,
    "light_loss": lost_between,
    "light_budget": light_budget,
    "power_arriving": power_arriving,
    "power_class": power_class,
    "drop_under_load": drop_under_load,
}
