"""Worked examples that hold a verdict: the sum by ``callnotes.calc``, the verdict by the limit of that profile."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from callnotes.calc import noise
from callnotes.judge import meets
from callnotes.trade import load_trade

Given = dict[str, Any]

TRADE = load_trade()
PROFILES = {"SC": "south-carolina", "IL": "illinois", "HI_design": "hawaii-design", "HI_maintain": "hawaii-maintain"}


def verdict(profile: str, quantity: str, value: float, unit: str) -> str:
    """Pass or fail by the one limit that the profile has for the quantity."""
    (limit,) = (one for one in TRADE.limits_of(PROFILES[profile]) if one.quantity == quantity)
    have, want = TRADE.unit(unit), TRADE.unit(limit.unit)
    assert have is not None
    assert want is not None
    brought = have.to(want, value)
    assert brought is not None
    return "pass" if meets(brought, limit) else "fail"


def noise_verdicts(given: Given) -> Any:
    value = given["noise_dBrnC"]
    return {name: verdict(name, "noise", value, "dBrnC") for name in ("SC", "HI_design", "HI_maintain")}


def noise_balance(given: Given) -> Any:
    influence, heard = given["PI_dBrnC"], given["noise_dBrnC"]
    balance = noise.balance(influence, heard)
    return {
        "balance_dB": balance,
        "SC": verdict("SC", "balance", balance, "dB"),
        "SC_balance": verdict("SC", "balance", balance, "dB"),
        "SC_PI": verdict("SC", "power_influence", influence, "dBrnC"),
        "SC_noise": verdict("SC", "noise", heard, "dBrnC"),
        "HI_maintain_noise": verdict("HI_maintain", "noise", heard, "dBrnC"),
    }


def loss_verdicts(given: Given) -> Any:
    loss = noise.loss(given["sent_dBm"], given["received_dBm"])
    return {"loss_dB": loss, **{name: verdict(name, "loss", loss, "dB") for name in PROFILES}}


ADAPTERS: dict[str, Callable[[Given], Any]] = {
    "pots/loop current verdict": lambda given: {
        profile: verdict(profile, "loop_current", given["I_mA"], "mA") for profile in given["profile"]
    },
    "pots/insulation verdict": lambda given: verdict(given["profile"], "insulation_resistance", given["R_ohm"], "ohm"),
    "noise/verdict by profile": noise_verdicts,
    # A quiet line can miss the published balance and be in order: the note of that limit says so.
    "noise/balance": noise_balance,
    "noise/balance fail": noise_balance,
    "loss/verdict by profile": loss_verdicts,
}
