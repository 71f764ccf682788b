from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes.calc import dsl, fiber, poe

from .case_files import rows

steady = settings(derandomize=True, max_examples=60, deadline=None)


@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_type_rows_follow_from_volts_and_ohm(number: int) -> None:
    row = poe.power_type(number)
    found = poe.supply_for_load(row.source_v, row.device_w, row.channel_ohm)
    assert found.source_w == pytest.approx(row.source_w, abs=0.1)
    assert found.device_v == pytest.approx(row.device_v, abs=0.1)


@given(st.floats(44, 57), st.floats(0, 20), st.floats(0, 12.5))
@steady
def test_load_gets_what_it_takes_and_the_cable_keeps_the_rest(volts: float, watts: float, ohm: float) -> None:
    found = poe.supply_for_load(volts, watts, ohm)
    assert found.device_w == pytest.approx(watts, abs=1e-6)
    assert found.source_w - found.device_w == pytest.approx(found.current_a**2 * ohm, abs=1e-6)
    assert found.device_v >= volts / 2


def test_cable_too_thin_for_the_power() -> None:
    with pytest.raises(ValueError, match=r"brings no more than 31\.2 W"):
        poe.supply_for_load(50, 40, 20)
    with pytest.raises(ValueError, match="uses up all 50 V"):
        poe.supply(50, 5, 10)


def test_voltage_at_the_device_at_its_floor() -> None:
    assert poe.enough_at_device(42.5, 2)
    assert not poe.enough_at_device(42.4, 2)
    assert poe.enough_at_device(37.0, 1)


def test_class_powers() -> None:
    table = {int(row["class"]): (float(row["source_w"]), float(row["device_w"])) for row in rows("poe")}
    assert {number: (one.source_w, one.device_w) for number, one in poe.CLASSES.items()} == table


@pytest.mark.parametrize("row", rows("fiber-losses"), ids=lambda row: f"{row['kind']}, {row['basis']}")
def test_losses_of_fiber_connections_and_splices(row: dict[str, str]) -> None:
    def lost(km: float, connections: int, splices: int) -> float:
        return fiber.budget(row["kind"], km, connections=connections, splices=splices, basis=row["basis"])

    assert (lost(1, 0, 0), lost(0, 1, 0), lost(0, 0, 1)) == tuple(
        float(row[part]) for part in ("km", "connection", "splice")
    )


def test_typical_budget_is_never_over_the_maximum() -> None:
    for kind in fiber.MAXIMUM:
        typical = fiber.budget(kind, 2, connections=2, splices=3, basis="typical")
        assert typical < fiber.budget(kind, 2, connections=2, splices=3)


@given(st.floats(-60, 20))
@steady
def test_milliwatts_come_back(level: float) -> None:
    assert fiber.dbm(fiber.milliwatts(level)) == pytest.approx(level, abs=1e-9)


def test_fiber_colors_are_twelve_and_different() -> None:
    assert [fiber.color(number) for number in (1, 5, 12)] == ["blue", "slate", "aqua"]
    assert len({fiber.color(number) for number in range(1, 13)}) == 12


@given(st.floats(10, 3000))
@steady
def test_tap_length_comes_back_from_its_notch(feet: float) -> None:
    assert dsl.tap_length_ft(dsl.tap_notch_khz(feet)) == pytest.approx(feet)


@pytest.mark.parametrize(
    ("kft_26", "kft_24", "taps", "longest", "inside"),
    [
        # Bellcore rule, from memory (medium): all 26 AWG 9 kft, all 24 AWG 12 kft, taps 2.5 kft, one tap 2 kft.
        (9, 0, 0, 0, True),
        (9.01, 0, 0, 0, False),
        (0, 12, 0, 0, True),
        (0, 12.01, 0, 0, False),
        (7, 0, 2, 2, True),
        (7.01, 0, 2, 2, False),
        (0, 8, 2.6, 1, False),
        (0, 8, 2.1, 2.1, False),
        (0, 2, 9, 1, False),
    ],
)
def test_serving_area_at_its_edges(kft_26: float, kft_24: float, taps: float, longest: float, inside: bool) -> None:
    assert dsl.serving_area(kft_26, kft_24, taps_kft=taps, longest_tap_kft=longest).inside is inside
