"""Conclusions from events: the order of the points, the diagnosis, the ledger, open items and cautions."""

from __future__ import annotations

from callnotes.diagnose.cautions import cautions_of
from callnotes.diagnose.closeout import may_close, open_items_of
from callnotes.diagnose.course import Course
from callnotes.diagnose.faults import conclude
from callnotes.diagnose.ledger import ledger_of
from callnotes.diagnose.path import ordered
from callnotes.diagnose.sums import sums_of
from callnotes.records import Timeline
from callnotes.trade import Trade

__all__ = ["diagnose", "may_close", "reopened"]


def diagnose(timeline: Timeline, trade: Trade) -> Timeline:
    """The same timeline with every conclusion set; the readings must have been judged.

    Open items that came in and that no requirement makes (a stretch to listen to) are kept.
    """
    timeline = ordered(timeline, trade)
    diagnosis = conclude(timeline, trade)
    ledger = ledger_of(Course(timeline, trade))
    timeline = timeline.model_copy(update={"diagnosis": diagnosis, "ledger": ledger})
    timeline = timeline.model_copy(update={"sums": sums_of(timeline, trade)})
    return timeline.model_copy(
        update={"open_items": open_items_of(timeline, trade), "cautions": cautions_of(timeline, trade)}
    )


def reopened(timeline: Timeline, trade: Trade) -> Timeline:
    """The same timeline with its open items made anew and its other conclusions as they stand."""
    return timeline.model_copy(update={"open_items": open_items_of(timeline, trade)})
