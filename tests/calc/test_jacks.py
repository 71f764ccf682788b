from __future__ import annotations

import pytest

from callnotes.calc import jacks

from .case_files import rows

STRAIGHT = {pin: pin for pin in range(1, 9)}


@pytest.mark.parametrize("row", rows("t568"), ids=lambda row: f"{row['wiring']} pin {row['pin']}")
def test_pin_agrees_with_the_table(row: dict[str, str]) -> None:
    assert jacks.t568_pin(int(row["pin"]), row["wiring"]) == jacks.Pin(int(row["pair"]), row["lead"], row["color"])


@pytest.mark.parametrize("wiring", ["T568A", "T568B"])
def test_equal_ends_make_a_straight_cable(wiring: jacks.Wiring) -> None:
    assert jacks.mixed_ends(wiring, wiring) == jacks.WireMap(tuple(range(1, 9)), ())


def test_mixed_ends_are_a_crossover_in_both_directions() -> None:
    assert jacks.mixed_ends("T568A", "T568B") == jacks.mixed_ends("T568B", "T568A")
    assert jacks.mixed_ends("T568B", "T568A").far_pins == (3, 6, 1, 4, 5, 2, 7, 8)


@pytest.mark.parametrize(
    ("changed", "faults"),
    [
        ({4: None}, ("open on 4",)),
        ({4: None, 5: None}, ("open on 4", "open on 5")),
        ({7: 8, 8: 7}, ("reversed pair 7-8",)),
        ({7: 8}, ("short between 7 and 8",)),
        ({4: 7, 5: 8, 7: 4, 8: 5}, ("crossed pairs 4-5 and 7-8",)),
        (
            {2: 3, 3: 2},
            ("wires of pair 1-2 land on two pairs: 1 and 3", "wires of pair 3-6 land on two pairs: 2 and 6"),
        ),
    ],
)
def test_dc_map_is_read(changed: dict[int, int | None], faults: tuple[str, ...]) -> None:
    assert jacks.wire_map(STRAIGHT | changed).faults == faults


def test_left_out_pin_counts_as_open_and_a_pin_nine_does_not_exist() -> None:
    assert jacks.wire_map({pin: pin for pin in range(1, 8)}).faults == ("open on 8",)
    with pytest.raises(ValueError, match="1 to 8, not 9"):
        jacks.wire_map(STRAIGHT | {8: 9})


@pytest.mark.parametrize("row", rows("registered-jacks"), ids=lambda row: f"{row['jack']} line {row['line']}")
def test_lines_of_registered_jacks(row: dict[str, str]) -> None:
    found = jacks.jack_line(row["jack"].lower(), int(row["line"]))
    assert (found.tip_pin, found.ring_pin) == (int(row["tip"]), int(row["ring"]))
    assert found.old_colors == ((row["old_tip"], row["old_ring"]) if row["old_tip"] else None)


@pytest.mark.parametrize(("jack", "line"), [("RJ11C", 2), ("RJ14C", 0), ("RJ99", 1)])
def test_lines_that_a_jack_does_not_have(jack: str, line: int) -> None:
    with pytest.raises(ValueError, match=r"line of an|no jack"):
        jacks.jack_line(jack, line)


def test_alarm_jack_gives_the_house_its_line_back_only_unplugged() -> None:
    out, plugged = jacks.alarm_jack(plug_in=False), jacks.alarm_jack(plug_in=True)
    assert out.bars_closed
    assert out.house_phones_work is True
    assert not plugged.bars_closed
    assert plugged.house_phones_work is None, "with the plug in, the panel decides"
