"""Every worked example is computed within its tolerance."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from .limit_adapters import ADAPTERS as BY_LIMIT
from .worked_adapters import ADAPTERS as BY_SUM

EXAMPLES = json.loads((Path(__file__).parents[1] / "reference" / "worked-examples.json").read_text(encoding="utf-8"))
ADAPTERS = BY_SUM | BY_LIMIT


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


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: f"{e['id']} ({basis_of(e)}) {e['topic']}")
def test_worked_example(example: dict[str, Any]) -> None:
    computed = ADAPTERS[example["topic"]](example["given"])
    wrong = differences(example["expected"], computed, example["tolerance"])
    told = f"{example['id']}: {example['formula']}; source: {example['source']} ({basis_of(example)})"
    assert not wrong, f"{told}: {'; '.join(wrong)}"


def test_every_example_has_its_sum() -> None:
    assert len({example["id"] for example in EXAMPLES}) == len(EXAMPLES) == 139
    assert {example["topic"] for example in EXAMPLES} == ADAPTERS.keys()


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
