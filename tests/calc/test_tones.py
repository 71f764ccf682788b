from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes.calc import tones

from .case_files import rows

steady = settings(derandomize=True, max_examples=60, deadline=None)
KEYS = "0123456789ABCD*#"


@given(st.sampled_from(KEYS), st.floats(-1.49, 1.49), st.floats(-1.49, 1.49))
@steady
def test_key_is_told_within_the_accepted_band(key: str, low_off: float, high_off: float) -> None:
    low, high = tones.dtmf_hz(key)
    assert tones.dtmf_key(low * (1 + low_off / 100), high * (1 + high_off / 100)) == key


@pytest.mark.parametrize("key", KEYS)
def test_no_key_beyond_the_rejecting_band(key: str) -> None:
    low, high = tones.dtmf_hz(key)
    assert tones.dtmf_key(low * 1.036, high) is None
    assert tones.dtmf_key(low, high * 0.964) is None


def test_the_whole_key_matrix() -> None:
    # ITU-T Q.23, as in asterisk main/dsp.c and spandsp src/dtmf.c (read).
    for row, keys in ((697, "123A"), (770, "456B"), (852, "789C"), (941, "*0#D")):
        assert [tones.dtmf_hz(key) for key in keys] == [(row, hz) for hz in (1209, 1336, 1477, 1633)]


def test_keys_make_sixteen_different_pairs() -> None:
    assert len({tones.dtmf_hz(key) for key in KEYS}) == 16


@pytest.mark.parametrize("row", rows("heard-tones"), ids=lambda row: f"{row['hz']} {row['on_s']}/{row['off_s']}")
def test_heard_tone_gets_its_name(row: dict[str, str]) -> None:
    heard = [float(hz) for hz in row["hz"].split()]
    assert tones.classify(heard, float(row["on_s"]), float(row["off_s"])) == (row["name"] or None)
    assert tones.classify(heard[::-1], float(row["on_s"]), float(row["off_s"])) == (row["name"] or None)


@pytest.mark.parametrize("row", rows("tone-plan"), ids=lambda row: row["name"])
def test_tone_of_the_plan(row: dict[str, str]) -> None:
    found = tones.tone(row["name"])
    assert found.hz == tuple(float(hz) for hz in row["hz"].split())
    assert found.cadence == tuple(tuple(float(part) for part in one.split("/")) for one in row["cadence"].split())
    assert found.level_dbm == (float(row["level"]) if row["level"] else None)
    assert found.then == row["then"]
    assert found.alternating == (row["name"] == "pbx intercept")


def test_plan_has_no_tone_beside_the_table() -> None:
    assert [tone.name for tone in tones.PLAN] == [row["name"] for row in rows("tone-plan")]


def test_every_name_and_other_name_of_the_plan_is_found() -> None:
    for name in [tone.name for tone in tones.PLAN] + list(tones.ALSO_CALLED):
        assert tones.tone(name.upper()) in tones.PLAN


def test_plan_shows_no_level_where_none_was_read() -> None:
    assert tones.tone("howler").level_dbm is None
    assert tones.tone("dial tone").per_minute is None


@pytest.mark.parametrize("row", rows("sit"), ids=lambda row: row["code"])
def test_information_tone_table(row: dict[str, str]) -> None:
    low, high = (913.8, 1370.6), (985.2, 1428.5)
    hz = [(low if row[f"pitch{n}"] == "low" else high)[n - 1] for n in (1, 2)] + [1776.7]
    # One source has 276 ms for the short tone where two have 274.
    ms = [276 if row[f"length{n}"] == "short" else 380 for n in (1, 2, 3)]
    found = tones.information_tone(row["code"])
    assert list(found.hz) == hz
    assert found.ms == tuple(274 if length == 276 else length for length in ms)
    assert tones.classify_information_tone(hz, ms) == (found.name,)
    assert found.name in tones.classify_information_tone(hz)


def test_lengths_only_narrow_the_name() -> None:
    low = tones.information_tone("IC").hz
    assert tones.classify_information_tone(low) == ("intercept (IC)", "no circuit (NC2, distant)")
    # Each about 0.33 s fits neither length: order and frequency still find the two.
    assert len(tones.classify_information_tone(low, [330, 330, 330])) == 2


def test_international_form_is_found_without_a_name_and_order_counts() -> None:
    assert tones.classify_information_tone([950, 1400, 1800], [330, 330, 330]) == ("special information tone",)
    assert tones.classify_information_tone([1800, 1400, 950]) == ()
    assert tones.classify_information_tone([900, 1200, 1800]) == ()


@pytest.mark.parametrize("name", ["reorder", "no circuit", "XX", ""])
def test_information_tone_needs_one_meaning(name: str) -> None:
    with pytest.raises(ValueError, match="no single information tone"):
        tones.information_tone(name)
