"""A sum as the record that the timeline keeps, with its sources from the table of sums."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from callnotes.diagnose.sum_readings import Taking
from callnotes.errors import DataError
from callnotes.records import Basis, Event, Sum
from callnotes.trade import Trade
from callnotes.trade.worked import Worked

LEAST_SURE_LAST: tuple[Basis, ...] = ("read", "definition", "mem-H", "practice", "own", "mem-M")


def told(
    taking: Taking,
    words: Mapping[str, object],
    value: float | None,
    unit: str | None,
    ends: tuple[float, float] | None = None,
    also: Iterable[Event] = (),
) -> Sum:
    """The record: the row's text filled with ``words``, resting on the readings taken and on ``also``."""
    row, trade = taking.row, taking.course.trade
    low, high = (None, None) if ends is None else (_digits(ends[0]), _digits(ends[1]))
    source, basis = sources_of(row, trade)
    return Sum(
        sum=row.sum,
        text=row.text.format_map(words),
        value=None if value is None else _digits(value),
        unit=unit,
        low=low,
        high=high,
        point=taking.first.point,
        from_=tuple(dict.fromkeys(e.id for e in (*taking.events, *also))),
        source=source,
        basis=basis,
    )


def sources_of(row: Worked, trade: Trade) -> tuple[str, Basis]:
    """The sources of the row's sum in words, and the basis of the least sure; ``DataError`` for an unknown sum."""
    one = trade.sum(row.sum)
    if one is None:
        raise DataError(
            f"no sum {row.sum!r} in sums.toml", where=f"worked.toml: {row.code}", hint="mend one of the two"
        )
    return "; ".join(source.name for source in one.sources), max(
        (source.basis for source in one.sources), key=LEAST_SURE_LAST.index
    )


def _digits(value: float) -> float:
    # Four digits: more would be the noise of the arithmetic, and no reading holds them.
    return float(f"{value:.4g}")
