"""Values as a person types them (times, dates, names, goods, tickets), checked, as the timeline holds them."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime
from typing import Any

from callnotes.errors import OptionError
from callnotes.trade import Trade
from callnotes.trade.fields import CallField

LONGEST = 300  # letters of one value; a report has no room for more

_CLOCK = re.compile(r"(\d{1,2})(?:[:.h]?([0-5]\d))?\s*(?:([ap])\.?\s*m\.?)?", re.IGNORECASE)
_NAMED_TIMES = {"noon": "12:00", "midnight": "00:00"}
_DATES = ("%Y-%m-%d", "%m/%d/%Y", "%m/%d/%y", "%B %d %Y", "%b %d %Y", "%d %B %Y", "%d %b %Y")
_DATES_OF_A_YEAR = ("%m/%d %Y", "%B %d %Y", "%b %d %Y", "%d %B %Y", "%d %b %Y")
_YES, _NO = {"yes", "y", "true"}, {"no", "n", "false"}
_NONE = {"none", "nothing", "no parts", "no material"}
_GOODS = re.compile(r"(?:(-?\d+(?:[.,]\d+)?)\s*)?(.*)")
_TICKET_PARTS = ("owner", "person", "promised")


def parse(field: CallField, text: str, trade: Trade, today: date) -> Any:
    """The value as plain data of the timeline; ``OptionError`` says how it is written."""
    plain = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    if not plain or len(plain) > LONGEST:
        raise _refused(field, text, f"give 1 to {LONGEST} letters")
    if field.kind == "goods":
        return _goods(field, plain, trade)
    if field.kind == "date":
        return _date(field, plain, today)
    return _PLAIN[field.kind](field, plain)


def _text(field: CallField, text: str) -> str:
    return text


def _time(field: CallField, text: str) -> str:
    """``HH:MM`` on the 24 hour clock, from that, "4:20 pm", "4pm" or "1620"."""
    if text.lower() in _NAMED_TIMES:
        return _NAMED_TIMES[text.lower()]
    found = _CLOCK.fullmatch(text)
    if found is None or (found[2] is None and found[3] is None):
        raise _refused(field, text, "write HH:MM or 4:20 pm")
    hours, minutes, half = int(found[1]), int(found[2] or 0), (found[3] or "").lower()
    if half and not 1 <= hours <= 12:
        raise _refused(field, text, "write HH:MM or 4:20 pm")
    if half:
        hours = hours % 12 + (12 if half == "p" else 0)
    if hours > 23:
        raise _refused(field, text, "a day has the hours 00 to 23")
    return f"{hours:02d}:{minutes:02d}"


def _date(field: CallField, text: str, today: date) -> str:
    """An ISO date; one without a year is the latest such day that is not to come."""
    words = text.replace(",", " ")
    if words.lower() == "today":
        return today.isoformat()
    for form in _DATES:
        if (found := _day(words, form)) is not None:
            return found.isoformat()
    for year in (today.year, today.year - 1):
        days = [day for form in _DATES_OF_A_YEAR if (day := _day(f"{words} {year}", form)) is not None]
        if days and days[0] <= today:
            return days[0].isoformat()
    raise _refused(field, text, "write YYYY-MM-DD, 3/14/2026 or March 14")


def _day(text: str, form: str) -> date | None:
    try:
        return datetime.strptime(" ".join(text.split()), form).date()
    except ValueError:
        return None


def _yes_no(field: CallField, text: str) -> bool:
    if text.lower() not in _YES | _NO:
        raise _refused(field, text, "write yes or no")
    return text.lower() in _YES


def _names(field: CallField, text: str) -> list[str]:
    return _parts(field, text, r"[;,]")


def _parts(field: CallField, text: str, between: str) -> list[str]:
    parts = [part.strip() for part in re.split(between, text)]
    if not all(parts):
        raise _refused(field, text, "an entry is empty")
    return parts


def _goods(field: CallField, text: str, trade: Trade) -> list[dict[str, Any]]:
    if text.lower() in _NONE:
        return []
    return [_one_good(field, part, trade) for part in _parts(field, text, ";")]


def _one_good(field: CallField, text: str, trade: Trade) -> dict[str, Any]:
    """ "2 bridging clips", "85 ft station wire", "a tag"."""
    number, rest = _GOODS.fullmatch(re.sub(r"^an? ", "1 ", text)).groups()  # type: ignore[union-attr]  # fits any text
    quantity = float(number.replace(",", ".")) if number else None
    if quantity is not None and quantity <= 0:
        raise _refused(field, text, "a count is above 0")
    lengths = {said: unit.symbol for unit in trade.units if unit.dimension == "m" for said in (unit.symbol, *unit.said)}
    first, _, behind = rest.partition(" ")
    unit = lengths.get(first.lower()) if quantity is not None else None
    item = (behind.removeprefix("of ") if unit else rest).strip()
    if not item:
        raise _refused(field, text, 'say of what, like "2 bridging clips" or "85 ft station wire"')
    one = item[:-1] if quantity and quantity > 1 and not unit and re.search(r"[^s]s$", item) else item
    return {"item": one, "quantity": quantity, "unit": unit}


def _tickets(field: CallField, text: str) -> list[dict[str, str | None]]:
    """ "4417026, owner provider, person Kay, promised tomorrow"; several are parted by ";"."""
    tickets = []
    for part in _parts(field, text, ";"):
        number, *rest = _parts(field, part, ",")
        ticket: dict[str, str | None] = {"number": number, "owner": None, "person": None, "promised": None}
        for piece in rest:
            key, _, value = piece.partition(" ")
            if key.lower() not in _TICKET_PARTS or not value:
                raise _refused(field, text, 'write "NUMBER, owner WHO, person WHO, promised WHEN"')
            ticket[key.lower()] = value
        tickets.append(ticket)
    return tickets


def _refused(field: CallField, text: str, hint: str) -> OptionError:
    kinds = {"time": "time of day", "date": "date", "yes_no": "yes or no", "goods": "list of goods"}
    what = f"{text[:40]!r} is no {kinds.get(field.kind, field.plain)}"
    return OptionError(what, where=field.name, hint=hint)


_PLAIN: dict[str, Callable[[CallField, str], Any]] = {
    "text": _text,
    "time": _time,
    "yes_no": _yes_no,
    "names": _names,
    "tickets": _tickets,
}
