"""The test window of an alarm account at its monitoring station, against the call's own clock."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from callnotes.diagnose.course import Course, says
from callnotes.diagnose.lack import Lack
from callnotes.diagnose.ledger import is_account
from callnotes.records import LedgerLine
from callnotes.trade.judgment import Requirement

DAY = 24 * 60
HALF_DAY = 12 * 60


def left_on_test(row: Requirement, course: Course) -> Iterator[Lack]:
    """On test by what was said or set, and nobody took it off."""
    account = _account(course)
    if _on_test(course):
        until = _until(course)
        what = f" until {_clock(until)}" if until is not None else ""
        yield Lack(what=what, because=account.disturbed_by if account else None)


def test_overrun(row: Requirement, course: Course) -> Iterator[Lack]:
    """Off test, or gone, later than the window's end."""
    until, end = _until(course), _end_of_work(course)
    if until is None or end is None or not _later(end, until, course):
        return
    account = _account(course)
    back = account.restored_by if account else None
    yield Lack(what=_clock(until), because=back or (account.disturbed_by if account else None))


def test_ending(row: Requirement, course: Course) -> Iterator[Lack]:
    """Still on site and on test with no more than ``minutes`` of the window left at the last words."""
    until, now = _until(course), _now(course)
    gone = course.timeline.call.departed is not None
    if until is None or now is None or gone or not _on_test(course):
        return
    left = (until - now) % DAY
    if left <= row.minutes:
        account = _account(course)
        yield Lack(what=_clock(until), where=f"{left} min", because=account.disturbed_by if account else None)


def on_test_now(course: Course) -> bool:
    """Whether the account is on test and its window was not over at the last words; the ledger must be set."""
    until, now = _until(course), _now(course)
    return _on_test(course) and not (until is not None and now is not None and _later(now, until, course))


def _account(course: Course) -> LedgerLine | None:
    """The ledger's line of the account, the one still on test if there are several."""
    lines = [line for line in course.timeline.ledger if is_account(line, course)]
    return next((line for line in lines if not line.restored_by), lines[-1] if lines else None)


def _on_test(course: Course) -> bool:
    window, account = course.timeline.call.on_test, _account(course)
    if window is not None and window.off:
        return False
    if account is not None:
        return account.restored_by is None
    return window is not None and not any(e.action == "notify" and says(e, ("off test",)) for e in course.events)


def _end_of_work(course: Course) -> int | None:
    """When the account came off test; still on it, when the technician left or spoke last."""
    window, account = course.timeline.call.on_test, _account(course)
    if window is not None and window.off:
        return _minutes(window.off)
    back = course.timeline.event(account.restored_by) if account else None
    if back is not None:
        return _at(back.start, course)
    if not _on_test(course):
        return None
    departed = _minutes(course.timeline.call.departed)
    return departed if departed is not None else _now(course)


def _now(course: Course) -> int | None:
    return _at(max((e.end for e in course.events), default=0.0), course)


def _at(seconds: float, course: Course) -> int | None:
    """The minute of the day of a moment, from the recording's start or else from the arrival.

    Notes that were spoken after the work make it too early, never too late: no window is called overrun for them.
    """
    recordings = course.timeline.recordings
    start = _started(recordings[0].started) if recordings else None
    start = start if start is not None else _minutes(course.timeline.call.arrived)
    return None if start is None else (start + int(seconds // 60)) % DAY


def _until(course: Course) -> int | None:
    window = course.timeline.call.on_test
    return _minutes(window.until) if window else None


def _later(moment: int, end: int, course: Course) -> bool:
    """Whether a time of day lies after another, both counted from the arrival: a call may run over midnight."""
    window, arrived = course.timeline.call.on_test, _minutes(course.timeline.call.arrived)
    begun = arrived if arrived is not None else _minutes(window.since if window else None)
    if begun is None:
        return 0 < (moment - end) % DAY < HALF_DAY
    return (moment - begun) % DAY > (end - begun) % DAY


def _started(text: str | None) -> int | None:
    try:
        moment = datetime.fromisoformat(text) if text else None
    except ValueError:
        return None
    return moment.hour * 60 + moment.minute if moment else None


def _minutes(clock: str | None) -> int | None:
    hours, _, minutes = (clock or "").partition(":")
    return int(hours) * 60 + int(minutes) if hours.isdigit() and minutes.isdigit() else None


def _clock(minutes: int) -> str:
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
