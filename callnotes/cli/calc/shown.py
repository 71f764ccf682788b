"""How sums, their help and their answers look on a terminal and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from json import dumps
from typing import Any

from callnotes.cli.calc.answer import Answer, Figure
from callnotes.cli.screen import plain
from callnotes.cli.summary import Emphasis, Line
from callnotes.trade.sums import Input, Sum, Sums

TITLE_COLUMNS = 33
_LABEL = 11
_BASIS = {
    "read": "published",
    "mem-H": "from memory, sure",
    "mem-M": "from memory, check it before you rely on it",
    "practice": "common practice, no published source",
    "definition": "definition",
    "own": "own allowance",
}


def list_lines(sums: Sums) -> Iterator[Line]:
    """Every sum under its group: what it is, and an example to copy."""
    yield Line("callnotes calc SUM FIGURES: figures with their units; options after the figures.", indent=0, hang=0)
    yield Line("callnotes calc SUM --help tells what one takes and where it comes from.", indent=0, hang=0)
    for group in dict.fromkeys(one.group for one in sums.sums):
        yield Line()
        yield Line(group, "bold", indent=0)
        for one in sums.sums:
            if one.group == group:
                yield Line(f"{one.title:<{TITLE_COLUMNS}}{one.examples[0].ask}", hang=TITLE_COLUMNS + 4)


def help_lines(one: Sum) -> Iterator[Line]:
    """What one sum takes, its formula, what it is worth, and its examples."""
    yield Line(f"Usage: callnotes calc {one.name} {_usage(one)}".rstrip(), indent=0, hang=7)
    yield Line()
    yield Line(f"{one.title}.", indent=2)
    yield Line()
    names = [_name(each) for each in one.inputs] + ["--with WORD"] * bool(one.refused)
    wide = max(map(len, names), default=0) + 2
    for name, each in zip(names, one.inputs, strict=False):
        yield Line(f"{name:<{wide}}{_says(each)}", hang=wide + 2)
    if one.refused:
        refused = ", ".join(word for refusal in one.refused for word in refusal.when)
        yield Line(f"{'--with WORD':<{wide}}what makes the sum worthless: {refused}", hang=wide + 2)
    if one.inputs:
        yield Line()
    yield from _grounds(one)
    yield Line()
    for example in one.examples:
        yield Line(f"callnotes calc {example.ask}", hang=6)


def answer_lines(one: Sum, answer: Answer) -> Iterator[Line]:
    """The main line, then what it rests on."""
    yield Line(_sentence(answer.line), "bold", indent=0, hang=2)
    yield Line()
    yield from _labeled("used", answer.used)
    yield from _labeled("note", answer.notes)
    yield from _grounds(one)


def as_json(one: Sum, said: list[str], answer: Answer) -> str:
    """The same as data."""
    return dumps(
        {
            "format": "callnotes.calc/1",
            "sum": one.name,
            "asked": said,
            "answer": _sentence(answer.line),
            "values": {name: _data(figure) for name, figure in answer.figures.items()},
            "used": list(answer.used),
            "notes": list(answer.notes),
            "formula": one.formula,
            "sources": [{"name": each.name, "basis": each.basis} for each in one.sources],
            "worth": one.worth,
            "care": one.care,
        },
        indent=2,
        ensure_ascii=False,
    )


def list_as_json(sums: Sums) -> str:
    """The sums with their groups and examples."""
    told = [
        {"sum": one.name, "title": one.title, "group": one.group, "examples": [each.ask for each in one.examples]}
        for one in sums.sums
    ]
    return dumps({"format": "callnotes.calc/1", "sums": told}, indent=2, ensure_ascii=False)


def _grounds(one: Sum) -> Iterator[Line]:
    yield from _labeled("formula", [one.formula])
    yield from _labeled("source", [f"{source.name}: {_BASIS[source.basis]}" for source in one.sources])
    yield from _labeled("worth", [one.worth] if one.worth else [])
    yield from _labeled("care", [one.care] if one.care else [], "yellow")


def _labeled(label: str, texts: Sequence[str], emphasis: Emphasis | None = None) -> Iterator[Line]:
    """The texts one below the other; the label stands once."""
    for number, text in enumerate(texts):
        yield Line(f"{'' if number else label:<{_LABEL - 2}}{text}", emphasis, hang=_LABEL)


def _data(figure: Figure) -> dict[str, Any]:
    # Six digits: more would be the noise of the arithmetic.
    value = float(f"{figure.value:.6g}") if isinstance(figure.value, float) else figure.value
    return {"value": value, "unit": figure.unit}


def _usage(one: Sum) -> str:
    return " ".join(_name(each) if each.needed else f"[{_name(each)}]" for each in one.inputs)


def _name(each: Input) -> str:
    shown = each.name.upper()
    if not each.option:
        return f"{shown}{'...' * each.many}"
    return f"--{each.name}" + ("" if each.kind == "flag" else f" {_kind(each)}")


def _kind(each: Input) -> str:
    if each.choices and not each.rest:
        return "/".join(each.choices)
    if each.kind == "section":
        return "AWG LENGTH"
    return each.units[0].upper() if each.units else "WORD" if each.kind == "word" else "N"


def _says(each: Input) -> str:
    units = f", in {' or '.join(each.units)}" if each.units else ""
    choices = f": {', '.join(each.choices)}" if each.choices and (each.rest or not each.option) else ""
    default = f" (default {each.default})" if each.default else ""
    return f"{each.says}{choices}{units}{default}"


def _sentence(line: str) -> str:
    line = plain(line)
    return line[:1].upper() + line[1:]
