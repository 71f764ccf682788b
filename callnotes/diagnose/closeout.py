"""What the notes still lack before leaving the site: the requirements table, checked row by row.

Each row names one check. A check yields what it found missing, once for each.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from callnotes.diagnose import guarded, proof, unsaid, window
from callnotes.diagnose.course import Course
from callnotes.diagnose.lack import Lack
from callnotes.records import OpenItem, Timeline
from callnotes.trade import Trade
from callnotes.trade.judgment import Requirement

CHECKS: dict[str, Callable[[Requirement, Course], Iterator[Lack]]] = {
    "fact_missing": unsaid.fact_missing,
    "line_number_missing": unsaid.line_number_missing,
    "complaint_missing": unsaid.complaint_missing,
    "no_readings": proof.no_readings,
    "mend_without_retest": proof.mend_without_retest,
    "one_way_only": proof.one_way_only,
    "still_out": guarded.still_out,
    "left_on_test": window.left_on_test,
    "test_overrun": window.test_overrun,
    "test_ending": window.test_ending,
    "guarded_untold": guarded.guarded_untold,
    "guarded_unproved": guarded.guarded_unproved,
    "guarded_line_faulty": guarded.guarded_line_faulty,
    "danger_standing": proof.danger_standing,
    "word_against_limit": proof.word_against_limit,
    "leads_missing": proof.leads_missing,
    "materials_unsaid": unsaid.materials_unsaid,
    "ticket_missing": unsaid.ticket_missing,
    "return_unexplained": unsaid.return_unexplained,
    "next_step_unsaid": unsaid.next_step_unsaid,
    "not_found": unsaid.not_found,
}


def open_items_of(timeline: Timeline, trade: Trade) -> tuple[OpenItem, ...]:
    """Open items of a timeline with diagnosis and ledger; those that came in and no row makes are kept first."""
    course = Course(timeline, trade)
    own = {row.code for row in trade.requirements}
    items = [item for item in timeline.open_items if item.code not in own]
    for row in trade.requirements:
        for lack in CHECKS[row.check](row, course):
            words = row.text.format(what=lack.what, where=lack.where)
            text = words[:1].upper() + words[1:]
            items.append(OpenItem(code=row.code, text=text, level=row.level, because=lack.because, fill=row.fill))
    return tuple(items)


def may_close(timeline: Timeline) -> bool:
    """Whether no open item stops the call from being closed; one that somebody accepted does not."""
    return not any(item.level == "stops" and item.accepted is None for item in timeline.open_items)
