"""What is really wrong in a simulated call, beside the timeline that tells what was seen of it."""

from __future__ import annotations

from dataclasses import dataclass

from callnotes.records import Side, Status, Timeline
from tests.bench.simulated_calls.rates import OUTSIDE


@dataclass(frozen=True)
class TrueFault:
    """One thing that is wrong.

    ``fault`` is the contract's word, or ``outside the list``; ``what`` says it in plain words. ``shows`` is
    its electrical face (``open``, ``short``, ``hum``, ...), ``symptom`` what the customer notices.
    ``point`` is the element's point in the timeline, None where nobody named it. ``fair`` and ``fair_kinds``
    hold every word and kind of point that a careful listener may use for it, the true one included.
    """

    fault: str
    what: str
    shows: str
    symptom: str
    kind: str
    label: str | None
    point: str | None
    side: Side
    fair: tuple[str, ...]
    fair_kinds: tuple[str, ...]
    mended: bool
    intermittent: bool

    @property
    def known_to_contract(self) -> bool:
        """True where the contract's list has a word for it."""
        return self.fault != OUTSIDE


@dataclass(frozen=True)
class Truth:
    """The truth of a call. ``faults`` begins with the one that made the reported trouble; empty: nothing is wrong.

    ``tested`` says whether any reading was taken at or beyond the first fault's element; ``slips`` names
    what misled the technician or the ear. ``believed`` is the kind of element
    that the technician settled on (``demarc`` for all that lies behind it), None where on none; ``right``
    whether there was a fault in it.
    """

    world: str
    symptom: str
    faults: tuple[TrueFault, ...]
    retested: bool
    referred: bool
    isolated: bool
    tested: bool
    believed: str | None
    right: bool
    slips: tuple[str, ...]

    @property
    def standing(self) -> TrueFault | None:
        """The fault that the notes should name: of those that make the reported trouble the first that still stands.

        If none stands, it is the one that was there first.
        """
        same = (f for f in self.faults if not f.mended and f.symptom == self.symptom)
        return next(same, self.faults[0] if self.faults else None)

    @property
    def mended(self) -> bool:
        """True if that fault is gone by the technician's hand."""
        return self.standing is not None and self.standing.mended

    @property
    def fault(self) -> str:
        """The contract's word for it, ``none``, or ``outside the list``."""
        return self.standing.fault if self.standing else "none"

    @property
    def side(self) -> Side:
        """Whose it is."""
        return self.standing.side if self.standing else "unknown"

    @property
    def status(self) -> Status:
        """How the call ended, in the contract's words."""
        if self.referred:
            return "referred"
        if self.mended:
            return "repaired" if self.retested else "mended"
        return "found" if self.isolated else "not_found"


@dataclass(frozen=True)
class SimulatedCall:
    """A drawn call: its number, what was noted, and what is true."""

    seed: int
    timeline: Timeline
    truth: Truth
