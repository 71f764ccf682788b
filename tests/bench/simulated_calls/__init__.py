"""Service calls drawn from a model of lines, instruments and technicians, each with its truth.

The model knows the format of the timeline and the trade, and nothing of how a diagnosis is made, so that
a diagnosis can be held against it. ``draw(seed)`` gives one call, ``draw_many(n, seed)`` many; the same seed
gives the same calls. ``python -m tests.bench.simulated_calls 5 --seed 3`` prints some. All rates
are in ``rates.toml``.
"""

from tests.bench.simulated_calls.draw import draw, draw_many
from tests.bench.simulated_calls.rates import OUTSIDE
from tests.bench.simulated_calls.truth import SimulatedCall, TrueFault, Truth

__all__ = ["OUTSIDE", "SimulatedCall", "TrueFault", "Truth", "draw", "draw_many"]
