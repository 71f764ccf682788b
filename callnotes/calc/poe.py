"""Power over Ethernet (IEEE 802.3): the power and voltage that arrive, classes and types."""

from __future__ import annotations

import math
from dataclasses import dataclass

from callnotes.calc.figures import not_negative, positive, whole


@dataclass(frozen=True, slots=True)
class Supply:
    """What arrives: watts at the source, volts and watts at the powered device, amperes in the cable."""

    source_w: float
    device_v: float
    device_w: float
    current_a: float


@dataclass(frozen=True, slots=True)
class PowerClass:
    """Least watts that the source must give, and most that the device may take."""

    source_w: float
    device_w: float


@dataclass(frozen=True, slots=True)
class PowerType:
    """A type of the standard: least volts at the source and at the device, ohm of channel that the standard reckons
    with (both pair sets in parallel for types 3 and 4), watts at each end."""

    source_v: float
    device_v: float
    channel_ohm: float
    source_w: float
    device_w: float


# Types 1 and 2: a public course document (read). Types 3 and 4: powers read, the rest from memory (high).
TYPES = {
    1: PowerType(44.0, 37.0, 20.0, 15.4, 12.95),
    2: PowerType(50.0, 42.5, 12.5, 30.0, 25.5),
    3: PowerType(50.0, 42.5, 6.25, 60.0, 51.0),
    4: PowerType(52.0, 41.1, 6.25, 90.0, 71.3),
}
# Class powers: git.phoenixinquis.net notes; classes 0 to 3 also in a switch manual (read).
CLASSES = {
    0: PowerClass(15.4, 12.95),
    1: PowerClass(4.0, 3.84),
    2: PowerClass(7.0, 6.49),
    3: PowerClass(15.4, 12.95),
    4: PowerClass(30.0, 25.5),
    5: PowerClass(45.0, 40.0),
    6: PowerClass(60.0, 51.0),
    7: PowerClass(75.0, 62.0),
    8: PowerClass(90.0, 71.3),
}
OHM_PER_100_M = 12.5  # type 2 channel (read)


def power_type(number: int) -> PowerType:
    """Voltages, ohm and watts of type 1 to 4, e.g. 2 -> 50 V, 42.5 V, 12.5 ohm, 30 W, 25.5 W."""
    return TYPES[whole(number, "type of power over Ethernet", 1, 4)]


def power_class(number: int) -> PowerClass:
    """Watts of class 0 to 8, e.g. 4 -> 30 W at the source, 25.5 W at the device."""
    return CLASSES[whole(number, "class of power over Ethernet", 0, 8)]


def class_for(device_w: float) -> int:
    """The lowest class that lets a device take so many watts, e.g. 20 W -> 4. ``ValueError`` above class 8's 71.3 W."""
    watts = positive(device_w, "device power")
    fitting = (number for number in range(1, 9) if watts <= CLASSES[number].device_w)
    try:
        return next(fitting)
    except StopIteration:
        raise ValueError(f"{watts:g} W is more than class 8 allows a device ({CLASSES[8].device_w:g} W)") from None


def supply(source_v: float, current_a: float, channel_ohm: float) -> Supply:
    """What arrives at a known current, e.g. 50 V, 0.6 A, 12.5 ohm -> 30 W out, 42.5 V and 25.5 W in.

    ``ValueError`` where the current would use up the whole voltage.
    """
    current = not_negative(current_a, "current")
    device_v = positive(source_v, "source voltage") - current * not_negative(channel_ohm, "channel resistance")
    if device_v <= 0:
        raise ValueError(f"{current:g} A over {channel_ohm:g} ohm uses up all {source_v:g} V")
    return Supply(source_v * current, device_v, device_v * current, current)


def supply_for_load(source_v: float, device_w: float, channel_ohm: float) -> Supply:
    """What arrives at a device that takes ``device_w``, e.g. 50 V, 25.5 W, 7.5 ohm -> 0.556 A, 45.8 V.

    ``ValueError`` where the cable cannot bring that power at any current.
    """
    volts, ohm = positive(source_v, "source voltage"), not_negative(channel_ohm, "channel resistance")
    watts = not_negative(device_w, "device power")
    under_root = volts**2 - 4 * ohm * watts
    if under_root < 0:
        most = volts**2 / (4 * ohm)
        raise ValueError(f"{channel_ohm:g} ohm of channel brings no more than {most:.1f} W from {source_v:g} V")
    # The smaller root of the quadratic, in the form that holds for a channel of almost no resistance too.
    return supply(volts, 2 * watts / (volts + math.sqrt(under_root)), ohm)


def channel_ohm(length_m: float, *, ohm_per_100_m: float = OHM_PER_100_M) -> float:
    """Ohm of a channel by its length, e.g. 60 m -> 7.5. That the ohm grow with the length is an assumption."""
    return not_negative(length_m, "length") / 100 * positive(ohm_per_100_m, "resistance per 100 m")


def enough_at_device(device_v: float, type_number: int) -> bool:
    """Whether a voltage read at a powered device, under load, is enough for its type, e.g. 41.0 V for type 2 -> no."""
    return not_negative(device_v, "voltage at the device") >= power_type(type_number).device_v
