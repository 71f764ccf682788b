"""The order of points on the way, and which two points are one place."""

from __future__ import annotations

import pytest

from callnotes.diagnose.path import ordered, same_place, told_apart
from callnotes.records import Point
from callnotes.trade import load_trade
from tests.diagnose.case_files import parse

TRADE = load_trade()


def test_points_run_from_the_provider_to_the_device() -> None:
    text = "\n".join(
        f"note {place}"
        for place in (
            "set",
            "block/side=right",
            "demarc/side=customer",
            "jack",
            "block/side=left",
            "demarc/side=provider",
            "cable",
        )
    )
    points = ordered(parse("order", text).timeline, TRADE).points
    way = [f"{p.kind}/{p.side or ''}" for p in sorted(points, key=lambda p: p.order)]
    assert way == ["demarc/provider", "demarc/customer", "block/left", "block/right", "cable/", "jack/", "set/"]


def test_equal_places_keep_the_order_of_first_mention() -> None:
    points = ordered(parse("order", "note set/label=b\nnote set/label=a").timeline, TRADE).points
    assert [(p.label, p.order) for p in points] == [("b", 1), ("a", 2)]


@pytest.mark.parametrize(
    ("a", "b", "same"),
    [
        ({"kind": "block", "row": (3, 4)}, {"kind": "block", "row": (4,), "side": "right"}, True),
        ({"kind": "block", "side": "left"}, {"kind": "block", "side": "right"}, False),
        ({"kind": "block", "row": (1, 2)}, {"kind": "block", "row": (3, 4)}, False),
        ({"kind": "set", "label": "kitchen"}, {"kind": "set"}, True),
        ({"kind": "set", "label": "kitchen"}, {"kind": "set", "label": "office"}, False),
        ({"kind": "switch", "port": 22}, {"kind": "switch", "port": "22"}, True),
        ({"kind": "jack"}, {"kind": "set"}, False),
    ],
)
def test_one_place(a: dict, b: dict, same: bool) -> None:
    assert same_place(Point(id="P1", **a), Point(id="P2", **b)) is same


def test_two_names_that_each_tell_something_are_most_likely_two_things() -> None:
    gray, blue = Point(id="P1", kind="cable", label="gray"), Point(id="P2", kind="cable", color="white/blue")
    assert told_apart(gray, blue)
    assert not told_apart(gray, Point(id="P3", kind="cable"))
