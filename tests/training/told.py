"""The names behind each output of the listener; imports nothing, so that training needs no callnotes."""

from __future__ import annotations

KINDS = [
    "none", "demarc", "protector", "terminal", "block", "cable", "jack", "line_seizure_jack", "alarm_panel", "filter",
    "pbx", "set", "patch_panel", "switch", "device", "ont", "other",
]  # fmt: skip
SIDES = ["none", "provider", "customer", "in", "out", "left", "right", "top", "bottom"]
VERDICTS = ["none", "pass", "fail", "marginal"]
REASONS = [
    "hypothetical", "instruction", "question", "planned", "conversation", "retracted", "recap", "quoted", "comment",
]  # fmt: skip
DETAILS = ["line", "pair", "row", "port", "label", "pins", "color", "block_type"]
FACTS = ["work_order", "site", "contact", "technician", "line_number", "arrived", "departed", "material", "ticket"]
CONDITIONS = [
    "hook", "plug", "clips", "cord", "leads", "conductor", "strap", "digit", "access_digit", "panel", "test",
    "wavelength", "direction", "bound", "far_end", "load", "when",
]  # fmt: skip
