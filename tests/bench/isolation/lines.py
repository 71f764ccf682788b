"""Random lines as trees, the faults that may lie in them, and the tests that a technician can take on them."""

from __future__ import annotations

import random
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from callnotes.isolate import Case, FieldTest, Gate, Hypothesis, Outcome

KINDS: dict[str, Any] = tomllib.loads((Path(__file__).parent / "kinds.toml").read_text(encoding="utf-8"))
HARDWARE = ("block", "splice", "splitter")


@dataclass(frozen=True, slots=True)
class Element:
    """One element; ``feed`` is the number of the one that feeds it, ``place`` where its far end is."""

    name: str
    kind: str
    feed: int | None
    place: str


@dataclass(frozen=True)
class Line:
    """Elements, provider first, each after what feeds it, those of the reported set's path first; ways in minutes."""

    elements: tuple[Element, ...]
    reported: int
    walks: dict[tuple[str, str], float]
    climbs: dict[str, float]

    @cached_property
    def paths(self) -> list[list[int]]:
        """For each element the numbers from the provider to it, it included."""
        paths: list[list[int]] = []
        for n, element in enumerate(self.elements):
            paths.append([*(paths[element.feed] if element.feed is not None else []), n])
        return paths

    @cached_property
    def legs(self) -> list[frozenset[int]]:
        """For each element itself and what is fed through it."""
        return [frozenset(m for m, path in enumerate(self.paths) if n in path) for n in range(len(self.elements))]

    def cost(self, test: FieldTest, last_place: str | None) -> float:
        """Minutes of the test, with the way and the climb where the technician stands elsewhere."""
        if last_place in (None, test.place):
            return test.minutes
        return test.minutes + self.walks[last_place, test.place] + self.climbs[test.place]


def draw_line(rng: random.Random, in_series: int) -> Line:
    """A line whose reported set has so many elements in series (3 or more) behind the provider, itself included."""
    kinds = _path_kinds(rng, in_series)
    elements = [Element("provider", "provider", None, "p0")]
    for kind in kinds:
        _add(elements, kind, len(elements) - 1)
    for n in range(1, in_series):
        if elements[n].kind in (*HARDWARE, "alarm_jack") and rng.random() < 0.5:
            feed = n
            for kind in rng.choice((("jack",), ("jack", "set"), ("cable", "jack", "set"))):
                feed = _add(elements, kind, feed)
    places = list(dict.fromkeys(element.place for element in elements))
    return Line(tuple(elements), in_series, _walks(rng, elements), {p: _climb(rng, p) for p in places})


def draw_fault(rng: random.Random, weights: list[float]) -> int:
    """The number of the hypothesis that holds, by prior."""
    return rng.choices(range(len(weights)), weights)[0]


def make_case(line: Line, *, noisy: bool, isolated_at: float = 0.95) -> tuple[Case, list[float]]:
    """The line as a case, with the weight of each hypothesis, given that the reported set was dead."""
    hypotheses, weights = [Hypothesis("nothing")], [KINDS["nothing"]["weight"]]
    on_path = line.paths[line.reported]
    for n, element in enumerate(line.elements):
        kind = KINDS[element.kind]
        for fault, share in (("open", 1 - kind["shorted"]), ("short", kind["shorted"])):
            if fault == "short" or n in on_path:
                hypotheses.append(Hypothesis(fault, str(n)))
                weights.append(kind["weight"] * share)
    tests = tuple(_tests(line, hypotheses, noisy))
    return Case(tuple(hypotheses), tests, line.cost, isolated_at, stake_minutes=2000.0), weights


def _path_kinds(rng: random.Random, in_series: int) -> list[str]:
    tail = ["jack", "set"] if in_series < 6 else ["jack", "cord", "set"]
    middle = in_series - 1 - len(tail)
    alarm = rng.randrange(middle) if middle and rng.random() < 0.4 else None
    between = ["cable" if n % 2 == 0 else rng.choice(HARDWARE) for n in range(middle)]
    return ["protector", *("alarm_jack" if n == alarm else kind for n, kind in enumerate(between)), *tail]


def _add(elements: list[Element], kind: str, feed: int) -> int:
    number = len(elements)
    place = f"p{number}" if kind == "cable" else elements[feed].place
    elements.append(Element(f"{kind} {number}", kind, feed, place))
    return number


def _walks(rng: random.Random, elements: list[Element]) -> dict[tuple[str, str], float]:
    walks = {("p0", "p0"): 0.0}
    for element in elements:
        if element.kind == "cable" and element.feed is not None:
            known = {place for place, _ in walks}
            here, step = elements[element.feed].place, round(rng.uniform(*KINDS["ways"]["walk_minutes"]), 1)
            walks[element.place, element.place] = 0.0
            for place in known:
                walks[place, element.place] = walks[element.place, place] = walks[place, here] + step
    return walks


def _climb(rng: random.Random, place: str) -> float:
    ways, drawn = KINDS["ways"], rng.random()
    if place == "p0" or drawn > ways["ladder_share"] + ways["roof_share"]:
        return 0.0
    return ways["roof_minutes"] if drawn < ways["roof_share"] else ways["ladder_minutes"]


def _tests(line: Line, hypotheses: list[Hypothesis], noisy: bool) -> Iterator[FieldTest]:
    """Listen behind every element; at what feeds it lift the leg to it, and listen, or measure toward the sets."""
    errs = KINDS["errs"] if noisy else dict.fromkeys(KINDS["errs"], 0.0)
    for n, element in enumerate(line.elements):
        says = [_tone(line, n, h, lifted=frozenset()) for h in hypotheses]
        minutes = KINDS[element.kind]["listen_minutes"]
        yield _test(f"listen at {n}", element.place, minutes, says, errs["listen"])
        if element.feed is None:
            continue
        feed, leg = line.elements[element.feed], line.legs[n]
        alarm = any(line.elements[m].kind == "alarm_jack" for m in {element.feed, *leg})
        needs = _gates("account_on_test") if alarm else ()
        says = [_tone(line, element.feed, h, lifted=leg) for h in hypotheses]
        minutes = KINDS[feed.kind]["open_minutes"]
        yield _test(f"open to {n} at {element.feed}", feed.place, minutes, says, errs["open"], needs)
        says = [_load(line, leg, h) for h in hypotheses]
        minutes += KINDS["ohms"]["more_minutes"]
        needs = (*needs, *_gates("no_foreign_voltage"))
        yield _test(f"ohms to {n} at {element.feed}", feed.place, minutes, says, errs["ohms"], needs)


def _test(
    name: str, place: str, minutes: float, says: list[str], errs: float, needs: tuple[Gate, ...] = ()
) -> FieldTest:
    """A test that says what it should but for ``errs``, which falls evenly on its other outcomes."""
    names = ("short", "load", "no load") if name.startswith("ohms") else ("tone", "dead")
    wrong = errs / (len(names) - 1)
    outcomes = tuple(Outcome(o, tuple(1 - errs if said == o else wrong for said in says)) for o in names)
    return FieldTest(name, place, minutes, outcomes, needs)


def _gates(name: str) -> tuple[Gate, ...]:
    return (Gate(name, KINDS["gates"][name]),)


def _tone(line: Line, n: int, h: Hypothesis, *, lifted: frozenset[int]) -> str:
    """What is heard behind element ``n``: an open ahead of it kills the tone, a short anywhere that is connected."""
    if h.element is None:
        return "tone"
    at = int(h.element)
    if h.fault == "open":
        return "dead" if at in line.paths[n] else "tone"
    return "tone" if at in lifted else "dead"


def _load(line: Line, leg: frozenset[int], h: Hypothesis) -> str:
    """What is measured into a leg that was lifted: a short, a load where a set is reached, or nothing."""
    at = None if h.element is None else int(h.element)
    if h.fault == "short" and at in leg:
        return "short"
    sets = [m for m in leg if line.elements[m].kind == "set"]
    cut = h.fault == "open" and at in leg
    return "load" if any(not (cut and at in line.paths[m]) for m in sets) else "no load"
