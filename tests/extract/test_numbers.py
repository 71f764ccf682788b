"""Numbers as they are said and written, against their values."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes.extract.normal import norms
from callnotes.extract.numbers import find_numbers

ONES = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
]
ONES += ["seventeen", "eighteen", "nineteen"]
TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def spoken(value: int) -> str:
    """A whole number under a million in words, as an independent speller says it."""
    if value < 20:
        return ONES[value]
    if value < 100:
        return TENS[value // 10 - 2] + (f"-{ONES[value % 10]}" if value % 10 else "")
    if value < 1000:
        rest = f" and {spoken(value % 100)}" if value % 100 else ""
        return f"{ONES[value // 100]} hundred{rest}"
    rest = f" {spoken(value % 1000)}" if value % 1000 else ""
    return f"{spoken(value // 1000)} thousand{rest}"


def values(text: str) -> list[float]:
    return [number.value for number in find_numbers(norms(text))]


@settings(derandomize=True, deadline=None)
@given(st.integers(0, 99_999))
def test_a_whole_number_said_is_read_back(value: int) -> None:
    assert values(f"reads {spoken(value)} ohms") == [value]


@settings(derandomize=True, deadline=None)
@given(st.integers(0, 999), st.lists(st.integers(0, 9), min_size=1, max_size=3))
def test_a_decimal_said_is_read_back(whole: int, digits: list[int]) -> None:
    text = f"{spoken(whole)} point {' '.join(ONES[d] for d in digits)} volts"
    assert values(text) == pytest.approx([float(f"{whole}.{''.join(map(str, digits))}")])


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("oh point five", 0.5),
        ("two tenths of a volt", 0.2),
        ("a tenth of a volt", 0.1),
        ("eleven and four tenths", 11.4),
        ("two hundredths of a dB", 0.02),
        ("three quarters of a meg", 0.75),
        ("thirteen and half decibel", 13.5),
        ("point four", 0.4),
        ("fifty-two and a quarter", 52.25),
        ("seven and a half", 7.5),
        ("a hundred and ten K", 110),
        ("fourteen hundred and eight", 1408),
        ("three sixty-four point two", 364.2),
        ("minus twenty-one six", -21.6),
        ("-49.8V", -49.8),
        ("1,490 feet", 1490),
        ("49 point 8", 49.8),
        ("three comma seven", 3.7),
    ],
)
def test_ways_of_saying(text: str, value: float) -> None:
    assert values(text) == pytest.approx([value])


@pytest.mark.parametrize("text", ["oh you know", "no one there", "the point is", "hundred percent"])
def test_no_number(text: str) -> None:
    assert [v for v in values(text) if v != 1] == []


def test_a_code_keeps_its_digits() -> None:
    assert [n.digits for n in find_numbers(norms("order six six one zero nine four"))] == ["661094"]
