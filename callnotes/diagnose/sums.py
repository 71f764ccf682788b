"""The sums done: what the trade works out from the readings of a call, where they allow it.

The rules stand in ``data/worked.toml``. Better no sum than a wrong one: a row whose readings are not sure, lie on both
sides of a mend, or whose grounds do not hold makes none.
"""

from __future__ import annotations

from collections.abc import Iterator

from callnotes.calc.rounding import exact
from callnotes.diagnose import copper_sums, line_sums
from callnotes.diagnose.course import Course
from callnotes.diagnose.sum_grounds import allowed
from callnotes.diagnose.sum_readings import SURE, Stretches, Taking, takings_of
from callnotes.judge import condition, meets
from callnotes.records import Event, Sum, Timeline
from callnotes.trade import Trade
from callnotes.trade.judgment import Limit
from callnotes.trade.worked import Worked

MAKERS = copper_sums.MAKERS | line_sums.MAKERS
HEADROOM = "headroom"
# A difference of two levels is in plain decibels.
LEVELS = {"dBrnC", "dBm", "dBmV"}


def sums_of(timeline: Timeline, trade: Trade) -> tuple[Sum, ...]:
    """All sums of a timeline that has its diagnosis and ledger; of two alike at one place the later."""
    course = Course(timeline, trade)
    stretches = Stretches(course)
    made: dict[tuple[str, str | None], Sum] = {}
    for row in trade.worked:
        if row.code == HEADROOM:
            made |= {(f"{row.code} {event.quantity}", event.point): one for event, one in _headroom(row, course)}
            continue
        for taking in takings_of(row, stretches):
            one = _worked_out(row, taking)
            if one is not None:
                made[row.code, one.point] = one
    told = {(code, point) for row in trade.worked for code in row.instead_of for c, point in made if c == row.code}
    return tuple(one for key, one in made.items() if key not in told)


def _worked_out(row: Worked, taking: Taking) -> Sum | None:
    """The sum, or None where its grounds do not hold or its figures make no sense."""
    if not allowed(taking):
        return None
    try:
        return MAKERS[row.code](taking)
    except ValueError:  # a figure that the sum itself refuses: what was read is nothing that this sum knows
        return None


def _headroom(row: Worked, course: Course) -> Iterator[tuple[Event, Sum]]:
    """How far each reading lies inside or outside the limit of the chosen profile that judged it."""
    for event in course.events:
        limit = next((one for one in course.trade.limits if one.id == event.limit), None)
        loose = any(condition(event, what) for what in ("bound", "range", "steady"))
        if event.verdict_from != "limit" or limit is None or event.confidence < SURE or loose:
            continue
        have, want = course.trade.unit(event.unit), course.trade.unit(limit.unit)
        value = have.to(want, event.value) if have and want and event.value is not None else None
        if value is not None and want is not None:
            one = _room(row, event, value, limit, course.trade)
            yield event, _with_quiet(row, one, event, course)


def _with_quiet(row: Worked, one: Sum, event: Event, course: Course) -> Sum:
    """A balance outside its limit on a line as quiet as its noise was read there: that alone is no fault."""
    if event.quantity != "balance" or event.verdict != "fail":
        return one
    noise = [e for e in course.events if e.quantity == "noise" and course.one_place(e, event)]
    if not any(e.value is not None and e.unit == "dBrnC" and e.value < line_sums.QUIET_DBRNC for e in noise):
        return one
    from_ = tuple(dict.fromkeys((event.id, *(e.id for e in noise))))
    return one.model_copy(update={"text": one.text + row.says["quiet"], "from_": from_})


def _room(row: Worked, event: Event, value: float, limit: Limit, trade: Trade) -> Sum:
    room = round(value - limit.value if limit.op in (">", ">=") else limit.value - value, 9)
    unit, read, quantity = trade.unit(limit.unit), trade.unit(event.unit), trade.quantity(event.quantity)
    shown = unit.shown if unit else limit.unit
    room_unit = "dB" if limit.unit in LEVELS else shown
    # A reading on an edge that its source leaves out has no room, and is still outside.
    side = "edge" if room == 0 else "inside" if meets(value, limit) else "outside"
    name = quantity.name if quantity else limit.quantity
    words = {
        "quantity": name[:1].upper() + name[1:],
        "read": f"{event.value:g} {read.shown if read else event.unit}",
        "room": row.says[side].format(room=f"{exact(abs(room))} {room_unit}"),
        "sign": row.says[limit.op],
        "limit": f"{limit.value:g} {shown}",
        "source": limit.source,
        "memory": row.says["memory"] if limit.basis == "mem-M" else "",
    }
    return Sum(
        sum=row.sum,
        text=row.text.format(**words),
        value=room,
        unit="dB" if limit.unit in LEVELS else limit.unit,
        point=event.point,
        from_=(event.id,),
        source=limit.source,
        basis=limit.basis,
    )
