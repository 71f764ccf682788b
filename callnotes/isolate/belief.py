"""How likely each hypothesis is, before and after an outcome."""

from __future__ import annotations

from collections.abc import Sequence

from callnotes.isolate.cases import Case, FieldTest, Standing


def start(
    case: Case, weights: Sequence[float], *, place: str | None = None, told: frozenset[str] = frozenset()
) -> Standing:
    """Where it begins: ``weights`` (one a hypothesis, 0 or more) are scaled to sum to 1.

    ``ValueError`` for a wrong number of weights, a negative one, or none over 0.
    """
    if len(weights) != len(case.hypotheses) or min(weights) < 0:
        raise ValueError(f"a case of {len(case.hypotheses)} hypotheses needs as many weights, 0 or more")
    return Standing(_scaled(weights, "no hypothesis has a weight over 0"), place, told)


def after(case: Case, standing: Standing, test: FieldTest, outcome: str) -> Standing:
    """What is known once the test said ``outcome``: Bayes' rule; the technician stands there, its gates are told.

    ``ValueError`` for an outcome that the test does not have, or that no hypothesis left can bring.
    """
    likelihood = next((o.likelihood for o in test.outcomes if o.name == outcome), None)
    if likelihood is None:
        raise ValueError(f"{test.name} cannot say {outcome!r}; it says {', '.join(o.name for o in test.outcomes)}")
    joint = [p * q for p, q in zip(standing.belief, likelihood, strict=True)]
    belief = _scaled(joint, f"nothing that is still possible lets {test.name} say {outcome!r}")
    return Standing(belief, test.place, standing.told | {gate.name for gate in test.needs})


def by_element(case: Case, standing: Standing) -> dict[str | None, float]:
    """Probability of each element (None: nothing wrong), likeliest first."""
    sums: dict[str | None, float] = {}
    for hypothesis, p in zip(case.hypotheses, standing.belief, strict=True):
        sums[hypothesis.element] = sums.get(hypothesis.element, 0.0) + p
    return dict(sorted(sums.items(), key=lambda item: -item[1]))


def _scaled(weights: Sequence[float], otherwise: str) -> tuple[float, ...]:
    total = sum(weights)
    if not total > 0:
        raise ValueError(otherwise)
    return tuple(weight / total for weight in weights)
