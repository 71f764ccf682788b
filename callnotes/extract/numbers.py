"""Numbers as people say and engines write them.

``find_numbers`` reads forty nine point eight, oh point five, a hundred and ten, fourteen hundred and
eight, three sixty-four point two, fifty-two and a quarter, minus twenty-one six, 49.8 and 1 490. What
the digits mean (a reading, a row, a telephone number) is decided elsewhere; ``digits`` keeps them as
said, so that an order number does not become a sum.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

_ONES = {w: n for n, w in enumerate(["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"])}
_TEENS = {
    w: n + 10
    for n, w in enumerate(
        ["ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"]
    )
}
_TENS = {
    w: (n + 2) * 10
    for n, w in enumerate(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"])
}
_TENS["fourty"] = 40
_OH = {"oh", "o"}
_POINT = {"point", "comma"}
_PARTS = {
    "half": 0.5, "quarter": 0.25, "third": 1 / 3, "fifth": 0.2, "eighth": 0.125, "tenth": 0.1, "hundredth": 0.01,
    "thousandth": 0.001,
}  # fmt: skip
# Parts that are said by themselves as a measure: "two tenths of a volt", "a quarter". A second or a fifth is a place.
_COUNTED = {"tenth", "tenths", "hundredth", "hundredths", "thousandth", "thousandths", "quarters", "eighths"}


@dataclass(frozen=True, slots=True)
class Number:
    """A number over tokens ``first`` up to ``last``. ``digits`` is it read digit by digit, as in a code.

    ``loose`` marks a value that only a reading would have said so ("fifty-three four" for 53.4).
    """

    first: int
    last: int
    value: float
    digits: str
    loose: bool = False
    spoken: bool = True


def find_numbers(norms: Sequence[str]) -> list[Number]:
    """Every number in the tokens, left to right, not overlapping."""
    found, at = [], 0
    while at < len(norms):
        number = _number(norms, at)
        if number is None:
            at += 1
        else:
            found.append(number)
            at = number.last
    return found


def _number(norms: Sequence[str], at: int) -> Number | None:
    sign, start = 1.0, at
    if norms[at] in ("minus", "negative"):
        sign, at = -1.0, at + 1
    number = _unsigned(norms, at)
    if number is None:
        return None
    value = sign * number.value
    return Number(start, number.last, round(value, 6) + 0.0, number.digits, number.loose, number.spoken)


def _unsigned(norms: Sequence[str], at: int) -> Number | None:
    if at >= len(norms):
        return None
    if _is_figure(norms[at]):
        return _figures(norms, at)
    if norms[at] == "a" and _word(norms, at + 1) in ("hundred", "thousand"):
        at_value, value = at + 1, 1.0
        return _with_scale(norms, at, at_value, value)
    if norms[at] == "a" and (_word(norms, at + 1) or "") in _COUNTED:
        return Number(at, at + 2, _PARTS[norms[at + 1].removesuffix("s")], "")
    if norms[at] == "half" and _word(norms, at + 1) == "a":
        return Number(at, at + 2, 0.5, "") if _word(norms, at + 2) != "dozen" else None
    if norms[at] in _POINT:
        ahead = _word(norms, at + 1)
        said = norms[at] == "point" and ahead is not None and (_digit(ahead) is not None or ahead in _TENS | _TEENS)
        return _decimals(norms, at, at, 0.0, "") if said else None
    if norms[at] in _OH and _word(norms, at + 1) not in _POINT and _digit(_word(norms, at + 1)) is None:
        return None
    group = _group(norms, at)
    if group is None:
        return None
    last, value, digits = group
    return _with_scale(norms, at, last, value, digits)


def _group(norms: Sequence[str], at: int) -> tuple[int, float, str] | None:
    """Tens and ones at ``at``: (behind, value, digits)."""
    word = norms[at]
    if word in _TENS:
        ones = _ONES.get(_word(norms, at + 1) or "", 0)
        if ones:
            return at + 2, float(_TENS[word] + ones), str(_TENS[word] + ones)
        return at + 1, float(_TENS[word]), str(_TENS[word])
    if word in _TEENS:
        return at + 1, float(_TEENS[word]), str(_TEENS[word])
    digit = _digit(word)
    return None if digit is None else (at + 1, float(digit), str(digit))


def _with_scale(norms: Sequence[str], start: int, at: int, value: float, digits: str = "1") -> Number:
    """Hundreds, thousands, elided hundreds, digit runs, decimals and fractions behind a first group."""
    loose = False
    scaled = False
    while _word(norms, at) in ("hundred", "thousand"):
        value *= 100 if norms[at] == "hundred" else 1000
        digits, at, scaled = str(int(value)), at + 1, True
        step = at + 1 if _word(norms, at) == "and" else at
        more = _group(norms, step) if step < len(norms) else None
        if more and more[1] < value and not (more[1] < 10 and step == at and value < 100):
            inner = _with_scale(norms, step, more[0], more[1], more[2]) if value >= 1000 else None
            at, value = (inner.last, value + inner.value) if inner else (more[0], value + more[1])
            digits = str(int(value))
    if not scaled:
        at, value, digits, loose = _run(norms, at, value, digits)
    number = Number(start, at, value, digits, loose)
    if _word(norms, at) in _POINT and _digit(_word(norms, at + 1)) is not None:
        return _decimals(norms, start, at, value, digits)
    return _fraction(norms, number)


def _run(norms: Sequence[str], at: int, value: float, digits: str) -> tuple[int, float, str, bool]:
    """Groups that follow without a word between: an elided hundred, a loose decimal, or a code."""
    groups = [(value, digits)]
    while at < len(norms) and (more := _group(norms, at)) is not None:
        at, groups = more[0], [*groups, (more[1], more[2])]
    spelled = "".join(text for _, text in groups)
    if len(groups) == 1:
        return at, value, digits, False
    if len(groups) == 2:
        (one, _), (two, text) = groups
        if 1 <= one <= 9 and 10 <= two <= 99:
            return at, one * 100 + two, spelled, False
        if one >= 10 and two <= 9 and len(text) == 1:
            return at, one + two / 10, spelled, True
    return at, float(spelled), spelled, True


def _decimals(norms: Sequence[str], start: int, at: int, value: float, digits: str) -> Number:
    """Digits behind "point"."""
    at += 1
    tail = ""
    while at < len(norms):
        word = norms[at]
        if word in _TENS and not tail:
            more = _group(norms, at)
            assert more is not None
            tail, at = more[2], more[0]
        elif word in _TEENS and not tail:
            tail, at = str(_TEENS[word]), at + 1
        elif (digit := _digit(word)) is not None and len(tail) < 4:
            tail, at = tail + str(digit), at + 1
        else:
            break
    if not tail:
        return Number(start, at, value, digits)
    return Number(start, at, value + float(f"0.{tail}"), digits + tail)


def _fraction(norms: Sequence[str], number: Number) -> Number:
    """ "and a half", "and three quarters", "and four tenths" behind a number, or "tenths" right behind it."""
    at = number.last
    behind = _word(norms, at) or ""
    if behind in _COUNTED:
        return Number(number.first, at + 1, number.value * _PARTS[behind.removesuffix("s")], "", number.loose)
    if behind not in ("and", "an"):
        return number
    counted = _ONES.get(_word(norms, at + 1) or "") or _figure_count(_word(norms, at + 1))
    step = at + 2 if counted or _word(norms, at + 1) == "a" else at + 1
    part = _PARTS.get((_word(norms, step) or "").removesuffix("s"))
    if part is None or ((counted or 1) > 1) != (_word(norms, step) or "").endswith("s"):
        return number
    return Number(number.first, step + 1, number.value + (counted or 1) * part, number.digits, number.loose)


def _figure_count(word: str | None) -> int | None:
    return int(word) if word and word.isdigit() and len(word) == 1 else None


def _figures(norms: Sequence[str], at: int) -> Number:
    """Figures as written; "1 490", "14 4" and "49 point 8" are put together as they would be said."""
    text = norms[at]
    value, last = float(text), at + 1
    if _word(norms, last) in _POINT and "." not in text and _digit(_word(norms, last + 1)) is not None:
        return _decimals(norms, at, last, value, text)
    if _word(norms, last) in ("hundred", "thousand") and "." not in text:
        scaled = _with_scale(norms, at, last, value, text)
        return Number(at, scaled.last, scaled.value, scaled.digits, scaled.loose)
    number = Number(at, last, value, text.replace(".", ""), spoken=False)
    return _fraction(norms, number)


def _is_figure(word: str) -> bool:
    return (
        word[:1].isdigit() or (word[:1] == "." and word[1:].isdigit()) if ":" not in word and "-" not in word else False
    )


def _word(norms: Sequence[str], at: int) -> str | None:
    return norms[at] if 0 <= at < len(norms) else None


def _digit(word: str | None) -> int | None:
    if word is None:
        return None
    if word in _OH:
        return 0
    if len(word) == 1 and word.isdigit():
        return int(word)
    return _ONES.get(word)
