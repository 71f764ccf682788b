"""Times of day as people say them: ten past eight, a quarter to two, five of one, 7 52 a.m., 0705."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from callnotes.extract.numbers import Number

_AFTER = {"past", "after"}
_BEFORE = {"to", "of", "till", "til", "before"}
_FRACTIONS = {"quarter": 15, "half": 30}
_MORNING, _EVENING = {"am", "a.m", "morning"}, {"pm", "p.m", "afternoon", "evening", "night", "tonight"}
_LEADING = {"in", "the", "at", "this", "o'clock"}
_NAMED = {"noon": 12, "midnight": 24}


@dataclass(frozen=True, slots=True)
class TimeOfDay:
    """A time over tokens ``first`` up to ``last``: minutes after midnight; ``half`` known as said or not.

    ``loose``: written as an engine may write a time ("9.55", "1035"), so it counts only where a time is due.
    """

    first: int
    last: int
    minutes: int
    half_known: bool
    loose: bool = False

    def near(self, earlier: int | None) -> int:
        """Minutes after midnight, the half of the day taken from the run of the call where it was not said.

        With nothing earlier, 7 to 11 are taken for morning and 12 to 6 for afternoon: working hours.
        """
        if self.half_known:
            return self.minutes
        if earlier is not None:
            later = [m for m in (self.minutes, self.minutes + 720) if m >= earlier]
            return min(later, default=self.minutes) % 1440
        return self.minutes + 720 if self.minutes < 7 * 60 else self.minutes


def find_times(norms: Sequence[str], numbers: Sequence[Number]) -> list[TimeOfDay]:
    """Every time of day in the tokens."""
    by_start = {number.first: number for number in numbers}
    found: list[TimeOfDay] = []
    at = 0
    while at < len(norms):
        time = _time_at(norms, at, by_start)
        if time:
            found.append(_with_half(norms, time))
            at = max(time.last, at + 1)
        else:
            at += 1
    return found


def clock(minutes: int) -> str:
    """Minutes after midnight as HH:MM."""
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


def _time_at(norms: Sequence[str], at: int, by_start: dict[int, Number]) -> TimeOfDay | None:
    word = norms[at]
    if ":" in word and word[0].isdigit():
        hours, minutes = (int(part) for part in word.split(":"))
        return _made(at, at + 1, hours, minutes)
    if word in _FRACTIONS:
        return _relative(norms, at, at + 1, _FRACTIONS[word], by_start)
    number = by_start.get(at)
    if number is None or number.value < 0 or number.value != int(number.value):
        return _clock_words(norms, at, number)
    joined = _relative(norms, at, number.last, int(number.value), by_start)
    return joined or _clock_words(norms, at, number, by_start.get(number.last))


def _relative(norms: Sequence[str], first: int, at: int, minutes: int, by_start: dict[int, Number]) -> TimeOfDay | None:
    if at < len(norms) and norms[at] in ("minutes", "minute"):
        at += 1
    if at + 1 >= len(norms) or minutes > 59 or norms[at] not in _AFTER | _BEFORE:
        return None
    hour = by_start.get(at + 1)
    named = _NAMED.get(norms[at + 1])
    if named:
        total = named * 60 + (minutes if norms[at] in _AFTER else -minutes)
        return TimeOfDay(first, at + 2, total % 1440, True)
    if hour is None or not 1 <= hour.value <= 12 or hour.value != int(hour.value):
        return None
    total = int(hour.value) * 60 + (minutes if norms[at] in _AFTER else -minutes)
    total += 720 if total < 60 else 0
    return _made(first, hour.last, total // 60, total % 60)


def _clock_words(
    norms: Sequence[str], at: int, number: Number | None, behind: Number | None = None
) -> TimeOfDay | None:
    """ "nine forty", "eight thirty", "7 52 a.m.", "nine o'clock", "0705"."""
    if number is None:
        return None
    digits, last = number.digits, number.last
    if not digits.isdigit():
        return None
    if not number.spoken and number.value != int(number.value):
        return _made(at, last, int(number.value), int(digits[-2:]), loose=True) if len(digits) in (3, 4) else None
    if len(digits) <= 2 and number.value <= 12:
        if behind and len(behind.digits) == 2 and behind.value < 60 and behind.first == last:
            return _made(at, behind.last, int(number.value), int(behind.value))
        if norms[last : last + 1] in (["o'clock"], ("o'clock",)) or _half(norms, last):
            return _made(at, last, int(number.value), 0)
        return None
    if number.value != int(number.value) or (number.spoken and number.value % 100 == 0):
        return None
    if len(digits) in (3, 4):
        loose = not (number.spoken or digits.startswith("0") or _half(norms, last))
        return _made(at, last, int(digits[:-2]), int(digits[-2:]), loose=loose)
    return None


def _made(first: int, last: int, hours: int, minutes: int, *, loose: bool = False) -> TimeOfDay | None:
    if not (0 <= hours < 24 and 0 <= minutes < 60) or (loose and not hours):
        return None
    return TimeOfDay(first, last, hours * 60 + minutes, hours > 12, loose)


def _half(norms: Sequence[str], at: int) -> str | None:
    """Which half of the day is said right behind ``at``: "a.m.", "in the morning", "at night"."""
    while at < len(norms) and norms[at] in _LEADING:
        at += 1
    spelled = "".join(norms[at : at + 4]).replace(".", "")
    word = norms[at] if at < len(norms) else ""
    if word in _MORNING or spelled.startswith("am"):
        return "am"
    return "pm" if word in _EVENING or spelled.startswith("pm") else None


def _with_half(norms: Sequence[str], time: TimeOfDay) -> TimeOfDay:
    half = _half(norms, time.last)
    if half is None or time.minutes >= 13 * 60:
        return time
    minutes = time.minutes % 720 + (720 if half == "pm" else 0)
    return TimeOfDay(time.first, time.last, minutes, True)
