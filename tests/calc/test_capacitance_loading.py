from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes.calc import capacitance, loading

steady = settings(derandomize=True, max_examples=60, deadline=None)


def test_tester_guide_figure_lies_in_the_spread() -> None:
    # A copper-tester guide (read) quotes 44.9 nF as 2,999 ft for its default cable, 79 nF per mile.
    found = capacitance.distance_to_open(44.9)
    assert found.low_ft < 2999 <= found.high_ft + 2
    assert capacitance.distance_to_open(44.9, nf_per_mile=79).feet == pytest.approx(2999, abs=4)


@pytest.mark.parametrize("nf_per_mile", [82, 80.5], ids=["26 AWG (read)", "0.5 mm, 50 nF per km (read)"])
def test_read_neighbors_of_the_constant_lie_in_the_spread(nf_per_mile: float) -> None:
    ours = capacitance.distance_to_open(100)
    assert ours.low_ft < capacitance.distance_to_open(100, nf_per_mile=nf_per_mile).feet < ours.high_ft


def test_a_mile_holds_5_28_thousand_feet() -> None:
    assert capacitance.per_kft(52.8) == pytest.approx(10)


def test_one_side_open_goes_by_the_shorter_side() -> None:
    # Rule: use the shorter of the two footages (ospmag.com, read).
    found = capacitance.distance_to_one_side_open(125, 62.5)
    assert found.feet == pytest.approx(2640)
    assert found == capacitance.distance_to_one_side_open(62.5, 125)


def test_balance_at_and_over_three_percent() -> None:
    assert capacitance.pair_balance(100, 97).balanced
    assert capacitance.pair_balance(70, 70 * 0.97).balanced
    assert not capacitance.pair_balance(100, 96.9).balanced


def test_lifted_ground_falls_by_about_one_third() -> None:
    # Footage falls by about one third when the ground clip is lifted (isemag.com 2020-11, read).
    assert capacitance.lifted_ground_drop() == pytest.approx(100 / 3, abs=1)
    assert capacitance.lifted_ground_drop(3000, 3000) == 0
    assert capacitance.lifted_ground_drop(3000, 1500) == pytest.approx(50)


@given(st.floats(0.01, 1), st.floats(1, 2))
@steady
def test_network_gives_back_what_was_measured(mutual: float, ratio: float) -> None:
    found = capacitance.three_terminal(mutual, min(mutual * ratio, 2 * mutual))
    assert found.tip_ring + found.to_shield / 2 == pytest.approx(mutual)
    assert found.tip_ring + found.to_shield == pytest.approx(min(mutual * ratio, 2 * mutual))


@given(st.sampled_from(("B44", "D66", "H88")), st.floats(100, 60_000))
@steady
def test_coils_stand_a_spacing_apart_with_half_a_spacing_at_the_ends(name: str, loop_ft: float) -> None:
    spacing = loading.scheme(name).spacing_ft
    found = loading.coil_positions(name, loop_ft)
    if loop_ft < spacing:
        assert found.positions_ft == ()
        assert found.end_section_ft == loop_ft
        return
    assert found.positions_ft[0] == spacing / 2
    assert all(b - a == spacing for a, b in zip(found.positions_ft, found.positions_ft[1:], strict=False))
    assert spacing / 2 <= found.end_section_ft < 1.5 * spacing


def test_cut_off_of_d66_lies_within_the_voice_loading_range() -> None:
    # No read figure for D66; the constant-k formula itself, worked by hand: 66 mH and 70.7 nF.
    assert loading.cutoff_hz(66, 4500) == pytest.approx(4659, rel=0.01)


@pytest.mark.parametrize("name", ["X88", "H", "88", "", "H0", "HH88"])
def test_unknown_schemes_are_refused(name: str) -> None:
    with pytest.raises(ValueError, match="no loading scheme"):
        loading.scheme(name)
