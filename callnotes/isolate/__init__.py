"""Which test tells most for its cost, until one element is known to hold the fault; standard library only.

A ``Case`` names what may be wrong and what can be tested; ``start`` weighs the hypotheses; ``next_test`` advises one
test or says why to stop; ``after`` takes in its outcome. All costs are minutes, all information is bits about which
element it is. The module knows no trade: whoever makes a case gives the likelihoods, the costs and the safety gates.

    standing = start(case, weights, place="demarc")
    while (advice := next_test(case, standing)).test is not None:
        standing = after(case, standing, advice.test, outcome_of(advice.test))
"""

from callnotes.isolate.advice import next_test
from callnotes.isolate.belief import after, by_element, start
from callnotes.isolate.cases import (
    Advice,
    Case,
    Cost,
    FieldTest,
    Gate,
    Hypothesis,
    Outcome,
    Standing,
    Stop,
    own_minutes,
)

__all__ = [
    "Advice",
    "Case",
    "Cost",
    "FieldTest",
    "Gate",
    "Hypothesis",
    "Outcome",
    "Standing",
    "Stop",
    "after",
    "by_element",
    "next_test",
    "own_minutes",
    "start",
]
