"""How each topic of the worked examples is computed: topic -> call on what is given, in the shape of ``expected``."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

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
    loading,
    loop,
    noise,
    poe,
    rules,
    tones,
)

Given = dict[str, Any]


def at(given: Given) -> float:
    """Temperature in degC from whichever scale the example gives."""
    return given["temp_C"] if "temp_C" in given else figures.celsius(given["temp_F"])


def same(ours: float, given: float) -> None:
    """The example names a constant that the product holds itself: they must be the same."""
    assert ours == given, f"the product has {ours}, the example gives {given}"


# --- copper, capacitance, loading ----------------------------------------------------------------


def copper_diameter(given: Given) -> Any:
    found = copper.diameter(given["awg"])
    return {"d_in": found.inches, "d_mm": found.mm}


def copper_per_length(given: Given) -> Any:
    return {
        "conductor_ohm_per_kft": copper.conductor_ohm_per_kft(given["awg"], temp_c=at(given)),
        "loop_ohm_per_kft": copper.loop_ohm_per_kft(given["awg"], temp_c=at(given)),
    }


def copper_loop(given: Given) -> Any:
    return copper.loop_resistance([copper.Section(given["awg"], given["length_ft"])], temp_c=at(given))


def copper_loop_telephone(given: Given) -> Any:
    same(copper.TELEPHONE_LOOP_OHM_PER_KFT[given["awg"]], given["loop_ohm_per_kft_68F"])
    if "A_per_F" in given:
        same(copper.TELEPHONE_COEFFICIENT_PER_F, given["A_per_F"])
    part = copper.Section(given["awg"], given["length_ft"])
    return copper.loop_resistance([part], temp_c=at(given), table="telephone")


def copper_mixed(given: Given) -> Any:
    return copper.loop_resistance([copper.Section(**part) for part in given["sections"]], temp_c=at(given))


def copper_short(given: Given) -> Any:
    return copper.distance_to_short(given["loop_ohm"], given["awg"], temp_c=at(given)).feet


def copper_deviation(given: Given) -> Any:
    found = copper.deviation(given["measured_ohm"], given["calculated_ohm"], limit_percent=given["limit_pct"])
    return {"dev_pct": found.percent, "within_limit": found.within}


def copper_design_length(given: Given) -> Any:
    same(copper.TELEPHONE_LOOP_OHM_PER_KFT[given["awg"]], given["loop_ohm_per_kft"])
    return copper.length_for_resistance(given["limit_ohm"], given["loop_ohm_per_kft"])


def copper_loss(given: Given) -> Any:
    same(copper.voice_loss_db_per_kft(given["awg"]), given["dB_per_kft"])
    return copper.voice_loss(given["length_kft"], given["awg"])


def copper_loss_length(given: Given) -> Any:
    same(copper.voice_loss_db_per_kft(given["awg"]), given["dB_per_kft"])
    return copper.length_for_loss(given["limit_dB"], given["awg"])


def copper_unbalance(given: Given) -> Any:
    found = copper.dc_unbalance(given["R_tip_ohm"], given["R_ring_ohm"])
    return {"unb_ohm": found.ohm, "unb_pct": found.percent}


def capacitance_open(given: Given) -> Any:
    return capacitance.distance_to_open(given["C_nF"], nf_per_mile=given["nF_per_mile"]).feet


def capacitance_balance(given: Given) -> Any:
    found = capacitance.pair_balance(given["tip_nF"], given["ring_nF"], limit_percent=given["limit_pct"])
    return {"diff_pct": found.percent, "balanced": found.balanced, "use_nF": found.use_nf}


def capacitance_network(given: Given) -> Any:
    found = capacitance.three_terminal(given["Cm_uF_mi"], given["Cg_all_uF_mi"])
    return {"Ctr": found.tip_ring, "Cg": found.to_shield}


def loading_positions(given: Given) -> Any:
    found = loading.coil_positions(given["scheme"], given["loop_ft"])
    return {
        "coils": len(found.positions_ft),
        "positions_ft": list(found.positions_ft),
        "end_section_ft": found.end_section_ft,
    }


# --- the line: current, ringing, insulation, noise -----------------------------------------------


def loop_current(given: Given) -> Any:
    return loop.loop_current(
        given["R_loop"], battery_v=given["V_batt"], feed_ohm=given["R_feed"], set_ohm=given["R_set"]
    )


def loop_maximum(given: Given) -> Any:
    return loop.loop_for_current(
        given["I_mA"], battery_v=given["V_batt"], feed_ohm=given["R_feed"], set_ohm=given["R_set"]
    )


def loop_ren_sum(given: Given) -> Any:
    found = loop.ren_sum(given["RENs"], limit=given["limit"])
    return {"sum": found.total, "ok": found.within}


# --- tones -----------------------------------------------------------------------------------------


def tones_bands(given: Given) -> Any:
    same(tones.DTMF_ACCEPT_PERCENT, given["accept_pct"])
    same(tones.DTMF_REJECT_PERCENT, given["reject_pct"])
    found = tones.dtmf_bands(given["f_Hz"])
    return {"accept": list(found.accept), "reject_outside": list(found.reject_outside)}


def tones_dialing(given: Given) -> Any:
    same(tones.DIAL_ON_MS, given["on_ms"])
    same(tones.DIAL_OFF_MS, given["off_ms"])
    same(tones.DIAL_CYCLE_MS, given["cycle_ms"])
    return tones.fastest_dialing_ms(given["digits"])


def tones_plan(given: Given) -> Any:
    found = tones.tone(given["tone"])
    made: dict[str, Any] = {"freqs": list(found.hz), "level_dBm_per_tone": found.level_dbm, "ipm": found.per_minute}
    if not found.cadence:
        return {**made, "cadence_s": "continuous"}
    return {**made, "on_s": found.cadence[0][0], "off_s": found.cadence[0][1]}


def tones_sit(given: Given) -> Any:
    found = tones.information_tone(given["sit"])
    return {"freqs": list(found.hz), "ms": list(found.ms)}


def tones_classify_sit(given: Given) -> Any:
    (name,) = tones.classify_information_tone(given["freqs"], given["ms"])
    return name


# --- colors, blocks, jacks -------------------------------------------------------------------------


def colors_of(given: Given) -> Any:
    found = colors.cable_pair(given["pair"])
    return {name: getattr(found, name) for name in found.__slots__}


def colors_heard(given: Given) -> Any:
    found = colors.conductor(given["heard"])
    return {"pair": found.pair, "conductor": found.lead}


def blocks_pins(given: Given) -> Any:
    found = blocks.rj21_pins(given["pair"])
    return {name: getattr(found, name) for name in found.__slots__}


def blocks_rows(given: Given) -> Any:
    found = blocks.rows_of_pair(given["pair"])
    return {name: getattr(found, name) for name in found.__slots__}


def blocks_pin(given: Given) -> Any:
    found = blocks.pair_of_rj21_pin(given["pin"])
    return {"pair": found.pair, "conductor": found.lead, "color": found.color}


def blocks_row(given: Given) -> Any:
    found = blocks.pair_of_row(given["row"])
    return {"pair": found.pair, "conductor": found.lead}


def blocks_split(given: Given) -> Any:
    return {"left_right_continuity": blocks.joined(1, 4, bridging_clip=given["bridging_clip"])}


def blocks_110(given: Given) -> Any:
    same(blocks.PAIRS_PER_ROW_110[given["clip_size"]], given["pairs_per_row"])
    found = blocks.clip_110(given["pair"], clip_size=given["clip_size"])
    return {"clip": found.clip, "position": found.position}


def jacks_pin(given: Given) -> Any:
    both = {wiring: jacks.t568_pin(given["pin"], wiring) for wiring in ("T568A", "T568B")}
    return {wiring: {"pair": pin.pair, "color": pin.color, "lead": pin.lead} for wiring, pin in both.items()}


def jacks_mixed(given: Given) -> Any:
    found = jacks.mixed_ends(given["end1"], given["end2"])
    (fault,) = found.faults
    return {"map": {str(pin): far for pin, far in enumerate(found.far_pins, 1)}, "fault": fault}


def jacks_line(given: Given) -> Any:
    found = jacks.jack_line(given["jack"], given["line"])
    return {
        "tip_pin": found.tip_pin,
        "ring_pin": found.ring_pin,
        "old_colors": list(found.old_colors or ()),
        "new_colors": list(found.new_colors),
    }


def jacks_alarm(given: Given) -> Any:
    found = jacks.alarm_jack(plug_in=given["plug"] != "removed")
    return {
        "line_in": {"ring": found.line_ring, "tip": found.line_tip},
        "to_premises": {"ring1": found.house_ring, "tip1": found.house_tip},
        "house_phones_work": found.house_phones_work,
    }


# --- cabling, power, fiber, DSL ----------------------------------------------------------------------


def cabling_what(what: str) -> tuple[Any, Any, Any]:
    """``Cat6 permanent-link NEXT`` -> 6, permanent link, NEXT."""
    category, model, parameter = what.split(" ", 2)
    return category.removeprefix("Cat"), model.replace("-", " "), parameter


def cabling_limit(given: Given) -> Any:
    if "TSB67" in given["what"]:
        old = cabling.tsb67("channel", given["f_MHz"])
        return {"attenuation": old.attenuation, "next": old.next}
    return cabling.limit(*cabling_what(given["what"]), given["f_MHz"])


def cabling_headroom(given: Given) -> Any:
    found = cabling.headroom(*cabling_what(given["what"]), given["f_MHz"], given["measured_dB"])
    return {"limit": found.limit, "headroom": found.headroom, "pass": found.passes}


def cabling_skew(given: Given) -> Any:
    found = cabling.skew(given["delays_ns"])
    same(found.limit, given["limit_ns"])
    return {"skew_ns": found.limit - found.headroom, "pass": found.passes}


def cabling_dc_loop(given: Given) -> Any:
    found = cabling.dc_loop(given["ohm"], given["what"])
    same(found.limit, given["limit_ohm"])
    return {"pass": found.passes, "over_by": -found.headroom}


def cabling_unbalance(given: Given) -> Any:
    found = cabling.pair_unbalance(given["R1"], given["R2"])
    return {"ohm": found.ohm, "pct": found.percent, "pass": found.passes}


def cabling_lengths(given: Given) -> Any:
    found = cabling.lengths(given["horizontal_m"], given["cords_m"])
    return {
        "permanent_link_pass": found.permanent_link_passes,
        "channel_total_m": found.channel_m,
        "channel_pass": found.channel_passes,
    }


def poe_budget(given: Given) -> Any:
    same(poe.power_type(given["type"]).source_v, given["V_pse"])
    same(poe.power_type(given["type"]).channel_ohm, given["R_channel_ohm"])
    found = poe.supply(given["V_pse"], given["I_A"], given["R_channel_ohm"])
    return {"P_pse_W": found.source_w, "V_pd": found.device_v, "P_pd_W": found.device_w}


def poe_voltage(given: Given) -> Any:
    ohm = poe.channel_ohm(given["length_m"], ohm_per_100_m=given["R_per_100m_ohm"])
    found = poe.supply_for_load(given["V_pse"], given["P_pd_W"], ohm)
    return {"I_A": found.current_a, "V_pd": found.device_v}


def poe_class(given: Given) -> Any:
    found = poe.power_class(given["class"])
    return {"P_pse_W": found.source_w, "P_pd_W": found.device_w}


def fiber_budget(basis: fiber.Basis) -> Callable[[Given], Any]:
    def compute(given: Given) -> Any:
        kind = given["fiber"] if given["fiber"] in fiber.MAXIMUM else f"{given['fiber']} outside plant"
        parts = (fiber.MAXIMUM if basis == "maximum" else fiber.TYPICAL)[kind]
        same(parts.db_per_km, given["dB_per_km"])
        same(parts.db_per_connection, given["dB_per_connection"])
        if "dB_per_splice" in given:
            same(parts.db_per_splice, given["dB_per_splice"])
        counts = {"connections": given["connections"], "splices": given["splices"]}
        return fiber.budget(kind, given["km"], **counts, basis=basis)

    return compute


def dsl_area(given: Given) -> Any:
    found = dsl.serving_area(given["L26_kft"], given["L24_kft"], taps_kft=given["bridged_tap_kft"])
    return {"limit_kft": found.limit_kft, "total_kft": found.total_kft, "inside": found.inside}


def rules_demarc(given: Given) -> Any:
    assert given["premises"] == "single unit"
    found = rules.demarc_place()
    return {"within_in": found.inches, "within_cm": found.centimeters}


def rules_alarm_test(given: Given) -> Any:
    return {f"ok_{edition}": rules.alarm_test_in_time(given["hours_since_test"], edition) for edition in (2002, 2013)}


ADAPTERS: dict[str, Callable[[Given], Any]] = {
    "copper/diameter": copper_diameter,
    "copper/resistance per length": copper_per_length,
    "copper/loop resistance": copper_loop,
    "copper/loop resistance, hot": copper_loop,
    "copper/loop resistance, RUS style": copper_loop_telephone,
    "copper/loop resistance, RUS style, hot": copper_loop_telephone,
    "copper/mixed gauge": copper_mixed,
    "copper/temperature check": lambda given: copper.conductor_ohm_per_kft(given["awg"], temp_c=at(given)),
    "copper/textbook loop formula": lambda given: copper.textbook_loop_ohm_per_mile(given["d_in"]),
    "copper/distance to a short": copper_short,
    "copper/distance to a short, warm cable": copper_short,
    "copper/measured vs calculated": copper_deviation,
    "copper/resistance-design length": copper_design_length,
    "copper/1 kHz loss": copper_loss,
    "copper/loss-limited length": copper_loss_length,
    "copper/DC unbalance": copper_unbalance,
    "capacitance/distance to a full open": capacitance_open,
    "capacitance/per kft": lambda given: capacitance.per_kft(given["nF_per_mile"]),
    "capacitance/unbalanced pair": capacitance_balance,
    "capacitance/one conductor to ground": capacitance_open,
    "capacitance/lifted ground check": lambda given: capacitance.lifted_ground_drop(
        given["c_cond_to_ground"], given["c_mutual"]
    ),
    "capacitance/three-terminal network": capacitance_network,
    "loading/coil positions": loading_positions,
    "loading/cut-off": lambda given: loading.cutoff_hz(
        given["L_mH"], given["spacing_ft"], nf_per_mile=given["nF_per_mile"]
    ),
    "pots/loop current": loop_current,
    "pots/maximum loop for 20 mA": loop_maximum,
    "pots/maximum loop, interface-spec set": loop_maximum,
    "pots/ringing peak": lambda given: loop.ringing_peak(ringing_v=given["V_ring_rms"], battery_v=given["V_dc"]),
    "pots/REN load": lambda given: loop.ren_load(hz=given["f_Hz"], ohm=given["R_ohm"], uf=given["C_uF"]),
    "pots/ringing current": lambda given: loop.ringing_current(
        given["REN"], ringing_v=given["V_rms"], hz=given["f_Hz"]
    ),
    "pots/REN sum": loop_ren_sum,
    "pots/leakage current": lambda given: loop.leakage(given["V"], given["R_ohm"]),
    "pots/on-hook terminal leakage": lambda given: 1000 * loop.leakage(given["V"], given["R_min_ohm"]),
    "pots/megohm-miles": lambda given: loop.megohm_miles(given["reading_Mohm"], given["length_ft"]),
    "pots/minimum meter reading": lambda given: loop.least_reading(
        given["length_mi"], floor_mohm_mile=given["floor_Mohm_mile"]
    ),
    "noise/unit conversion": lambda given: noise.dbrn(given["dBm"]),
    "level/600 ohm milliwatt": lambda given: noise.level_volts(given["dBm"], ohm=given["R_ohm"]),
    "dtmf": lambda given: list(tones.dtmf_hz(given["key"])),
    "dtmf/accept and reject bands": tones_bands,
    "dtmf/fastest legal dialing": tones_dialing,
    "tone/dial": tones_plan,
    "tone/busy": tones_plan,
    "tone/reorder": tones_plan,
    "tone/ringback": tones_plan,
    "tone/call waiting": tones_plan,
    "tone/howler": tones_plan,
    "tone/SIT intercept": tones_sit,
    "tone/classify by cadence": lambda given: tones.classify(given["freqs"], given["on_s"], given["off_s"]),
    "tone/classify SIT": tones_classify_sit,
    "color code": colors_of,
    "color code/reverse": lambda given: colors.pair_number(given["tip"], binder=given["binder"]),
    "color code/fault talk": colors_heard,
    "rj21/pins": blocks_pins,
    "rj21/reverse": blocks_pin,
    "66 block/rows": blocks_rows,
    "66 block/reverse": blocks_row,
    "66 block/split continuity": blocks_split,
    "110 block/clip": blocks_110,
    "t568/pin": jacks_pin,
    "wiremap/mixed ends": jacks_mixed,
    "usoc/second line": jacks_line,
    "usoc/alarm jack": jacks_alarm,
    "cabling limit": cabling_limit,
    "cabling verdict": cabling_headroom,
    "cabling/ACR": lambda given: cabling.acr(given["next"], given["il"]),
    "cabling/propagation delay": lambda given: cabling.delay_limit(given["what"], given["f_MHz"]),
    "cabling/length from delay": lambda given: cabling.length_from_delay(given["delay_ns"], given["NVP"]),
    "cabling/delay skew": cabling_skew,
    "cabling/DC loop": cabling_dc_loop,
    "cabling/DC unbalance in a pair": cabling_unbalance,
    "cabling/geometry": cabling_lengths,
    "poe/power budget": poe_budget,
    "poe/voltage at the PD": poe_voltage,
    "poe/class lookup": poe_class,
    "poe/verdict": lambda given: {"pass": poe.enough_at_device(given["V_pd_measured"], given["type"])},
    "fiber/TIA budget": fiber_budget("maximum"),
    "fiber/typical budget": fiber_budget("typical"),
    "fiber/power margin": lambda given: fiber.power_margin(
        given["tx_dBm"], given["rx_sensitivity_dBm"], given["link_loss_dB"]
    ),
    "fiber/units": lambda given: fiber.milliwatts(given["dBm"]),
    "dsl/length from attenuation": lambda given: dsl.length_from_attenuation(
        given["atten_dB"], db_per_km=given["dB_per_km"]
    ),
    # The words of websites, which judge nothing: see the module.
    "dsl/margin class": lambda given: dsl.margin_word(given["snr_margin_dB"]),
    "dsl/attenuation class": lambda given: dsl.attenuation_word(given["atten_dB"]),
    "dsl/bridged tap notch": lambda given: dsl.tap_notch_khz(given["tap_ft"], velocity=given["velocity_factor"]),
    "dsl/carrier serving area": dsl_area,
    # Dated rules: texts of cautions, never verdicts.
    "demarcation": rules_demarc,
    "911 dialing": lambda given: {"compliant": rules.direct_emergency_call(given["dialed"].split()[0])},
    "elevator phone": lambda given: {"must_have_rerouted": rules.elevator_moved_on(given["unanswered_s"])},
    "fire alarm dialer test interval": rules_alarm_test,
}
