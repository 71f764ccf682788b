"""How a technician says what was read, and which states speak against the line."""

from __future__ import annotations

from callnotes.records import Verdict

# The contract: a state carries its own verdict where nothing is said.
FAILS = {
    ("dial_tone", "absent"), ("dial_tone", "intermittent"), ("line_sound", "noisy"), ("outgoing_call", "fails"),
    ("incoming_call", "fails"), ("tracing_tone", "absent"), ("continuity", "open"), ("short", "present"),
    ("ground_fault", "present"), ("foreign_voltage", "present"), ("polarity", "reversed"), ("cable_test", "fail"),
    ("link", "down"), ("sync", "down"), ("power", "absent"), ("operation", "fails"), ("line_number", "wrong"),
    ("inspection", "defect"), ("wire_map", "open"), ("wire_map", "short"), ("wire_map", "crossed"),
    ("wire_map", "reversed"), ("wire_map", "split"),
}  # fmt: skip

OPPOSITE = {
    "present": "absent", "absent": "present", "clean": "noisy", "noisy": "clean", "works": "fails", "fails": "works",
    "good": "open", "open": "good", "correct": "reversed", "reversed": "correct", "wrong": "correct", "up": "down",
    "down": "up", "pass": "fail", "fail": "pass", "ok": "defect", "defect": "ok",
}  # fmt: skip

SAYINGS = {
    "dial_tone": {"present": "got dial tone", "absent": "no dial tone", "intermittent": "tone comes and goes"},
    "line_sound": {"clean": "clean, no noise", "noisy": "{object} on it"},
    "outgoing_call": {"works": "calls out fine", "fails": "it won't call out"},
    "incoming_call": {"works": "rings in", "fails": "it doesn't ring in"},
    "tracing_tone": {"present": "I hear my toner", "absent": "no toner here"},
    "continuity": {"good": "it goes through", "open": "open"},
    "short": {"present": "it's shorted", "absent": "no short"},
    "ground_fault": {"present": "grounded", "absent": "clear to ground"},
    "foreign_voltage": {"present": "there's voltage on it that doesn't belong", "absent": "no foreign voltage"},
    "polarity": {"correct": "polarity's right", "reversed": "it's reversed"},
    "link": {"up": "link light's on", "down": "no link"},
    "sync": {"up": "modem syncs", "down": "no sync"},
    "power": {"present": "it has power", "absent": "no power"},
    "operation": {"works": "works", "fails": "doesn't work"},
    "line_number": {"correct": "reads back the right number", "wrong": "reads back the wrong number"},
    "inspection": {"ok": "looks good", "defect": "{object}"},
    "wire_map": {"pass": "wire map's good", "open": "wire map shows an open", "short": "wire map shows a short",
                 "crossed": "pairs are crossed", "reversed": "pair reversed", "split": "split pair"},
    "cable_test": {"pass": "passes", "fail": "fails", "marginal": "marginal pass"},
}  # fmt: skip


def state_verdict(quantity: str, state: str) -> Verdict:
    """What a state says by itself."""
    if (quantity, state) == ("cable_test", "marginal"):
        return "marginal"
    return "fail" if (quantity, state) in FAILS else "pass"


def turned(quantity: str, state: str) -> str:
    """The state that a slip would make of it."""
    if quantity == "wire_map":
        return "pass" if state != "pass" else "open"
    if quantity == "line_number":
        return "wrong" if state == "correct" else "correct"
    return OPPOSITE.get(state, state)


def say(quantity: str, state: str, thing: str | None) -> str:
    """A state in a technician's words."""
    return SAYINGS[quantity].get(state, state).format(object=thing or "something wrong")
