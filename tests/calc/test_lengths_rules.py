from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes.calc import capacitance, copper, dsl, lengths, poe, rules

steady = settings(derandomize=True, max_examples=60, deadline=None)


@given(st.sampled_from((19, 22, 24, 26)), st.floats(500, 20_000), st.floats(-20, 50))
@steady
def test_a_sound_pair_is_as_long_both_ways(awg: int, feet: float, temp_c: float) -> None:
    """Readings made of one length, by the constants that were read, must agree, and a tap or a joint must not."""
    ohm = copper.loop_ohm_per_kft(awg, temp_c=temp_c) * feet / 1000
    nf = capacitance.of_length(feet)
    if ohm > copper.MOST_PAIR_OHM:
        return
    assert lengths.two_ways(ohm, nf, awg, temp_c=temp_c).longer is None
    # 10 percent of joint or tap is more than both spreads together (2 and 5 percent).
    assert lengths.two_ways(ohm, nf * 1.1, awg, temp_c=temp_c).longer == "capacitance"
    if ohm * 1.1 < copper.MOST_PAIR_OHM:
        assert lengths.two_ways(ohm * 1.1, nf, awg, temp_c=temp_c).longer == "resistance"


def test_how_far_two_lengths_lie_apart() -> None:
    # CU-16 and CAP-01 of the worked examples: 6,078 ft by 312 ohm, 15,904 ft by 250 nF.
    assert lengths.two_ways(312, 250, 24, temp_c=20).apart_percent == pytest.approx(100 * (6078 / 15904 - 1), abs=0.1)


@pytest.mark.parametrize(
    ("watts", "number"), [(3.84, 1), (3.85, 2), (6.49, 2), (12.95, 3), (13, 4), (25.5, 4), (26, 5), (51, 6), (71.3, 8)]
)
def test_a_device_needs_the_lowest_class_that_feeds_it(watts: float, number: int) -> None:
    # Class powers: git.phoenixinquis.net notes, a switch manual for 0 to 3 (read).
    assert poe.class_for(watts) == number


# The words of public websites, bands closed as one of them closes them (common practice, no published source).
@pytest.mark.parametrize(
    ("db", "word"),
    [(5, "bad"), (6.9, "bad"), (7, "fair"), (10.9, "fair"), (11, "good"), (20, "excellent"), (29, "outstanding")],
)
def test_words_for_a_margin(db: float, word: str) -> None:
    assert dsl.margin_word(db) == word


@pytest.mark.parametrize(
    ("db", "word"), [(20, "outstanding"), (21, "excellent"), (31, "very good"), (41, "good"), (51, "poor"), (60, "bad")]
)
def test_words_for_an_attenuation(db: float, word: str) -> None:
    assert dsl.attenuation_word(db) == word


def test_rules_at_their_edges() -> None:
    # ASME A17.1-2019 2.27.1.1.2, NFPA 72 by trade articles, 47 CFR 9.16(b) (read).
    assert [rules.elevator_moved_on(s) for s in (44, 45, 46)] == [False, False, True]
    assert [rules.alarm_test_in_time(h, 2013) for h in (6, 6.1)] == [True, False]
    assert [rules.alarm_test_in_time(h, 2002) for h in (24, 24.1)] == [True, False]
    assert [rules.direct_emergency_call(keys) for keys in ("911", "9-911", "*911", "8,911")] == [
        True,
        False,
        False,
        False,
    ]
