"""On simulated calls the probabilities mean what they say, and what is said first is right more often than not.

The simulator draws its calls by its own rates (``tests/bench/simulated_calls/rates.toml``) and knows nothing of the
tables that judge them; the figures of ``weighing.toml`` were fitted on other seeds.
"""

from __future__ import annotations

from callnotes.trade import load_trade
from tests.bench.reliability import reliability


def test_what_is_called_likely_is_true_as_often() -> None:
    made = reliability(500, 31, load_trade())
    assert made.error < 0.05
    assert made.right["fault and element, well read"] > 0.5 * made.right["well read calls"]
    # In fives: what is called likelier is true more often.
    low, high = sum(made.true[:5]) / sum(made.count[:5]), sum(made.true[5:]) / sum(made.count[5:])
    assert low < 0.25 < 0.5 < high
