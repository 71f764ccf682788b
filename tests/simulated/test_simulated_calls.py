"""The simulator of service calls: the same number the same call, the records valid, the readings what the fault makes.

The contract's fault words and kinds are copied from the format guide; what a fault shows is checked against
the signatures of the trade (tone before an open and none behind it, and so on: common practice, no published source).
"""

from __future__ import annotations

import time
from collections import Counter
from functools import cache

import pytest

from callnotes.records import Timeline, to_json
from tests.bench.simulated_calls import OUTSIDE, SimulatedCall, draw, draw_many
from tests.bench.simulated_calls.__main__ import show
from tests.bench.simulated_calls.chance import Chance
from tests.bench.simulated_calls.line import view
from tests.bench.simulated_calls.plant import Element, Fault, Plant
from tests.bench.simulated_calls.rates import fault_kinds

FAULTS = {
    "open", "short", "ground", "cross", "foreign_voltage", "noise", "line_held", "bad_device", "bad_jack",
    "bad_termination", "damaged_cable", "too_long", "high_resistance", "low_power", "misrouted", "reversed_polarity",
    "split_pair", "no_service", "config", "none",
}  # fmt: skip
KINDS = {
    "demarc", "protector", "terminal", "block", "cable", "jack", "line_seizure_jack", "alarm_panel", "filter", "pbx",
    "set", "patch_panel", "switch", "device", "ont", "other",
}  # fmt: skip
ACTIONS = {
    "disconnect", "reconnect", "remove_clips", "install_clips", "terminate", "replace", "repair", "move", "apply_tone",
    "reset", "configure", "label", "notify", "refer", "restore", "install", "remove", "clean",
}  # fmt: skip
QUANTITIES = {
    "dial_tone", "line_sound", "outgoing_call", "incoming_call", "dc_voltage", "ac_voltage", "loop_current",
    "resistance", "insulation_resistance", "balance", "margin", "snr_margin", "attenuation", "noise", "optical_power",
    "optical_loss", "length", "distance_to_fault", "tracing_tone", "continuity", "short", "ground_fault", "polarity",
    "wire_map", "cable_test", "link", "sync", "link_speed", "poe_power", "power", "operation", "line_number",
    "inspection",
}  # fmt: skip


@cache
def many() -> tuple[SimulatedCall, ...]:
    return tuple(draw_many(3000, 11))


def test_same_seed_same_call() -> None:
    first, again = list(draw_many(40, 5)), list(draw_many(40, 5))
    assert [to_json(c.timeline) for c in first] == [to_json(c.timeline) for c in again]
    assert [c.truth for c in first] == [c.truth for c in again]
    assert to_json(draw(1).timeline) != to_json(draw(2).timeline)


def test_every_call_is_a_timeline_in_the_words_of_the_contract() -> None:
    for call in many():
        timeline = Timeline.model_validate_json(to_json(call.timeline))
        known = {p.id for p in timeline.points}
        assert {p.kind for p in timeline.points} <= KINDS
        starts = [e.start for e in timeline.events]
        assert starts == sorted(starts), call.seed
        for event in timeline.events:
            assert event.point is None or event.point in known
            assert {c.point for c in event.conditions} <= known | {None}
            assert (event.kind == "reading") == (event.quantity is not None)
            assert event.quantity is None or event.quantity in QUANTITIES
            assert event.action is None or event.action in ACTIONS
            if event.kind == "reading":
                assert (event.state is None) == (event.value is not None) == (event.unit is not None)
            assert (event.verdict is None) == (event.verdict_from is None)


def test_every_fault_of_the_contract_is_drawn_and_some_beside_it() -> None:
    drawn = Counter(c.truth.fault for c in many())
    assert set(drawn) == FAULTS | {OUTSIDE}
    assert drawn[OUTSIDE] > 0.05 * len(many())
    assert min(drawn.values()) >= 15
    truths = [c.truth for c in many()]
    assert {t.status for t in truths} == {"found", "mended", "repaired", "referred", "not_found"}
    assert sum(len(t.faults) == 2 for t in truths) > 50
    assert sum(any(f.intermittent for f in t.faults) for t in truths) > 50
    assert sum(bool(t.faults) and not t.tested for t in truths) > 20
    assert {t.side for t in truths} == {"provider", "customer", "unknown"}


def test_length_of_calls() -> None:
    lengths = sorted(len(c.timeline.events) for c in many())
    quarter = len(lengths) // 4
    assert lengths[quarter] >= 6
    assert lengths[3 * quarter] <= 30


def test_truth_fits_the_events() -> None:
    for call in many():
        truth = call.truth
        actions = [e.action for e in draw(call.seed, noise=0).timeline.events]
        assert truth.referred == ("refer" in actions)
        if truth.mended:
            assert set(actions) & {"terminate", "replace", "repair", "move", "reset", "configure", "clean",
                                   "install_clips", "install", "disconnect"}  # fmt: skip
        for fault in truth.faults:
            assert fault.fault in FAULTS | {OUTSIDE}
            assert fault.fault in fault.fair
            assert fault.kind in fault.fair_kinds
            point = call.timeline.point(fault.point)
            assert point is None or point.kind == fault.kind


def test_a_clean_open_gives_tone_before_and_none_behind() -> None:
    """Whole calls heard without loss, up to the first thing done; common practice, no published source."""
    before, behind = Counter[str | None](), Counter[str | None]()
    for call in (draw(n, noise=0) for n in range(4000)):
        truth = call.truth
        if truth.slips or len(truth.faults) != 1 or truth.world != "voice":
            continue
        fault = truth.faults[0]
        place = call.timeline.point(fault.point)
        if fault.shows != "open" or fault.intermittent or place is None:
            continue
        for event in call.timeline.events:
            if event.kind == "action":
                break
            point = call.timeline.point(event.point)
            if event.quantity == "dial_tone" and point is not None and point.order // 2 != place.order // 2:
                (before if point.order < place.order else behind)[event.state] += 1
    assert set(before) == {"present"}
    assert set(behind) == {"absent"}
    assert min(before.total(), behind.total()) > 50


def test_confidence_goes_with_what_was_heard_right() -> None:
    right: list[float] = []
    wrong: list[float] = []
    for call in many():
        for event in call.timeline.events:
            (wrong if event.text.startswith("you'd have") else right).append(event.confidence)
    assert sum(right) / len(right) > sum(wrong) / len(wrong) + 0.2


def test_speed() -> None:
    begun = time.process_time()
    list(draw_many(200, 3))
    assert 200 / (time.process_time() - begun) > 300  # some 1500 a second on an idle core; slack for a busy one


def test_a_call_prints_for_a_technician_to_judge() -> None:
    text = show(draw(3))
    assert "TRUTH" in text
    assert "believed" in text


# --- the physics, without technician or noise ----------------------------------------------------------


def line_with(what: str | None, at: str) -> tuple[Plant, dict[str, Element]]:
    """Office, interface, riser, split block, run, jack, set, and one fault of the table by its plain words."""
    office = Element("cable", "provider", length_ft=8000)
    demarc = Element("demarc", "customer", office, parts_by="plug", sides=("provider", "customer"))
    riser = Element("cable", "customer", demarc, length_ft=100)
    block = Element("block", "customer", riser, parts_by="clips", sides=("left", "right"))
    run = Element("cable", "customer", block, length_ft=150)
    jack = Element("jack", "customer", run, parts_by="pair")
    phone = Element("set", "customer", jack, parts_by="plug")
    path = [office, demarc, riser, block, run, jack, phone]
    named = {"office": office, "demarc": demarc, "riser": riser, "block": block, "run": run, "jack": jack, "set": phone}
    plant = Plant("voice", path, path)
    if what is not None:
        kind = next(k for k in fault_kinds("voice") if k.what == what)
        plant.faults.append(Fault(kind, named[at], 1000.0, 0.5, named[at]))
    return plant, named


def test_a_sound_line_has_tone_everywhere() -> None:
    plant, line = line_with(None, "run")
    assert all(view(plant, e, True).tone for e in line.values())


def test_an_open_run_has_tone_before_it_and_none_behind() -> None:
    plant, line = line_with("the run is cut or crushed", "run")
    assert [view(plant, e, True).tone for e in line.values()] == [True, True, True, True, False, False, False]


def test_a_short_takes_the_whole_line_down_until_it_is_parted() -> None:
    plant, line = line_with("the pair is shorted in the run", "run")
    assert not any(view(plant, e, True).tone for e in line.values())
    line["block"].parted = True
    assert view(plant, line["block"], False).tone
    assert view(plant, line["demarc"], True).tone
    assert not view(plant, line["block"], True).tone


def test_a_set_that_holds_the_line_lets_go_when_unplugged() -> None:
    plant, line = line_with("a set is off the hook or will not hang up", "set")
    assert not view(plant, line["demarc"], False).tone
    line["set"].parted = True
    assert view(plant, line["jack"], True).tone


def test_a_corroded_joint_is_heard_behind_it_only() -> None:
    plant, line = line_with("corroded contacts crackle", "jack")
    assert view(plant, line["run"], True).heard is None
    assert view(plant, line["jack"], True).heard == "static"


def test_no_service_is_dead_at_the_interface_with_the_plug_out() -> None:
    plant, line = line_with("the line is disconnected or dead at the office", "office")
    line["demarc"].parted = True
    assert not view(plant, line["demarc"], False).tone


@pytest.mark.parametrize("cut", ["demarc", "block"])
def test_noise_induced_on_the_run_is_gone_with_the_run_parted(cut: str) -> None:
    plant, line = line_with("the run lies along a power feed and hums", "run")
    assert view(plant, line["demarc"], False).heard == "hum"
    line[cut].parted = True
    assert view(plant, line[cut], False).heard is None


def test_a_system_keeps_a_short_on_a_station_from_the_trunk() -> None:
    trunk = Element("cable", "provider", length_ft=5000)
    block = Element("block", "customer", trunk, parts_by="clips", sides=("left", "right"))
    port = Element("pbx", "customer", block, parts_by="plug", sides=("in", "out"))
    run = Element("cable", "customer", port, length_ft=80)
    kind = next(k for k in fault_kinds("voice") if k.what == "the pair is shorted in the run")
    plant = Plant("voice", [trunk, block, port, run], [trunk, block, port, run])
    plant.faults.append(Fault(kind, run, 0.0, 0.5, run))
    assert view(plant, port, False).tone
    assert not view(plant, port, True).tone


def test_chance_of_a_rate_is_the_rate() -> None:
    chance = Chance(1)
    assert sum(chance.hit(0.2) for _ in range(5000)) == pytest.approx(1000, rel=0.1)
