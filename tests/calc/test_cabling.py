from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes.calc import cabling

from .case_files import rows

steady = settings(derandomize=True, max_examples=60, deadline=None)
PARAMETERS = {"loss": "insertion loss", "NEXT": "NEXT", "RL": "return loss"}
MODELS = {"ch": "channel", "link": "permanent link"}


@pytest.mark.parametrize("row", rows("tia-568-limits"), ids=lambda row: f"{row['mhz']} MHz")
def test_limits_agree_with_the_table(row: dict[str, str]) -> None:
    for name, printed in row.items():
        if name == "mhz" or not printed:
            continue
        category, parameter, model = name.split()
        computed = cabling.limit(category, MODELS[model], PARAMETERS[parameter], float(row["mhz"]))
        assert computed == pytest.approx(float(printed), abs=0.1), name


# Read in a draft-9 table of Cat6 permanent-link return loss (source of 1 to 250 MHz, trade use).
@pytest.mark.parametrize(
    ("mhz", "db"), [(1, 19.1), (4, 21.0), (16, 20.0), (20, 19.5), (31.25, 18.5), (100, 14.0), (250, 10.0)]
)
def test_link_return_loss_agrees_with_the_read_draft(mhz: float, db: float) -> None:
    assert cabling.limit("6", "permanent link", "return loss", mhz) == pytest.approx(db, abs=0.1)


@given(st.sampled_from(("5e", "6")), st.floats(1, 100))
@steady
def test_link_is_asked_for_more_than_the_channel(category: cabling.Category, mhz: float) -> None:
    def at(model: cabling.Model, parameter: cabling.Parameter) -> float:
        return cabling.limit(category, model, parameter, mhz)

    assert at("permanent link", "insertion loss") < at("channel", "insertion loss")
    assert at("permanent link", "NEXT") >= at("channel", "NEXT")
    assert at("permanent link", "return loss") >= at("channel", "return loss")


def test_headroom_at_over_and_under_the_printed_limit() -> None:
    loss = [cabling.headroom("6", "channel", "insertion loss", 100, db) for db in (21.2, 21.3, 21.4)]
    assert [one.passes for one in loss] == [True, True, False]
    near = [cabling.headroom("6", "channel", "NEXT", 100, db) for db in (40.0, 39.9, 39.8)]
    assert [one.passes for one in near] == [True, True, False]


@pytest.mark.parametrize("mhz", [0.5, 0, -1, 100.1, float("nan")])
def test_cat5e_ends_at_100_mhz(mhz: float) -> None:
    with pytest.raises(ValueError, match=r"frequency|1 to 100 MHz"):
        cabling.limit("5e", "channel", "NEXT", mhz)


@pytest.mark.parametrize(
    ("model", "mhz", "attenuation", "crosstalk"),
    # TSB67 (yolicable.net, read).
    [
        ("channel", 10, 7.0, 44.0),
        ("permanent link", 10, 6.3, 45.5),
        ("channel", 100, 24.0, 27.1),
        ("permanent link", 100, 21.6, 29.3),
    ],
)
def test_old_cat5_table(model: cabling.Model, mhz: int, attenuation: float, crosstalk: float) -> None:
    assert cabling.tsb67(model, mhz) == cabling.Attenuation(attenuation, crosstalk)


def test_short_links_are_exempt_by_their_loss() -> None:
    assert cabling.exempt("return loss", 2.9)
    assert not cabling.exempt("return loss", 3.0)
    assert cabling.exempt("NEXT", 3.9)
    assert not cabling.exempt("insertion loss", 0.1)


def test_unbalance_passes_by_percent_or_by_ohm() -> None:
    assert cabling.pair_unbalance(9.0, 9.5).passes, "2.7 percent, though 0.5 ohm"
    assert cabling.pair_unbalance(1.0, 1.2).passes, "0.2 ohm, though 9 percent"
    assert not cabling.pair_unbalance(1.0, 1.21).passes


def test_delay_of_the_round_trip_is_twice_the_way() -> None:
    assert cabling.length_from_delay(800, 0.69, round_trip=True) == cabling.length_from_delay(400, 0.69)


def test_skew_and_loop_resistance_hold_at_their_limits() -> None:
    assert cabling.skew([500, 550]).passes
    assert not cabling.skew([500, 545], "permanent link").passes
    assert cabling.dc_loop(25.0).passes
    assert not cabling.dc_loop(21.1, "permanent link").passes


def test_lengths_at_their_limits() -> None:
    assert cabling.lengths(90, 10) == cabling.Lengths(True, 100, True)
    assert cabling.lengths(90, 10.5) == cabling.Lengths(True, 100.5, False)
