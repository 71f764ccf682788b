"""``callnotes calc`` as a user calls it: its table, its answers against the worked examples, and what it refuses."""

from __future__ import annotations

import csv
import json
import shlex
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest

from callnotes.cli.calc import functions
from callnotes.cli.calc.shown import TITLE_COLUMNS
from callnotes.trade.sums import Example, Sum, load_sums

from .conftest import Command

TESTS = Path(__file__).parents[1]
SUMS = load_sums()
EXAMPLES = {
    example["id"]: example
    for example in json.loads((TESTS / "reference" / "worked-examples.json").read_text(encoding="utf-8"))
}
ASKED = [(one, example) for one in SUMS.sums for example in one.examples]


def worked() -> list[dict[str, str]]:
    """The rows of the table that asks the worked examples of the command."""
    lines = (TESTS / "cases" / "worked-by-command.csv").read_text(encoding="utf-8").splitlines()
    return list(
        csv.DictReader((line for line in lines if not line.startswith("# ")), delimiter="|", quoting=csv.QUOTE_NONE)
    )


def leaves(tree: Any, at: str = "") -> dict[str, Any]:
    """Every value of a tree by its path; a tree that is one value has the path ``.``."""
    branches = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else None
    if branches is None:
        return {at or ".": tree}
    return {path: leaf for key, branch in branches for path, leaf in leaves(branch, f"{at}/{key}".strip("/")).items()}


def told(values: dict[str, Any], name: str) -> Any:
    """The command's value of a name such as ``hz/0``, ``-headroom`` or ``tip_ring*0.001``."""
    plain, _, factor = name.removeprefix("-").partition("*")
    name_of, _, index = plain.partition("/")
    value = values[name_of]["value"]
    value = value[int(index)] if index else value
    if factor or name.startswith("-"):
        return value * float(factor or 1) * (-1 if name.startswith("-") else 1)
    return value


@pytest.mark.parametrize(("one", "example"), ASKED, ids=[example.ask for _, example in ASKED])
def test_every_example_of_the_table_gives_its_answer(callnotes: Command, one: Sum, example: Example) -> None:
    said = callnotes("calc", *shlex.split(example.ask))
    assert (said.status, said.err) == (0, "")
    first, _, rest = said.out.partition("\n\n")
    assert " ".join(first.split()) == example.answer
    assert one.formula.split()[0] in rest
    assert max(map(len, said.out.splitlines())) <= 80
    assert shlex.split(example.ask)[0] == one.name


@pytest.mark.parametrize(
    ("name", "rows"), [(name, list(rows)) for name, rows in groupby(worked(), lambda row: row["id"])]
)
def test_the_command_gives_the_worked_example(callnotes: Command, name: str, rows: list[dict[str, str]]) -> None:
    example, seen = EXAMPLES[name], set()
    wanted, tolerance = leaves(example["expected"]), example["tolerance"]
    for row in rows:
        said = callnotes("calc", "--json", *shlex.split(row["ask"]))
        assert said.status == 0, said.err
        values = json.loads(said.out)["values"]
        for path, _, source in (pair.partition("=") for pair in row["answers"].split(";")):
            seen.add(path)
            if source.startswith("="):
                assert source[1:] in json.loads(said.out)["answer"]
                continue
            found, want = told(values, source), wanted[path]
            where = f"{name} {path}: {example['source']} ({example['basis']})"
            if isinstance(want, bool | str):
                assert found == want, where
            else:
                # Six digits are what the command gives.
                allowed = tolerance["value"] * (abs(want) if tolerance["type"] == "rel" else 1) + 1e-5 * abs(want)
                assert abs(found - want) <= allowed, where
    assert seen == wanted.keys()


def test_every_worked_example_can_be_asked_of_the_command() -> None:
    assert {row["id"] for row in worked()} == EXAMPLES.keys()
    assert len(EXAMPLES) == 139


def test_the_table_and_the_functions_name_the_same_sums() -> None:
    names = [one.name for one in SUMS.sums]
    assert len(set(names)) == len(names)
    assert set(names) == functions().keys()


@pytest.mark.parametrize("one", SUMS.sums, ids=lambda one: one.name)
def test_every_sum_is_told_whole(callnotes: Command, one: Sum) -> None:
    said = callnotes("calc", one.name, "--help")
    assert (said.status, said.err) == (0, "")
    shown = " ".join(said.out.split())
    assert shown.startswith(f"Usage: callnotes calc {one.name}")
    assert all(f"callnotes calc {example.ask}" in shown for example in one.examples)
    assert all(f"--{each.name}" in shown for each in one.inputs if each.option)
    assert max(map(len, said.out.splitlines())) <= 80
    for each in one.inputs:
        assert all(SUMS.symbol(symbol) for symbol in each.units)


def test_without_a_sum_all_are_listed_with_an_example(callnotes: Command) -> None:
    said = callnotes("calc")
    assert (said.status, said.err) == (0, "")
    rows = said.out.splitlines()
    for one in SUMS.sums:
        assert len(one.title) < TITLE_COLUMNS
        assert f"  {one.title:<{TITLE_COLUMNS}}{one.examples[0].ask}" in rows
    assert max(map(len, rows)) <= 80
    assert [row["sum"] for row in json.loads(callnotes("calc", "--json").out)["sums"]] == [o.name for o in SUMS.sums]


# One number in every way it may be said; the distance is CU-16 of the worked examples.
@pytest.mark.parametrize(
    "said",
    [
        "312 ohm",
        "312ohm",
        "312 ohms",
        "0.312 kohm",
        "0.312k",
        "0.312 kilo ohms",
        "312 Ω",
        "0.312kΩ",
        "+312 OHM",
        "3.12e2 ohm",
        ".000312 meg",
    ],
)
@pytest.mark.parametrize("at", ["20C", "20 degC", "68F", "68 degrees fahrenheit", "68°F", "20 celsius"])
def test_numbers_and_units_are_one_word_or_more(callnotes: Command, said: str, at: str) -> None:
    words = shlex.split(f"calc short {said} --gauge 24 --temperature={at.split()[0]}") + at.split()[1:]
    values = json.loads(callnotes(*words, "--json").out)["values"]
    assert values["distance"]["value"] == pytest.approx(6078, rel=0.01)


def test_a_small_unit_is_not_taken_for_a_large_one(callnotes: Command) -> None:
    values = [json.loads(callnotes("calc", "level", said, "--json").out)["values"] for said in ("1mW", "1 W", "1000mV")]
    assert [round(each["dbm"]["value"], 2) for each in values] == [0.0, 30.0, 2.22]


@pytest.mark.parametrize(
    ("ask", "answer"),
    [
        # Two tables and the temperature of 10 degC either way: 312 ohm of 24 AWG lie between 5,785 and 6,330 ft.
        ("short 312 ohm --gauge 24", "About 6,100 ft (1,900 m) to the short, between 5,700 and 6,400 ft"),
        # 83 nF per mile, give or take 4.
        ("open 250 nF", "About 15,900 ft (4,850 m) to the open, between 15,100 and 16,800 ft"),
        ("tap 500 ft", "First notch near 320 kHz"),
        ("short 0 ohm --gauge 24", "About 0 ft (0 m) to the short, between 0 and 0 ft"),
    ],
)
def test_an_answer_claims_no_more_than_it_knows(callnotes: Command, ask: str, answer: str) -> None:
    assert " ".join(callnotes("calc", *shlex.split(ask)).out.partition("\n\n")[0].split()) == answer


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        # S.C. Code Regs. 103-663.3 asks for more than 60 dB; a quiet line can fall under it and be in order.
        ("balance 75 dBrnC 18 dBrnC", "a low balance shows nothing wrong by itself"),
        ("balance 88 dBrnC 31 dBrnC", "look for series resistance"),
        ("headroom loop-current 20 mA --profile south-carolina", "FAILS south-carolina (> 20 mA), on the edge itself"),
        ("headroom loop-current 20 mA --profile illinois", "passes illinois (>= 20 mA), on the edge itself"),
        ("length 340 ohm 84 nF --gauge 24", "The resistance reads long"),
        ("length 312 ohm 130 nF --gauge 24", "The capacitance reads long"),
        ("short 1 ohm --gauge 24", "the test leads weigh as much as the pair"),
        ("tone 480 620", "not in the cadence of busy or reorder"),
        ("tone 60 120", "has no published plan"),
        ("tone 852 1209", "Touch-tone digit 7"),
        ("poe 51 W 100 m", "needs class 6"),
        ("lift 3000 ft 2900 ft", "the ground was not there"),
        ("cable-test return-loss 10 dB --at 100 MHz --loss 2 dB", "return loss is not judged"),
        ("optical 0.3 km --fiber multimode 850 --read 3 dB", "FAILS: 3 dB read"),
        ("alarm-jack --plug in", "the panel decides"),
        ("911 911", "goes straight to the emergency number"),
    ],
)
def test_an_answer_says_what_it_is_worth(callnotes: Command, ask: str, says: str) -> None:
    said = callnotes("calc", *shlex.split(ask))
    assert said.status == 0
    assert says in " ".join(said.out.split())
