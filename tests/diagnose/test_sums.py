"""The sums done: each is made where the readings allow it, and not made for each reason that forbids it.

The cases are plain files, ``tests/cases/sums/*.cases``, with their sources: a line ``== what the case is about : what
must come of it``, then the events as in ``case_files``. What must come: ``none``, or each sum with its value (``-`` for
none), then ``low=``, ``high=`` and ``says=`` of the last of them, ``profile=`` for the limits.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import get_args

import pytest

from callnotes.diagnose import diagnose
from callnotes.diagnose.sum_grounds import GROUNDS
from callnotes.diagnose.sums import HEADROOM, MAKERS
from callnotes.judge import judge
from callnotes.records import Sum, Timeline
from callnotes.trade import load_trade
from callnotes.trade.worked import Ground
from tests import annotated
from tests.diagnose.case_files import parse

TRADE = load_trade()
FOLDER = Path(__file__).parents[1] / "cases" / "sums"
WITHIN = 0.005


@dataclass
class Case:
    name: str
    events: str
    profile: str | None = None
    values: list[tuple[str, float | None]] = field(default_factory=list)
    told: dict[str, str] = field(default_factory=dict)


def cases() -> list[Case]:
    found = []
    for path in sorted(FOLDER.glob("*.cases")):
        for block in re.split(r"(?m)^== ", path.read_text(encoding="utf-8"))[1:]:
            head, _, events = block.partition("\n")
            name, _, wanted = head.rpartition(" : ")
            case = Case(f"{path.stem}: {name}", events)
            words = wanted.split()
            case.told = dict(w.split("=", 1) for w in words if "=" in w)
            case.profile = case.told.pop("profile", None)
            plain = [w for w in words if "=" not in w and w != "none"]
            case.values = [
                (one, None if v == "-" else float(v)) for one, v in zip(plain[::2], plain[1::2], strict=True)
            ]
            found.append(case)
    return found


def concluded(events: str, profile: str | None = None) -> Timeline:
    return diagnose(judge(parse("case", events).timeline, TRADE, profile), TRADE)


@pytest.mark.parametrize("case", cases(), ids=lambda c: c.name)
def test_case_comes_out_as_written(case: Case) -> None:
    made = concluded(case.events, case.profile).sums
    assert [one.sum for one in made] == [name for name, _ in case.values], made
    for one, (_, value) in zip(made, case.values, strict=True):
        assert (one.value is None) == (value is None), one
        assert value is None or one.value == pytest.approx(value, rel=WITHIN, abs=1e-9), one
    if case.told:
        assert_told(made[-1], case.told)


def assert_told(one: Sum, told: dict[str, str]) -> None:
    for end in ("low", "high"):
        if end in told:
            assert getattr(one, end) == pytest.approx(float(told[end]), rel=WITHIN, abs=0.01), one
    assert told.get("says", "").replace("_", " ") in one.text


def test_every_row_has_its_function_its_grounds_and_its_sum() -> None:
    assert {row.code for row in TRADE.worked} == set(MAKERS) | {HEADROOM}
    assert set(GROUNDS) == set(get_args(Ground))
    assert {row.sum for row in TRADE.worked} <= {one.name for one in TRADE.sums}
    named = {name for row in TRADE.worked for name in row.instead_of}
    assert named <= {row.code for row in TRADE.worked}
    for row in TRADE.worked:
        for taken in row.readings:
            assert {taken.quantity, *taken.also} <= {q.quantity for q in TRADE.quantities}
            assert TRADE.unit(taken.unit), taken
        faults = {row.ranked_first, *row.never_ranked} - {None}
        assert faults <= {fault.id for fault in TRADE.faults}


def test_every_row_is_made_in_a_case_and_every_ground_forbids_in_one() -> None:
    made = {name for case in cases() for name, _ in case.values}
    assert {row.sum for row in TRADE.worked} <= made
    used = {ground for row in TRADE.worked for ground in (*row.needs, *row.never)}
    assert used == set(GROUNDS)


def test_a_sum_names_its_source_its_basis_and_what_it_rests_on() -> None:
    made = concluded(
        "read cable resistance 312ohm leads=tip-ring gauge=24 ends=lifted fail\nread cable temperature 95degF\n"
    )
    (one,) = made.sums
    assert one.from_ == ("E1", "E2")
    assert one.point == made.event("E1").point
    assert "ASTM B258" in one.source
    assert one.basis == "mem-M"  # the telephone table of the spread is from memory
    assert one.text == "About 5,740 ft to the short, between 5,660 and 5,750 ft (24 gauge; copper table at 95 °F)"


def test_no_text_claims_more_than_the_spread_holds() -> None:
    made = concluded("read cable resistance 312ohm leads=tip-ring gauge=24 ends=lifted fail\n").sums[0]
    assert made.text.startswith(
        "About 6,100 ft to the short, between 5,700 and 6,400 ft (24 gauge; copper table at an ass"
    )
    wide = concluded("read cable resistance 312ohm leads=tip-ring ends=lifted fail\n").sums[0]
    assert wide.text.startswith("Between 3,500 and 10,100 ft to the short (gauge not known, so 26 to 22;")


def test_sums_are_made_anew_each_time() -> None:
    made = concluded("read cable capacitance 250nF leads=tip-ring far_end=open\n")
    assert made.sums
    assert diagnose(made, TRADE) == made
    gone = made.model_copy(update={"events": ()})
    assert diagnose(gone, TRADE).sums == ()


def test_what_the_technicians_worked_out_themselves_lies_in_the_spread() -> None:
    """The annotated calls: 250 ft of cable measured off beside 12.9 ohm with a strap; an open "about halfway"."""
    found = {
        name[:3]: diagnose(judge(annotated.timeline_of(name, TRADE), TRADE), TRADE).sums for name in annotated.names()
    }
    (strap,) = [one for one in found["d02"] if one.sum == "short"]
    assert strap.low < 250 < strap.high
    (leg,) = [one for one in found["d19"] if one.sum == "sides"]
    assert leg.low < 50 < leg.high
    assert all(one.from_ for made in found.values() for one in made)


def test_a_reading_without_a_place_makes_no_sum() -> None:
    assert concluded("read ? noise 9dBrnC\nread ? power_influence 80dBrnC\n").sums == ()


def test_a_low_balance_on_a_quiet_line_says_so() -> None:
    """S.C. Code Regs. 103-663.3 asks over 60 dB; power influence 75 with noise 18 gives 57 dB on a line in order."""
    quiet = "read demarc/side=provider balance 57dB\nread demarc/side=provider noise {noise}dBrnC\n"
    told = [concluded(quiet.format(noise=n), "south-carolina").sums[0].text for n in (18, 31)]
    assert ["quiet" in text for text in told] == [True, False]
