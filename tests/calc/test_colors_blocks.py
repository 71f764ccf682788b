from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes.calc import blocks, colors

from .case_files import rows

steady = settings(derandomize=True, max_examples=100, deadline=None)
TABLE = rows("25-pair")


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"pair {row['pair']}")
def test_pair_agrees_with_the_federal_color_table(row: dict[str, str]) -> None:
    pair, tip, ring = int(row["pair"]), f"{row['tip']}-{row['ring']}", f"{row['ring']}-{row['tip']}"
    assert colors.pair_colors(pair) == colors.PairColors(pair, tip, ring)
    assert colors.conductor(tip) == colors.Conductor(pair, "tip", tip)
    assert colors.conductor(ring) == colors.Conductor(pair, "ring", ring)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"pair {row['pair']}")
def test_pair_stands_on_its_pins_and_rows(row: dict[str, str]) -> None:
    pair = int(row["pair"])
    pins, stands = blocks.rj21_pins(pair), blocks.rows_of_pair(pair)
    assert (pins.ring_pin, pins.tip_pin) == (int(row["rj21_ring"]), int(row["rj21_tip"]))
    assert (stands.tip_row, stands.ring_row) == (int(row["row_tip"]), int(row["row_ring"]))
    for lead, pin, at in (("tip", pins.tip_pin, stands.tip_row), ("ring", pins.ring_pin, stands.ring_row)):
        assert (blocks.pair_of_rj21_pin(pin).pair, blocks.pair_of_rj21_pin(pin).lead) == (pair, lead)
        assert (blocks.pair_of_row(at).pair, blocks.pair_of_row(at).lead) == (pair, lead)
        assert blocks.pair_of_row(at).color == getattr(stands, lead)
        assert blocks.pair_of_rj21_pin(pin).color == getattr(pins, lead)


def test_every_pin_and_row_holds_one_wire() -> None:
    assert len({(blocks.pair_of_rj21_pin(n).pair, blocks.pair_of_rj21_pin(n).lead) for n in range(1, 51)}) == 50
    assert len({(blocks.pair_of_row(n).pair, blocks.pair_of_row(n).lead) for n in range(1, 51)}) == 50


@pytest.mark.parametrize("row", rows("super-units"), ids=lambda row: row["color"])
def test_super_units_of_the_federal_table(row: dict[str, str]) -> None:
    first, last = colors.cable_pair(int(row["first"])), colors.cable_pair(int(row["last"]))
    assert first.super_unit == last.super_unit == row["color"]
    assert (first.binder_no, first.pair_in_binder) == (1, 1)
    assert (last.binder, last.tip) == ("violet-brown", "violet-slate")


@given(st.integers(1, 6000))
@steady
def test_pair_comes_back_from_its_colors(pair: int) -> None:
    place = colors.cable_pair(pair)
    for name in (place.tip, place.ring):
        assert colors.pair_number(name, binder=place.binder, super_unit=place.super_unit) == pair
    assert colors.binder_number(place.binder) == place.binder_no


@pytest.mark.parametrize(
    ("heard", "pair", "lead"),
    [
        ("Orange-Red", 7, "ring"),
        ("white / gray", 5, "tip"),
        ("grey white", 5, "ring"),
        ("purple and brown", 24, "tip"),
        ("red with blue", 6, "tip"),
        ("slate, yellow", 20, "ring"),
    ],
)
def test_colors_as_people_say_them(heard: str, pair: int, lead: str) -> None:
    found = colors.conductor(heard)
    assert (found.pair, found.lead) == (pair, lead)


@pytest.mark.parametrize(
    ("heard", "says"),
    [
        ("red-black", "both tip colors.*service pair of screened cable"),
        ("white-white", "both tip colors"),
        ("blue-green", "both ring colors"),
        ("pink-blue", "'pink' is no color of the code"),
        ("blue", "does not name two colors"),
        ("red orange blue", "does not name two colors"),
        ("", "does not name two colors"),
    ],
)
def test_colors_that_are_no_pair(heard: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        colors.conductor(heard)


def test_service_pairs_are_the_nine_of_the_federal_table() -> None:
    # 7 CFR 1755.890 (read).
    listed = "white-red white-black white-yellow white-violet red-black red-yellow red-violet black-yellow black-violet"
    assert list(colors.SERVICE_PAIRS.values()) == listed.split()
    assert list(colors.SERVICE_PAIRS) == list(range(1, 10))


def test_violet_slate_is_a_pair_but_no_binder() -> None:
    assert colors.pair_number("violet-slate") == 25
    with pytest.raises(ValueError, match="no binder color"):
        colors.pair_number("white-blue", binder="violet-slate")


def test_super_unit_needs_a_binder() -> None:
    with pytest.raises(ValueError, match="needs a binder"):
        colors.pair_number("white-blue", super_unit="red")


def test_split_row_joins_left_with_left_only_unless_bridged() -> None:
    apart = {(a, b) for a in range(1, 5) for b in range(1, 5) if not blocks.joined(a, b, bridging_clip=False)}
    assert apart == {(1, 3), (1, 4), (2, 3), (2, 4), (3, 1), (4, 1), (3, 2), (4, 2)}
    assert all(blocks.joined(a, b, bridging_clip=True) for a in range(1, 5) for b in range(1, 5))


@given(st.integers(1, 300), st.sampled_from((4, 5)))
@steady
def test_110_place_counts_on_from_left_to_right(pair: int, clip_size: int) -> None:
    place, per_row = blocks.clip_110(pair, clip_size=clip_size), {5: 25, 4: 24}[clip_size]
    assert (place.row - 1) * per_row + (place.clip - 1) * clip_size + place.position == pair
    assert 1 <= place.clip <= per_row // clip_size
    assert 1 <= place.position <= clip_size
