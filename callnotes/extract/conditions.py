"""Under what a reading was taken: what was said with it, and what holds since it was done."""

from __future__ import annotations

from collections.abc import Mapping

_WITH_LEADS = {
    "dc_voltage", "ac_voltage", "resistance", "insulation_resistance", "capacitance", "short", "ground_fault",
    "continuity", "foreign_voltage",
}  # fmt: skip
_OF_A_PAIR = {"resistance", "loop_resistance", "capacitance"}
# Conditions that not every quantity takes.
_ONLY_FOR = {
    "leads": _WITH_LEADS,
    "test": {"margin", "return_loss", "crosstalk"},
    "direction": {"sync_rate", "link_speed", "snr_margin", "attenuation"},
    "wavelength": {"optical_power", "optical_loss"},
    "pins": {"wire_map", "continuity"},
    "gauge": _OF_A_PAIR | {"length"},
    "steady": _OF_A_PAIR
    | {"insulation_resistance", "loop_current", "dc_voltage", "ac_voltage", "noise", "optical_power"},
    "ends": _OF_A_PAIR | {"insulation_resistance", "short", "ground_fault", "continuity"},
}
# Where a plug or a clip that is out makes a difference to what is read.
_HELD_AT = {
    "plug": ("demarc", "line_seizure_jack", "alarm_panel"),
    "clips": ("block", "cable"),
    "wavelength": ("ont", "cable", "terminal", "patch_panel", "device"),
}
_HOLDS = {
    "disconnect": ("plug", "out"),
    "reconnect": ("plug", "in"),
    "remove_clips": ("clips", "out"),
    "install_clips": ("clips", "in"),
}


def takes(quantity: str | None, what: str) -> bool:
    """Whether that condition can belong to that quantity."""
    return what not in _ONLY_FOR or quantity in _ONLY_FOR[what]


def conditions_of(
    quantity: str | None, kind: str | None, said: Mapping[str, str], held: Mapping[str, str]
) -> dict[str, str]:
    """What was said, and what holds at that kind of point, as far as it concerns the quantity.

    A loop current flows only off hook, so that needs no saying.
    """
    holds = {what: value for what, value in held.items() if kind in _HELD_AT.get(what, ()) and takes(quantity, what)}
    mine = {what: value for what, value in said.items() if takes(quantity, what)}
    return holds | mine | ({"hook": "off"} if quantity == "loop_current" else {})


def holds_after(action: str, kind: str | None, *, anywhere: bool = False) -> tuple[str, str] | None:
    """What an action at that kind of point leaves to hold, as (what, is)."""
    found = _HOLDS.get(action)
    if found and (anywhere or found[0] == "clips" or kind in _HELD_AT["plug"]):
        return found
    return None
