from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes.calc import loop, noise

steady = settings(derandomize=True, max_examples=60, deadline=None)


@given(st.floats(0, 3000))
@steady
def test_loop_for_current_is_the_inverse_of_loop_current(ohm: float) -> None:
    assert loop.loop_for_current(loop.loop_current(ohm)) == pytest.approx(ohm, abs=1e-6)


def test_longest_loop_for_23_ma_is_shorter_than_for_20() -> None:
    # 23 mA is what a copper-tester guide wants at the interface (read), 20 mA the floor of two state rules (read).
    assert loop.loop_for_current(23) == pytest.approx(1487, abs=1)
    assert loop.loop_for_current(23) < loop.loop_for_current(20)


def test_more_current_than_the_feed_gives_is_refused() -> None:
    with pytest.raises(ValueError, match="81 mA is more than 48 V drives"):
        loop.loop_for_current(81)


def test_five_ren_are_about_1400_ohm() -> None:
    # Industry test load, from memory (high): 1 REN about 7,000 ohm, 5 REN about 1,400 ohm at 20 Hz.
    assert 88 / (loop.ringing_current(5) / 1000) == pytest.approx(1400, rel=0.01)


def test_ren_sum_of_exactly_the_limit_is_within_it() -> None:
    assert loop.ren_sum([0.1] * 50).within
    assert not loop.ren_sum([0.1] * 51).within
    assert loop.ren_sum([]).total == 0


def test_ringing_peak_of_the_highest_allowed_ringing() -> None:
    assert loop.ringing_peak(ringing_v=150) == pytest.approx(260.1, abs=0.1)


@given(st.floats(0.1, 20))
@steady
def test_least_reading_gives_the_floor_in_megohm_miles(miles: float) -> None:
    assert loop.megohm_miles(loop.least_reading(miles), miles * 5280) == pytest.approx(500)


@given(st.floats(-100, 30))
@steady
def test_levels_come_back(level: float) -> None:
    assert noise.level_dbm(noise.level_volts(level)) == pytest.approx(level, abs=1e-9)
    assert noise.dbm(noise.dbrn(level)) == pytest.approx(level, abs=1e-9)


def test_quiet_line_gives_a_low_balance_figure() -> None:
    # Power influence 75 with noise 18: both within S.C. 103-663.3, yet the difference is below its 60 dB.
    assert noise.balance(75, 18) == 57
