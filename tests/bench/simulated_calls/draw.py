"""Draws calls: a plant, a technician, the job, what was heard of it, and the truth."""

from __future__ import annotations

from collections.abc import Iterator

from callnotes.records import Side
from tests.bench.simulated_calls.chance import Chance
from tests.bench.simulated_calls.data_job import DataJob
from tests.bench.simulated_calls.fiber_job import FiberJob
from tests.bench.simulated_calls.hearing import Hearing
from tests.bench.simulated_calls.job import Job
from tests.bench.simulated_calls.notes import Notes
from tests.bench.simulated_calls.plant import Element, Fault, Plant
from tests.bench.simulated_calls.rates import shares
from tests.bench.simulated_calls.technician import draw_technician
from tests.bench.simulated_calls.truth import SimulatedCall, TrueFault, Truth
from tests.bench.simulated_calls.voice_job import VoiceJob
from tests.bench.simulated_calls.worlds import draw_plant

JOBS: dict[str, type[Job]] = {"voice": VoiceJob, "data": DataJob, "fiber": FiberJob}
FIRST = {"voice": "dead", "data": "link", "fiber": "light"}  # the complaint where nothing is wrong
SHORTEST = 3  # events; what is shorter is drawn again
SPREAD = 1_000_003  # a prime, so that runs of draw_many from near seeds share no call


def draw(seed: int, noise: float = 1.0) -> SimulatedCall:
    """One call. ``noise`` scales what the ear loses; 0 hears everything right."""
    chance = Chance(seed)
    job = _worked(chance)
    while len(job.notes.drafts) < SHORTEST:
        job = _worked(chance)
    if job.plant.dried:
        job.notes.slip("dried out meanwhile")
    hearing = Hearing(job.plant, chance, noise)
    timeline = hearing.timeline(job.notes)
    return SimulatedCall(seed, timeline, _truth(job, hearing))


def _worked(chance: Chance) -> Job:
    """A call of some world, worked to its end."""
    world = chance.pick(shares("worlds"))
    plant = draw_plant(world, chance)
    symptom = plant.faults[0].kind.symptom if plant.faults else FIRST[world]
    job = JOBS[world](plant, chance, Notes(chance), draw_technician(chance), symptom)
    job.work()
    return job


def draw_many(n: int, seed: int) -> Iterator[SimulatedCall]:
    """``n`` calls."""
    return (draw(seed * SPREAD + i) for i in range(n))


def _truth(job: Job, hearing: Hearing) -> Truth:
    plant = job.plant
    faults = tuple(_true_fault(f, hearing) for f in plant.faults)
    right = job.suspect is not None and _is_right(plant, job.suspect)
    tested = bool(plant.faults) and bool(job.tested & {id(e) for e in _at_or_beyond(plant, plant.faults[0].element)})
    return Truth(
        world=plant.world,
        symptom=job.symptom,
        faults=faults,
        retested=job.retested,
        referred=job.referred,
        isolated=right,
        tested=tested,
        believed=job.suspect.kind if job.suspect else None,
        right=right,
        slips=tuple(job.notes.slips),
    )


def _is_right(plant: Plant, suspect: Element) -> bool:
    """True if the suspect has a fault; of what lies behind the interface nobody can tell the element."""
    return any(
        f.element is suspect
        or (f.element.owner == "provider" and (suspect.kind == "demarc" or suspect.owner == "provider"))
        for f in plant.faults
    )


def _at_or_beyond(plant: Plant, element: Element) -> list[Element]:
    return [e for e in plant.elements if element in e.to_root()]


def _true_fault(fault: Fault, hearing: Hearing) -> TrueFault:
    kind, element = fault.kind, fault.named
    name = "cable" if element.kind == "cord" else element.kind
    side: Side = "provider" if element.owner == "provider" or kind.whose == ("provider",) else "customer"
    behind = side == "provider" and "no_service" in kind.fair
    return TrueFault(
        fault=kind.word,
        what=kind.what,
        symptom=kind.symptom,
        shows=kind.shunt or kind.series or kind.does or kind.symptom,
        kind=name,
        label=element.label,
        point=hearing.point_of(element),
        side=side,
        fair=tuple(dict.fromkeys((kind.word, *(w for w in kind.fair if w != "no_service" or behind)))),
        fair_kinds=tuple(dict.fromkeys((name, *kind.fair_at, *(("demarc",) if side == "provider" else ())))),
        mended=fault.mended,
        intermittent=fault.intermittent,
    )
