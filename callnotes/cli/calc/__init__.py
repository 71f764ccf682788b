"""``callnotes calc``: the trade's sums by hand.

``data/sums.toml`` says what there is: names, inputs, formulas, sources, cautions, examples. One function a sum, in the
modules beside this one, takes what was given and gives an ``Answer``; the arithmetic lives in ``callnotes.calc``.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated

import typer

from callnotes.cli import options
from callnotes.errors import CallnotesError, InputError, OptionError

if TYPE_CHECKING:
    from callnotes.cli.calc.answer import Answer
    from callnotes.cli.calc.given import Given
    from callnotes.trade.sums import Sum, Sums

HELP = ("-h", "--help")
WITH = "--with"


def calc(
    context: typer.Context,
    words: Annotated[
        list[str] | None, typer.Argument(metavar="SUM FIGURES", help="A sum and its figures, with their units.")
    ] = None,
    json: options.Json = False,
) -> None:
    """Do a sum of the trade by hand.

    Without a sum, lists them all with an example each; callnotes calc SUM --help tells about one.
    """
    from callnotes.cli.calc import shown
    from callnotes.cli.summary import show
    from callnotes.trade.sums import load_sums

    said = list(words or ())
    if said and said[0] in HELP:
        print(context.get_help())
        return
    sums = load_sums()
    if not said:
        print(shown.list_as_json(sums)) if json else show(shown.list_lines(sums))
        return
    asked = find(said[0], sums)
    if any(word in HELP for word in said):
        show(shown.help_lines(asked))
        return
    answer = work_out(asked, said[1:], sums)
    if json:
        print(shown.as_json(asked, said, answer))
    else:
        show(shown.answer_lines(asked, answer))


def find(name: str, sums: Sums) -> Sum:
    """The sum of that name; ``OptionError`` with the nearest one, or the way to the list."""
    found = sums.named(name.lower())
    if found is None:
        near = difflib.get_close_matches(name.lower(), [one.name for one in sums.sums], 1)
        hint = f"did you mean {near[0]}?" if near else "callnotes calc lists them all"
        raise OptionError(f"no sum {name!r}", where="calc", hint=hint)
    return found


def work_out(asked: Sum, words: list[str], sums: Sums) -> Answer:
    """The answer; ``InputError`` for figures that make no sense, or for a pair on which the sum would."""
    from callnotes.cli.calc.given import read_given

    given = read_given(asked, _without_refused(asked, words), sums)
    try:
        return functions()[asked.name](given)
    except CallnotesError:
        raise
    except (ValueError, OverflowError) as error:
        raise InputError(str(error), where=f"calc {asked.name}") from error


def functions() -> dict[str, Callable[[Given], Answer]]:
    """The function of each sum, by its name in the table."""
    from callnotes.cli.calc import cabling, capacity, copper, limits, line, places, plant, power, rules, tones

    parts = (copper, capacity, plant, line, limits, tones, places, cabling, power, rules)
    return {name: function for part in parts for name, function in part.SUMS.items()}


def _without_refused(asked: Sum, words: list[str]) -> list[str]:
    """The words less ``--with WORD``; ``InputError`` where the word tells of a pair that makes nonsense of the sum."""
    if WITH not in words or not asked.refused:
        return words
    at = words.index(WITH)
    told = words[at + 1].lower() if at + 1 < len(words) else ""
    for refusal in asked.refused:
        if told in refusal.when:
            what = f"{told!r} makes nonsense of the {asked.title.lower()}"
            raise InputError(what, where=f"calc {asked.name}", hint=refusal.why)
    known = ", ".join(word for refusal in asked.refused for word in refusal.when)
    raise InputError(f"--with takes one of: {known}", where=f"calc {asked.name}", hint="leave it out for a clean pair")
