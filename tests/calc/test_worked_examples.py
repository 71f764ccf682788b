"""Every worked example is computed within its tolerance, or listed here with the reason why it is not."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from .worked_adapters import ADAPTERS

EXAMPLES = json.loads((Path(__file__).parents[1] / "reference" / "worked-examples.json").read_text(encoding="utf-8"))

# Verdicts by a state's rule belong to the limits table, which has tests of its own. ``None``: the whole example;
# else the keys of ``expected`` that are verdicts, while the sums beside them are checked here.
JUDGED_ELSEWHERE: dict[str, tuple[str, ...] | None] = {
    "POTS-02": None,
    "POTS-10": None,
    "NOI-02": None,
    "NOI-03": ("SC",),
    "NOI-04": ("SC_balance", "SC_PI", "SC_noise", "HI_maintain_noise"),
    "NOI-05": ("SC", "IL", "HI_design", "HI_maintain"),
}
SKIPPED = {
    "DSL-02": "words of websites for a margin; a line held at a 6 dB target is in order: not to be judged by",
    "DSL-03": "words of websites for an attenuation: not to be judged by",
    "LAW-01": "text of a caution, never a verdict: dates and editions decide",
    "LAW-02": "text of a caution, never a verdict: dates and editions decide",
    "LAW-03": "text of a caution, never a verdict: dates and editions decide",
    "LAW-04": "text of a caution, never a verdict: dates and editions decide",
}
WHOLLY_ELSEWHERE = {name for name, keys in JUDGED_ELSEWHERE.items() if keys is None}
COMPUTED = [example for example in EXAMPLES if example["id"] not in SKIPPED.keys() | WHOLLY_ELSEWHERE]


def basis_of(example: dict[str, Any]) -> str:
    """``read``, or ``memory`` with its confidence."""
    return example["basis"] + (f" {example['confidence']}" if "confidence" in example else "")


def differences(expected: Any, computed: Any, tolerance: dict[str, Any], where: str = "") -> list[str]:
    """Where the two differ by more than the tolerance; words and booleans must be the same."""
    if isinstance(expected, dict):
        return [
            line
            for key, value in expected.items()
            for line in differences(value, computed[key], tolerance, f"{where}/{key}")
        ]
    if isinstance(expected, list):
        if len(expected) != len(computed):
            return [f"{where}: {len(computed)} values, want {len(expected)}"]
        pairs = enumerate(zip(expected, computed, strict=True))
        return [line for i, (a, b) in pairs for line in differences(a, b, tolerance, f"{where}/{i}")]
    if isinstance(expected, bool | str):
        return [] if expected == computed else [f"{where}: {computed!r}, want {expected!r}"]
    allowed = tolerance["value"] * (abs(expected) if tolerance["type"] == "rel" else 1)
    off = abs(computed - expected)
    # 1e-9: a difference that lies exactly on the tolerance must not fail by rounding.
    return [] if off <= allowed + 1e-9 * (tolerance["type"] != "exact") else [f"{where}: {computed}, want {expected}"]


@pytest.mark.parametrize("example", COMPUTED, ids=lambda e: f"{e['id']} ({basis_of(e)}) {e['topic']}")
def test_worked_example(example: dict[str, Any]) -> None:
    elsewhere = JUDGED_ELSEWHERE.get(example["id"]) or ()
    expected = example["expected"]
    if isinstance(expected, dict):
        expected = {key: value for key, value in expected.items() if key not in elsewhere}
    computed = ADAPTERS[example["topic"]](example["given"])
    wrong = differences(expected, computed, example["tolerance"])
    told = f"{example['id']}: {example['formula']}; source: {example['source']} ({basis_of(example)})"
    assert not wrong, f"{told}: {'; '.join(wrong)}"


def test_every_example_is_computed_or_listed_with_a_reason() -> None:
    known = {example["id"] for example in EXAMPLES}
    assert len(known) == len(EXAMPLES) == 139
    assert known >= SKIPPED.keys() | JUDGED_ELSEWHERE.keys()
    assert not SKIPPED.keys() & JUDGED_ELSEWHERE.keys()
    assert all(len(reason) > 20 for reason in SKIPPED.values())
    assert {example["topic"] for example in COMPUTED} == ADAPTERS.keys()
    for example in EXAMPLES:
        for key in JUDGED_ELSEWHERE.get(example["id"]) or ():
            assert key in example["expected"], f"{example['id']} has no {key}"


@pytest.mark.parametrize(
    ("expected", "computed", "tolerance"),
    [
        (100.0, 100.6, {"type": "rel", "value": 0.005}),
        ({"a": 1.0}, {"a": 1.2}, {"type": "abs", "value": 0.1}),
        (650, 650.001, {"type": "exact", "value": 0}),
        ([1, 2], [1], {"type": "abs", "value": 9}),
        ("reorder", "busy", {"type": "exact", "value": 0}),
        ({"pass": False}, {"pass": True}, {"type": "abs", "value": 2}),
    ],
)
def test_the_comparison_itself_can_fail(expected: Any, computed: Any, tolerance: dict[str, Any]) -> None:
    assert differences(expected, computed, tolerance)
