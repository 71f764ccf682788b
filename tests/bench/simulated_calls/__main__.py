"""Prints simulated calls so that a technician can judge them: ``python -m tests.bench.simulated_calls 5 --seed 3``."""

from __future__ import annotations

import argparse

from tests.bench.simulated_calls import SimulatedCall, draw_many


def show(call: SimulatedCall) -> str:
    """A call in lines: events, then the truth."""
    lines = [f"== call {call.seed} ({call.truth.world}, {call.truth.symptom}) =="]
    for event in call.timeline.events:
        point = call.timeline.point(event.point)
        where = "-"
        if point is not None:
            parts = (
                point.kind,
                point.label,
                point.block_type,
                point.side,
                point.pair and f"pair {point.pair}",
                point.port,
            )
            where = f"{point.id} " + " ".join(str(p) for p in parts if p)
        value = event.state or (f"{event.value:g} {event.unit}" if event.value is not None else event.object or "")
        under = ", ".join(f"{c.what} {c.is_}" + (f" at {c.point}" if c.point else "") for c in event.conditions)
        verdict = f" -> {event.verdict} ({event.verdict_from})" if event.verdict else ""
        what = event.quantity or event.action or event.text
        lines.append(f"{event.start:7.0f} {event.confidence:.2f} {where:36.36} {what} {value} [{under}]{verdict}")
    truth = call.truth
    for fault in truth.faults:
        state = "mended" if fault.mended else "stands"
        place = f"{fault.side}'s {fault.kind} {fault.label or ''} {fault.point or '(never named)'}"
        wavers = ", intermittent" if fault.intermittent else ""
        lines.append(f"  TRUTH {fault.fault}: {fault.what}; {place}; {state}{wavers}")
    if not truth.faults:
        lines.append("  TRUTH none")
    lines.append(
        f"  {truth.status}; believed {truth.believed}; retested {truth.retested}; slips {', '.join(truth.slips)}"
    )
    return "\n".join(lines)


def main() -> None:
    """Read the options and print."""
    parser = argparse.ArgumentParser(prog="simulated_calls", description=__doc__)
    parser.add_argument("n", type=int, nargs="?", default=5, help="how many calls")
    parser.add_argument("--seed", type=int, default=1, help="where the draw begins")
    options = parser.parse_args()
    print("\n\n".join(show(call) for call in draw_many(options.n, options.seed)))


if __name__ == "__main__":
    main()
