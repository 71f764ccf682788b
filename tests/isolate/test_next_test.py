"""What is advised, and when to stop, on cases small enough to reckon by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from callnotes.isolate import Case, FieldTest, Gate, Hypothesis, Outcome, after, by_element, next_test, start
from callnotes.isolate.views import element_bits, fault_bits, view

NAMES = "abcdefgh"
ELEMENTS = tuple(Hypothesis("open", name) for name in NAMES)


def listen(n: int, *, errs: float = 0.0, minutes: float = 1.0, needs: tuple[Gate, ...] = ()) -> FieldTest:
    """Tone behind the n-th of the elements, 1 for the first: an open among the first n kills it."""
    dead = tuple(1 - errs if h < n else errs for h in range(len(NAMES)))
    outcomes = (Outcome("dead", dead), Outcome("tone", tuple(1 - q for q in dead)))
    return FieldTest(f"listen {n}", f"place {n}", minutes, outcomes, needs)


LINE = Case(ELEMENTS, tuple(listen(n) for n in range(1, 8)))
EVEN = start(LINE, [1.0] * 8)


def test_even_line_is_split_in_half_and_found_in_three() -> None:
    # Binary search: 8 equal elements take log2(8) = 3 tests (any text on algorithms).
    for truth in range(8):
        standing, taken = EVEN, []
        while (advice := next_test(LINE, standing)).test is not None:
            taken.append(advice.test.name)
            dead = truth < int(advice.test.name.split()[1])
            standing = after(LINE, standing, advice.test, "dead" if dead else "tone")
        assert taken[0] == "listen 4"
        assert len(taken) == 3
        assert (advice.stop, advice.element, advice.p) == ("isolated", NAMES[truth], 1.0)


def test_half_split_tells_one_bit_and_the_whole_search_is_foreseen() -> None:
    advice = next_test(LINE, EVEN)
    assert advice.bits == pytest.approx(1.0)
    assert advice.minutes_to_go == pytest.approx(3.0)


def test_posterior_of_a_test_that_errs() -> None:
    # Bayes' rule by hand: 0.9 * 1/8 against 0.1 * 7/8 -> 9/16.
    case = Case(ELEMENTS, (listen(1, errs=0.1),))
    dead = after(case, start(case, [1.0] * 8), case.tests[0], "dead")
    assert by_element(case, dead)["a"] == pytest.approx(9 / 16)


def test_bits_of_a_test_that_errs() -> None:
    # A binary symmetric channel with 11 % error has a capacity of 0.5 bit (Shannon 1948; the usual textbook figure).
    case = Case(ELEMENTS, (listen(4, errs=0.11),))
    assert element_bits(view(case, start(case, [1.0] * 8).belief)) == pytest.approx([0.5], abs=0.001)


def test_faults_of_one_element_are_not_worth_telling_apart() -> None:
    faults = (Hypothesis("open", "a"), Hypothesis("short", "a"), Hypothesis("open", "b"))
    test = FieldTest("ohms", "a", 1.0, (Outcome("short", (0.0, 1.0, 0.0)), Outcome("open", (1.0, 0.0, 1.0))))
    case = Case(faults, (test,))
    seen = view(case, start(case, [1, 2, 1]).belief)
    # By hand: all of it is 1 bit; within a (3/4) lies 0.75 * h(1/3) = 0.75 * 0.9183.
    assert fault_bits(seen) == pytest.approx([1.0])
    assert element_bits(seen) == pytest.approx([1 - 0.75 * 0.9183], abs=1e-4)


def test_dear_split_waits_for_cheap_tests() -> None:
    case = Case(ELEMENTS, tuple(listen(n, minutes=30.0 if n == 4 else 1.0) for n in range(1, 8)))
    advice = next_test(case, start(case, [1.0] * 8))
    assert advice.test is not None
    assert advice.test.name in ("listen 3", "listen 5")


def test_look_ahead_stays_where_the_technician_stands() -> None:
    # Two tests that tell the same, one here, one a walk away.
    far, near = replace(listen(4), name="far", place="far"), replace(listen(4), name="near", place="near")
    case = Case(ELEMENTS, (far, near), cost=lambda test, last: test.minutes + (0.0 if test.place == last else 5.0))
    advice = next_test(case, start(case, [1.0] * 8, place="near"))
    assert (advice.test, advice.minutes) == (near, 1.0)


def test_gate_is_named_before_the_test_and_paid_once() -> None:
    gate = Gate("account on test", 6.0)
    case = Case(ELEMENTS, tuple(listen(n, needs=(gate,)) for n in range(1, 8)))
    first = next_test(case, start(case, [1.0] * 8))
    assert first.test is not None
    assert (first.needs_first, first.minutes) == (("account on test",), 7.0)
    then = next_test(case, after(case, start(case, [1.0] * 8), first.test, "dead"))
    assert (then.needs_first, then.minutes) == ((), 1.0)


def test_stops_where_no_test_tells() -> None:
    case = Case(ELEMENTS, (listen(4),))
    standing = after(case, start(case, [1.0] * 8), case.tests[0], "dead")
    assert next_test(case, standing).stop == "nothing tells"


def test_stops_where_going_on_costs_more_than_a_wrong_guess() -> None:
    case = Case(ELEMENTS, tuple(listen(n, minutes=20.0) for n in range(1, 8)), stake_minutes=60.0)
    assert next_test(case, start(case, [1.0] * 8)).stop == "not worth it"  # 3 * 20 minutes against 60 * 7/8
    assert next_test(replace(case, stake_minutes=80.0), start(case, [1.0] * 8)).stop is None  # against 80 * 7/8


def test_test_that_errs_is_taken_again() -> None:
    case = Case(ELEMENTS, (listen(1, errs=0.1),))
    standing = after(case, start(case, [1.0] * 8), case.tests[0], "dead")
    assert next_test(case, standing).test == case.tests[0]


def test_what_does_not_hold_together_is_refused() -> None:
    short = FieldTest("short", "a", 1.0, (Outcome("dead", (1.0,)),))
    with pytest.raises(ValueError, match="a likelihood for each of 8"):
        Case(ELEMENTS, (short,))
    with pytest.raises(ValueError, match="sum to 1"):
        Case(ELEMENTS, (FieldTest("half", "a", 1.0, (Outcome("dead", (0.5,) * 8),)),))
    with pytest.raises(ValueError, match="same name"):
        Case(ELEMENTS, (listen(1), listen(1)))
    with pytest.raises(ValueError, match="as many weights"):
        start(LINE, [1.0])
    with pytest.raises(ValueError, match="cannot say 'hum'"):
        after(LINE, EVEN, LINE.tests[0], "hum")
    with pytest.raises(ValueError, match="nothing that is still possible"):
        after(LINE, after(LINE, EVEN, LINE.tests[0], "dead"), LINE.tests[3], "tone")
