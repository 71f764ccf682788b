"""Times on paper: the time of day where the clock is known, else minutes and seconds of the recording."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime

from callnotes.records import Call, Timeline
from callnotes.render.figures import NO_BREAK, THIN

DAY = 24 * 60
# A recording may begin a little after the arrival and end a little before the departure.
SLACK_MIN = 5.0
SLACK_SHARE = 0.15


@dataclass(frozen=True)
class Clock:
    """``start`` is the second of the day at which the recording begins, or None where that is not known."""

    start: float | None = None

    def at(self, seconds: float) -> str:
        """That moment as "9:31 a.m." or, with the clock unknown, as "2:14" of the recording."""
        if self.start is not None:
            return of_day(int((self.start + seconds) // 60))
        whole = int(max(seconds, 0))
        hours, minutes = whole // 3600, whole // 60 % 60
        return f"{hours}:{minutes:02}:{whole % 60:02}" if hours else f"{minutes}:{whole % 60:02}"


def clock_of(timeline: Timeline) -> Clock:
    """The clock of a call: from the recording's own start, else from the arrival.

    The arrival counts only where the recording lasts as long as the visit did: notes that were dictated
    in three minutes after an hour's work would get times of day that nobody said.
    """
    started = timeline.recordings[0].started if timeline.recordings else None
    moment = _moment(started)
    if moment:
        return Clock(moment.hour * 3600.0 + moment.minute * 60 + moment.second)
    arrived, minutes = minutes_of(timeline.call.arrived), on_site(timeline.call)
    if arrived is None or minutes is None or not timeline.recordings:
        return Clock()
    length = max(r.offset_s + r.duration_s for r in timeline.recordings) / 60
    fits = abs(length - minutes) <= max(SLACK_MIN, SLACK_SHARE * minutes)
    return Clock(arrived * 60.0) if fits else Clock()


def of_day(minute: int) -> str:
    """Minutes since midnight as "9:05 a.m."."""
    if minute % (DAY // 2) == 0:
        return f"12{NO_BREAK}{'noon' if minute % DAY else 'midnight'}"
    hour, rest = divmod(minute % DAY, 60)
    return f"{(hour - 1) % 12 + 1}:{rest:02}{NO_BREAK}{'a' if hour < 12 else 'p'}.m."


def minutes_of(text: str | None) -> int | None:
    """``HH:MM`` as minutes since midnight; None where it is none."""
    found = re.fullmatch(r"(\d{1,2}):(\d{2})(?::\d{2})?", text or "")
    return int(found[1]) * 60 + int(found[2]) if found and int(found[1]) < 24 and int(found[2]) < 60 else None


def time_of_day(text: str | None) -> str | None:
    """``HH:MM`` as papers print it; other words stay as they are."""
    minute = minutes_of(text)
    return text if minute is None else of_day(minute)


def on_site(call: Call) -> int | None:
    """Minutes from arrival to departure, over midnight if need be; None if either is not known."""
    arrived, departed = minutes_of(call.arrived), minutes_of(call.departed)
    return None if arrived is None or departed is None else (departed - arrived) % DAY


def span(minutes: int) -> str:
    """Minutes as "45 min" or "1 h 40 min"."""
    hours, rest = divmod(minutes, 60)
    parts = [f"{hours}{THIN}h"] if hours else []
    return NO_BREAK.join(parts + ([f"{rest}{THIN}min"] if rest or not hours else []))


def length(seconds: float) -> str:
    """The length of a recording as "3 min 12 s"."""
    whole = round(seconds)
    parts = [(whole // 3600, "h"), (whole // 60 % 60, "min"), (whole % 60, "s")]
    return NO_BREAK.join(f"{count}{THIN}{unit}" for count, unit in parts if count) or f"0{THIN}s"


def day_of(timeline: Timeline) -> date | None:
    """The day of the call: as said, else that of the first recording's start; None if neither is a date."""
    said = _moment(timeline.call.date)
    started = _moment(timeline.recordings[0].started) if timeline.recordings else None
    moment = said or (None if timeline.call.date else started)
    return moment.date() if moment else None


def long_date(day: date) -> str:
    """A day as "March 4, 2026"."""
    return f"{day:%B}{NO_BREAK}{day.day}, {day.year}"


def _moment(text: str | None) -> datetime | None:
    try:
        return datetime.fromisoformat(text) if text else None
    except ValueError:
        return None
