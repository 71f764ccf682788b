"""Nonsense gets a sentence, not a number."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from callnotes.calc import (
    blocks,
    cabling,
    capacitance,
    colors,
    copper,
    dsl,
    fiber,
    figures,
    jacks,
    lengths,
    loading,
    loop,
    noise,
    poe,
    rules,
    tones,
)

NONSENSE: list[tuple[str, Callable[[], Any], str]] = [
    ("gauge", lambda: copper.diameter(99), "gauge .AWG. must be a whole number from 0 to 40, not 99"),
    ("half gauge", lambda: copper.diameter(24.5), "whole number"),
    ("telephone gauge", lambda: copper.loop_ohm_per_kft(23, table="telephone"), "telephone table has no 23 AWG"),
    ("table", lambda: copper.loop_ohm_per_kft(24, table="wet"), "no resistance table 'wet'"),
    ("loss gauge", lambda: copper.voice_loss(1, 23), "loss table has no 23 AWG"),
    ("length", lambda: copper.loop_resistance([copper.Section(24, -5)]), "length cannot be negative, but is -5"),
    ("no short", lambda: copper.distance_to_short(4001, 24), "4001 ohm is no short on copper"),
    ("resistance", lambda: copper.distance_to_short(-1, 24), "resistance less the leads cannot be negative"),
    ("leads", lambda: copper.distance_to_short(1, 24, leads_ohm=2), "less the leads"),
    ("temperature", lambda: copper.distance_to_short(10, 24, temp_c=900), "a cable at 900 degC"),
    ("fahrenheit", lambda: figures.celsius(-400), "a cable at -240 degC"),
    ("calculated", lambda: copper.deviation(10, 0), "calculated resistance must be more than 0"),
    ("nan", lambda: copper.voice_loss(math.nan, 24), "plain number, not nan"),
    ("capacitance", lambda: capacitance.distance_to_open(-1), "capacitance cannot be negative"),
    ("no capacitance", lambda: capacitance.pair_balance(0, 0), "larger capacitance must be more than 0"),
    ("network", lambda: capacitance.three_terminal(0.1, 0.25), "no pair has"),
    ("no nF", lambda: lengths.two_ways(312, 0, 24), "the capacitance must be more than 0"),
    ("loop length", lambda: loading.coil_positions("H88", 0), "loop length must be more than 0"),
    ("endless loop", lambda: loading.coil_positions("H88", 1e12), "No copper loop is over 528,000 ft"),
    ("current", lambda: loop.loop_for_current(0), "loop current must be more than 0"),
    ("REN", lambda: loop.ren_sum([1, -1]), "REN cannot be negative"),
    ("insulation", lambda: loop.leakage(48, 0), "resistance must be more than 0"),
    ("level", lambda: noise.level_dbm(0), "voltage must be more than 0"),
    ("noise", lambda: noise.balance(math.inf, 20), "power influence must be a plain number"),
    ("key", lambda: tones.dtmf_hz("E"), "no touch-tone key 'E'"),
    ("two keys", lambda: tones.dtmf_hz("12"), "no touch-tone key '12'"),
    ("tone", lambda: tones.tone("hum"), "no tone 'hum' in the plan"),
    ("time on", lambda: tones.classify([350, 440], 0), "time on must be more than 0"),
    ("two tones", lambda: tones.classify_information_tone([950, 1400]), "three tones in a row"),
    ("pair 0", lambda: colors.pair_colors(0), "from 1 to 25, not 0"),
    ("pair 26", lambda: colors.pair_colors(26), "from 1 to 25, not 26"),
    ("pair 6001", lambda: colors.cable_pair(6001), "from 1 to 6000, not 6001"),
    ("row 51", lambda: blocks.pair_of_row(51), "row of a 66 block must be a whole number from 1 to 50"),
    ("pin 0", lambda: blocks.pair_of_rj21_pin(0), "pin of a 50-pin connector"),
    ("clip 5", lambda: blocks.joined(1, 5, bridging_clip=True), "clip of a row"),
    ("110 clip", lambda: blocks.clip_110(1, clip_size=3), "takes 4 or 5 pairs, not 3"),
    ("jack pin", lambda: jacks.t568_pin(9, "T568A"), "from 1 to 8, not 9"),
    ("wiring", lambda: jacks.t568_pin(1, "T568C"), "no wiring 'T568C'"),
    ("category", lambda: cabling.limit("7", "channel", "NEXT", 1), "no equations for category '7'"),
    ("model", lambda: cabling.dc_loop(1, "cord"), "no model 'cord'"),
    ("parameter", lambda: cabling.limit("6", "channel", "noise", 1), "no parameter 'noise'"),
    ("velocity", lambda: cabling.length_from_delay(400, 69), "part of light's"),
    ("one delay", lambda: cabling.skew([500]), "at least two pairs"),
    ("old table", lambda: cabling.tsb67("channel", 16), "has 10 and 100 MHz"),
    ("type 5", lambda: poe.power_type(5), "from 1 to 4, not 5"),
    ("too many watts", lambda: poe.class_for(71.4), "71.4 W is more than class 8 allows"),
    ("class 9", lambda: poe.power_class(9), "from 0 to 8, not 9"),
    ("fiber", lambda: fiber.budget("plastic", 1, connections=2), "no fiber 'plastic'"),
    ("basis", lambda: fiber.budget("multimode 850 nm", 1, connections=2, basis="best"), "no basis 'best'"),
    ("connections", lambda: fiber.budget("multimode 850 nm", 1, connections=-1), "from 0 to 1000, not -1"),
    ("fiber 13", lambda: fiber.color(13), "from 1 to 12, not 13"),
    ("no light", lambda: fiber.dbm(0), "power must be more than 0"),
    ("edition", lambda: rules.alarm_test_in_time(8, 2010), "no figure here for the 2010 edition"),
    ("no 911", lambda: rules.direct_emergency_call("411"), "does not end in 911"),
    ("unanswered", lambda: rules.elevator_moved_on(-1), "time unanswered cannot be negative"),
    ("tap", lambda: dsl.tap_notch_khz(0), "length of the tap must be more than 0"),
    ("tap velocity", lambda: dsl.tap_notch_khz(10, velocity=65), "part of light's"),
    ("taps", lambda: dsl.serving_area(1, 1, taps_kft=1, longest_tap_kft=2), "cannot be longer than all taps"),
]


@pytest.mark.parametrize(("call", "says"), [case[1:] for case in NONSENSE], ids=[case[0] for case in NONSENSE])
def test_nonsense_is_refused_with_a_sentence(call: Callable[[], Any], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        call()
