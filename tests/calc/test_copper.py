from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes.calc import copper, figures
from callnotes.calc.copper import Section

from .case_files import rows

gauges = st.sampled_from((19, 22, 24, 26))
feet = st.floats(10, 30_000)
temperatures = st.floats(-40, 60)
steady = settings(derandomize=True, max_examples=60, deadline=None)


def to_last_digit(text: str) -> float:
    """Half a unit of the last printed digit, and a little for the rounding of what it was computed from."""
    return 0.6 * 10.0 ** -len(text.partition(".")[2])


@pytest.mark.parametrize("row", rows("awg"), ids=lambda row: f"{row['awg']} AWG")
def test_gauge_agrees_with_the_published_wire_table(row: dict[str, str]) -> None:
    awg = int(row["awg"])
    computed = {
        "d_in": copper.diameter(awg).inches,
        "d_mm": copper.diameter(awg).mm,
        "conductor_kft": copper.conductor_ohm_per_kft(awg),
        "loop_kft_20c": copper.loop_ohm_per_kft(awg),
        "loop_kft_100f": copper.loop_ohm_per_kft(awg, temp_c=figures.celsius(100)),
        "loop_km_20c": copper.loop_ohm_per_kft(awg) / 0.3048,
        "loop_mile_20c": copper.loop_ohm_per_kft(awg) * 5.28,
    }
    for column, value in computed.items():
        assert value == pytest.approx(float(row[column]), abs=to_last_digit(row[column])), column


@pytest.mark.parametrize("row", [row for row in rows("awg") if row["pbx_kft"]], ids=lambda row: f"{row['awg']} AWG")
def test_telephone_table_rounds_to_the_read_pbx_table(row: dict[str, str]) -> None:
    telephone = copper.loop_ohm_per_kft(int(row["awg"]), table="telephone")
    assert telephone == float(row["telephone_kft"])
    assert telephone == pytest.approx(float(row["pbx_kft"]), abs=1), "practice 553-3001-367, table 41 (read)"


def test_nominal_diameters_of_the_federal_cable_rule() -> None:
    # 7 CFR 1755.870 lists 0.643 mm for 22 AWG and 0.511 mm for 24 AWG (read).
    assert copper.diameter(22).mm == pytest.approx(0.643, abs=0.001)
    assert copper.diameter(24).mm == pytest.approx(0.511, abs=0.001)


def test_the_two_temperature_factors_agree_within_a_tenth_of_a_percent() -> None:
    by_iacs = copper.at_temperature(100, figures.celsius(100))
    by_rule = copper.telephone_at_temperature(100, 100)
    assert by_iacs == pytest.approx(by_rule, rel=0.001)


def test_textbook_formula_agrees_with_the_bare_table() -> None:
    per_mile = copper.textbook_loop_ohm_per_mile(copper.diameter(24).inches)
    assert per_mile / 5.28 == pytest.approx(copper.loop_ohm_per_kft(24), rel=0.002)


@given(gauges, feet, temperatures)
@steady
def test_distance_is_the_inverse_of_resistance(awg: int, length_ft: float, temp_c: float) -> None:
    for table in ("bare", "telephone"):
        ohm = copper.loop_resistance([Section(awg, length_ft)], temp_c=temp_c, table=table)
        found = copper.distance_to_short(ohm, awg, temp_c=temp_c, table=table)
        assert found.feet == pytest.approx(length_ft, rel=1e-9)
        assert found.low_ft <= found.feet * (1 + 1e-9)
        assert found.high_ft >= found.feet * (1 - 1e-9)


@given(st.lists(st.builds(Section, gauges, feet), min_size=1, max_size=4), st.floats(0, 1), temperatures)
@steady
def test_distance_on_mixed_gauges_is_the_inverse_too(parts: list[Section], where: float, temp_c: float) -> None:
    goal = where * sum(part.length_ft for part in parts)
    passed, left = [], goal
    for part in parts:
        passed.append(Section(part.awg, min(part.length_ft, left)))
        left = max(0.0, left - part.length_ft)
    ohm = copper.loop_resistance(passed, temp_c=temp_c)
    found = copper.distance_to_short_mixed(ohm, parts, temp_c=temp_c)
    assert found.feet == pytest.approx(goal, rel=1e-6, abs=1e-6)
    assert found.low_ft <= found.feet * (1 + 1e-9)
    assert found.feet <= found.high_ft * (1 + 1e-9)
    assert found.high_ft <= sum(part.length_ft for part in parts) * (1 + 1e-9)


def test_spread_holds_both_tables_and_names_the_one_used() -> None:
    bare = copper.distance_to_short(312, 24, temp_c=20)
    telephone = copper.distance_to_short(312, 24, temp_c=20, table="telephone")
    assert (bare.table, telephone.table) == ("bare", "telephone")
    assert (bare.low_ft, bare.high_ft) == pytest.approx((6012, 6078), abs=1)
    assert (telephone.low_ft, telephone.high_ft) == (bare.low_ft, bare.high_ft)
    assert telephone.feet == pytest.approx(6012, abs=1)


def test_unknown_temperature_widens_the_spread_and_says_so() -> None:
    known = copper.distance_to_short(312, 24, temp_c=20)
    unknown = copper.distance_to_short(312, 24)
    assert known.temperature_given
    assert not unknown.temperature_given
    assert unknown.feet == known.feet
    # 10 degC either way is about 4 percent.
    assert unknown.low_ft == pytest.approx(known.low_ft * 0.96, rel=0.005)
    assert unknown.high_ft == pytest.approx(known.high_ft * 1.04, rel=0.005)


def test_gauge_without_a_telephone_row_still_has_a_spread() -> None:
    found = copper.distance_to_short(100, 23, temp_c=20)
    assert found.low_ft == pytest.approx(found.feet / 1.02)
    assert found.high_ft == found.feet


def test_leads_are_taken_off_before_the_distance() -> None:
    assert (
        copper.distance_to_short(313, 24, temp_c=20, leads_ohm=1).feet
        == copper.distance_to_short(312, 24, temp_c=20).feet
    )


def test_more_resistance_than_the_cable_has_is_no_short_in_it() -> None:
    with pytest.raises(ValueError, match=r"more than the whole cable has \(51 ohm\)"):
        copper.distance_to_short_mixed(60, [Section(24, 1000)])


def test_deviation_at_over_and_under_the_edge() -> None:
    assert copper.deviation(110, 100).within
    assert copper.deviation(90, 100).within
    assert copper.deviation(616 * 1.1, 616).within
    assert not copper.deviation(110.1, 100).within
    assert not copper.deviation(89.9, 100).within
    assert copper.deviation(89.9, 100).percent == pytest.approx(-10.1)


def test_unbalance_names_both_formulas_and_does_not_care_for_order() -> None:
    one, other = copper.dc_unbalance(305, 311), copper.dc_unbalance(311, 305)
    assert one == other
    assert one.percent_of_smaller == pytest.approx(1.97, abs=0.005)


def test_short_at_the_very_end_and_half_an_ohm_beyond_it() -> None:
    parts = [Section(26, 6000), Section(24, 9000)]
    ohm = copper.loop_resistance(parts)
    assert copper.distance_to_short_mixed(ohm, parts, temp_c=20).feet == pytest.approx(15_000)
    with pytest.raises(ValueError, match="no short inside it"):
        copper.distance_to_short_mixed(ohm + 0.5, parts, temp_c=20)


def test_short_just_inside_the_second_section_goes_by_its_gauge() -> None:
    parts = [Section(26, 6000), Section(24, 9000)]
    ohm = copper.loop_resistance([parts[0]]) + 0.5
    found = copper.distance_to_short_mixed(ohm, parts, temp_c=20)
    assert found.feet == pytest.approx(6000 + 500 / copper.loop_ohm_per_kft(24), abs=1e-6)
