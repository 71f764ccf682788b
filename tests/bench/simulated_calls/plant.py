"""The line as it is: elements from the provider to the set, what joins them, and the faults in them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from callnotes.records import Side
from tests.bench.simulated_calls.chance import Chance
from tests.bench.simulated_calls.rates import FaultKind, rate


@dataclass(eq=False)
class Element:
    """A piece of the line. Its inner end (``parent``) looks to the provider, its outer end to the set.

    ``parts_by`` is what opens it for a test: ``plug``, ``clips``, ``pair`` (lifted), or None. ``sides`` are the
    words for its inner and outer end where the trade has such. ``detail`` holds fields of the
    timeline's point. ``length_ft`` is a cable's. ``parted`` opens it towards the provider, ``open_below`` takes
    off what hangs on its outer end (the house cord of a gateway, the stations of a system).
    """

    kind: str
    owner: Side
    parent: Element | None = None
    detail: dict[str, Any] = field(default_factory=dict)
    parts_by: str | None = None
    sides: tuple[str, str] | None = None
    length_ft: float = 0.0
    parted: bool = False
    open_below: bool = False
    children: list[Element] = field(default_factory=list)

    def __post_init__(self) -> None:
        if self.parent is not None:
            self.parent.children.append(self)

    @property
    def label(self) -> str | None:
        """What tells it from others of its kind."""
        return self.detail.get("label")

    def to_root(self) -> Iterator[Element]:
        """Itself, its parent, and so on to the provider."""
        here: Element | None = self
        while here is not None:
            yield here
            here = here.parent


@dataclass(eq=False)
class Fault:
    """A fault in an element. ``active`` changes with an intermittent; ``mended`` is for good.

    ``named`` is where the trade says it is: what the office does wrong is at the interface.
    """

    kind: FaultKind
    element: Element
    ohms: float
    at_share: float
    named: Element
    intermittent: bool = False
    active: bool = True
    mended: bool = False

    @property
    def bites(self) -> bool:
        """True while it does something to the line."""
        return self.active and not self.mended


@dataclass(eq=False)
class Plant:
    """All elements, the path to the place of the complaint, and the faults."""

    world: str
    elements: list[Element]
    path: list[Element]
    faults: list[Fault] = field(default_factory=list)
    battery_v: float = 50.0
    dried: bool = False
    dry_after: int | None = None  # the visit after which what was wet is dry

    def faults_at(self, element: Element) -> Iterator[Fault]:
        """The faults that do something in this element now."""
        return (f for f in self.faults if f.element is element and f.bites)

    def waver(self, chance: Chance, visit: int) -> None:
        """Let intermittents come and go between two visits to a test point."""
        for fault in self.faults:
            if fault.kind.wet and self.dry_after is not None and visit > self.dry_after:
                fault.active = False
                self.dried = True
            elif fault.intermittent:
                fault.active = chance.hit(rate("faults.intermittent_shows"))

    def conducts(self, element: Element) -> bool:
        """True if the pair goes through; a panel plugged into a seizure jack is in series with it."""
        if element.parted or (element.parent is not None and element.parent.open_below):
            return False
        if any(f.kind.series == "open" for f in self.faults_at(element)):
            return False
        panels = (c for c in element.children if c.kind == "alarm_panel" and not c.parted)
        return all(f.kind.series != "open" for panel in panels for f in self.faults_at(panel))

    def joined(self, start: Element) -> list[Element]:
        """All elements whose outer end is one piece of copper with the outer end of ``start``.

        A system keeps its trunks and its stations apart.
        """
        seen = [start]
        for here in seen:
            near = [c for c in here.children if c.kind != "pbx" and self.conducts(c)]
            if here.parent is not None and here.kind != "pbx" and self.conducts(here):
                near.append(here.parent)
            seen.extend(e for e in near if e not in seen)
        return seen
