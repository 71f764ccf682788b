"""Open items and cautions: the tables hold together, and the checks that need a limit profile or items from before."""

from __future__ import annotations

from typing import get_args

import pytest

from callnotes.diagnose import diagnose, may_close
from callnotes.diagnose.closeout import CHECKS
from callnotes.diagnose.patterns import PATTERNS
from callnotes.judge import judge
from callnotes.records import OpenItem, Timeline
from callnotes.trade import load_trade
from callnotes.trade.judgment import Check, Pattern
from tests import annotated
from tests.diagnose.case_files import cases, parse

TRADE = load_trade()
LINE = "note set\nread set dial_tone present\nread demarc/side=provider {reading}\nexpect x=\n"


def concluded(text: str, profile: str | None = None) -> Timeline:
    return diagnose(judge(parse("case", text).timeline, TRADE, profile), TRADE)


def codes(timeline: Timeline) -> set[str]:
    return {item.code for item in timeline.open_items}


def test_every_named_check_and_pattern_exists() -> None:
    assert set(CHECKS) == set(get_args(Check))
    assert set(PATTERNS) == set(get_args(Pattern))
    assert {row.check for row in TRADE.requirements} == set(CHECKS)
    assert {sign.pattern for fault in TRADE.faults for sign in fault.signs if sign.pattern} == set(PATTERNS)


def test_what_an_item_can_be_filled_in_with_is_a_field() -> None:
    fields = {field.name for field in TRADE.fields}
    assert {row.fill for row in TRADE.requirements if row.fill} <= fields


def test_filling_in_the_field_settles_the_item() -> None:
    made = concluded("call order=\n" + LINE.format(reading="noise 14dBrnC plug=out pass"))
    filled = {"work_order": "1", "site": "Mill", "contact": "Ann", "technicians": ("Bo",), "date": "2026-03-09"}
    filled |= {"arrived": "09:00", "departed": "10:00", "accepted_by": "Ann", "complaint": "dead"}
    filled |= {"line_numbers": ("555-0100",), "no_materials": True}
    call = made.call.model_copy(update=filled)
    again = diagnose(made.model_copy(update={"call": call}), TRADE)
    assert {item.code for item in made.open_items if item.fill and not item.because}
    assert not [item for item in again.open_items if item.fill]


def test_faults_and_mends_name_what_exists() -> None:
    actions, faults = {a.action for a in TRADE.actions}, {f.id for f in TRADE.faults}
    quantities, kinds = {q.quantity for q in TRADE.quantities}, {p.kind for p in TRADE.points}
    for fault in TRADE.faults:
        assert set(fault.mended_by) <= actions
        assert set(fault.shown_by) <= faults
        assert set(fault.prior) <= kinds, fault.id
        assert min(fault.prior.values(), default=1) > 0, fault.id
        assert set(fault.touches) <= {family.name for family in TRADE.families}, fault.id
        for sign in fault.signs:
            assert set(sign.quantity) <= quantities, fault.id
            assert set(sign.at) <= kinds, fault.id
            assert bool(sign.pattern) != bool(sign.quantity or sign.action), fault.id
            assert (sign.low is None and sign.high is None) or TRADE.unit(sign.unit), fault.id
    for mend in TRADE.mends:
        assert set(mend.action) <= actions
        assert set(mend.at) <= kinds
        assert mend.tells
        assert set(mend.tells) <= faults
    for family in TRADE.families:
        assert set(family.quantities) <= quantities, family.name
    for rule in TRADE.ledger_rules:
        assert set(rule.action) | set(rule.back_by) <= actions


@pytest.mark.parametrize("caution", TRADE.cautions, ids=lambda c: c.code)
def test_caution_leaves_the_decision_to_others(caution) -> None:
    assert "decide" in caution.text
    assert any(word in caution.text for word in ("owner", "code", "carrier", "company", "rules", "licensed"))


def test_word_against_limit_is_an_item_and_the_word_stands() -> None:
    made = concluded(LINE.format(reading="loop_current 18.5mA hook=off pass"), "illinois")
    item = next(i for i in made.open_items if i.code == "word_against_limit")
    assert "18.5 mA good" in item.text
    assert "il-loop-current" in item.text
    assert made.event(item.because).verdict == "pass"
    assert "word_against_limit" not in codes(concluded(LINE.format(reading="loop_current 18.5mA hook=off pass")))
    assert "word_against_limit" not in codes(
        concluded(LINE.format(reading="loop_current 18.5mA hook=off fail"), "illinois")
    )


@pytest.mark.parametrize(
    ("reading", "profile", "raised"),
    [
        ("demarc/side=provider loop_current 18.5mA hook=off pass", "illinois", True),
        ("demarc/side=provider loop_current 24mA hook=off fail", "illinois", True),
        ("demarc/side=provider loop_current 20mA hook=off pass", "south-carolina", True),  # greater than 20 mA
        ("demarc/side=provider loop_current 20mA hook=off pass", "illinois", False),  # 20 mA or greater
        ("demarc/side=provider loop_current 24mA hook=off pass", "illinois", False),
        ("demarc/side=provider loop_current 18.5mA hook=off marginal", "illinois", False),
        ("jack loop_current 18.5mA hook=off pass", "illinois", False),  # no limit holds there
        ("demarc/side=customer loop_current 18.5mA hook=off pass", "illinois", False),
        ("demarc/side=provider loop_current 18.5mA hook=on pass", "illinois", False),
        ("demarc/side=provider insulation_resistance 28kohm pass", "illinois", False),  # its leads were not said
        ("demarc/side=provider insulation_resistance 28kohm leads=tip-ring pass", "illinois", True),
    ],
)
def test_word_against_limit_only_where_the_limit_holds(reading: str, profile: str, raised: bool) -> None:
    made = concluded(f"note set\nread {reading}\nexpect x=\n", profile)
    assert ("word_against_limit" in codes(made)) is raised
    said = reading.split()[-1]
    assert (made.events[-1].verdict, made.events[-1].verdict_from, made.events[-1].limit) == (said, "stated", None)


def test_leads_are_asked_for_only_where_a_limit_needs_them() -> None:
    text = LINE.format(reading="insulation_resistance 28kohm plug=out")
    assert "leads_unsaid" in codes(concluded(text, "illinois"))
    assert "leads_unsaid" not in codes(concluded(text, "south-carolina"))
    assert "leads_unsaid" not in codes(concluded(text))


def test_items_from_before_are_kept_and_those_of_the_table_made_anew() -> None:
    before = (
        OpenItem(code="listen", text="4:40: could be a reading, listen", level="noted", because=None),
        OpenItem(code="no_readings", text="stale", level="stops", because=None),
    )
    timeline = parse("case", LINE.format(reading="noise 14dBrnC plug=out pass")).timeline
    made = diagnose(judge(timeline.model_copy(update={"open_items": before}), TRADE), TRADE)
    assert made.open_items[0] == before[0]
    assert "no_readings" not in codes(made)
    assert diagnose(made, TRADE) == made


def test_missing_facts_are_noted_and_do_not_stop() -> None:
    made = concluded("call\n" + LINE.format(reading="noise 14dBrnC plug=out pass"))
    wanted = {"no_work_order", "no_site", "no_contact", "no_arrival", "no_departure", "materials_unsaid"}
    assert wanted <= codes(made)
    assert may_close(made)


def test_advice_is_safe_in_every_case() -> None:
    made = [diagnose(judge(c.timeline, TRADE), TRADE) for c in cases()]
    made += [diagnose(judge(annotated.timeline_of(n, TRADE), TRADE), TRADE) for n in annotated.names()]
    given = [(m, m.diagnosis.next_test) for m in made if m.diagnosis.next_test]
    assert given
    for timeline, test in given:
        assert timeline.diagnosis.status in ("found", "mended", "not_found")
        assert timeline.diagnosis.side != "provider"
        assert timeline.point(test.point).side != "provider"
        guarded = any(TRADE.point_kind(p.kind).guarded for p in timeline.points)
        quiet = [k for k in TRADE.field_tests if k.quiet and test.do.startswith(k.say.split("{")[0])]
        told = any(e.action == "notify" for e in timeline.events)
        assert test.needs_first or not guarded or quiet or told


@pytest.mark.parametrize(
    ("line", "caution"),
    [
        ("read cable ac_voltage 48V leads=tip-ground fail", "voltage_on_pair"),
        ("read cable ac_voltage 11V leads=tip-ground fail", None),
        ("read cable dc_voltage 130V leads=tip-ring", "voltage_on_pair"),
        ("read other ac_voltage 121V pass", "power"),
        ("read other ac_voltage 16.8V pass", None),
        ("aside comment : I'm up on the ladder at the eave", "heights"),
        ("aside comment : brine in the air and somebody's ladder", None),
        ("aside quoted : the roofer was on the roof", None),
        ("aside instruction : mind the manhole", "confined_place"),
        ("aside hypothetical : if this were lightning you'd see it black", None),
        ("do remove protector : gas tubes", "lightning_and_ground"),
        ("do install protector : strap", None),
        ("do disconnect set/label=2 : elevator telephone", "life_safety_line"),
        ("do disconnect set : counter phone", None),
        ("do disconnect ont : fiber", "optical_power"),
        ("aside comment : she dialed nine one one by mistake", "emergency_calls"),
        ("aside comment : that ceiling may be asbestos", "asbestos"),
        ("read set line_sound noisy : voices of another call", "overheard"),
    ],
)
def test_caution_is_raised_by_what_was_said_and_by_nothing_else(line: str, caution: str | None) -> None:
    made = concluded(f"note set\nread set dial_tone present\n{line}\n")
    assert [c.code for c in made.cautions] == ([caution] if caution else [])
