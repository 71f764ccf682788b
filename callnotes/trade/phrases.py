"""Reads the tables in which phrases stand in plain lists under what they mean.

``[say.dial_tone] absent = ["dead air", ...]`` is one ``Saying`` a string, ``[aside.planned] forward = [...]``
one ``ContextCue`` a string, and so on. A phrase that needs more than its words is a small table:
``{ say = "hum", not = "clean" }``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from callnotes.errors import DataError
from callnotes.trade.tables import entries_of
from callnotes.trade.words import ConditionWord, ContextCue, Detail, Saying, StatedWord

Tree = dict[str, Any]


def sayings_in(path: Path, tree: Tree) -> tuple[Saying, ...]:
    """``[say.QUANTITY] STATE = [phrases]``."""
    rows = [
        row | {"quantity": quantity, "state": state}
        for quantity, states in tree.get("say", {}).items()
        for state, phrases in states.items()
        for row in _rows(path, f"say.{quantity}.{state}", phrases)
    ]
    return entries_of(rows, Saying, path)


def cues_in(path: Path, tree: Tree) -> tuple[ContextCue, ...]:
    """``[aside.REASON] REACH = [phrases]`` and ``[hidden_cues] say = [phrases]``."""
    rows = [
        row | {"reason": reason, "reach": reach}
        for reason, reaches in tree.get("aside", {}).items()
        for reach, phrases in reaches.items()
        for row in _rows(path, f"aside.{reason}.{reach}", phrases)
    ]
    rows += _rows(path, "hidden_cues.say", tree.get("hidden_cues", {}).get("say", []))
    return entries_of(rows, ContextCue, path)


def details_in(path: Path, tree: Tree) -> tuple[Detail, ...]:
    """``[side] SIDE = [phrases]``, ``[block_type] TYPE = [phrases]`` and ``[[detail]]`` tables."""
    rows = [
        row | {"side": side} for side, phrases in tree.get("side", {}).items() for row in _rows(path, side, phrases)
    ]
    rows += [
        row | {"kind": "block", "block_type": name}
        for name, phrases in tree.get("block_type", {}).items()
        for row in _rows(path, f"block_type.{name}", phrases)
    ]
    return entries_of([*rows, *tree.get("detail", [])], Detail, path)


def conditions_in(path: Path, tree: Tree) -> tuple[ConditionWord, ...]:
    """``[condition.WHAT] IS = [phrases]``."""
    rows = [
        row | {"what": what, "is": value}
        for what, values in tree.get("condition", {}).items()
        for value, phrases in values.items()
        for row in _rows(path, f"condition.{what}", phrases)
    ]
    return entries_of(rows, ConditionWord, path)


def stated_in(path: Path, tree: Tree) -> tuple[StatedWord, ...]:
    """``[stated] pass = [...]``, ``fail``, ``marginal`` and ``expected`` (which passes whatever the state)."""
    rows = []
    for name, phrases in tree.get("stated", {}).items():
        extra = {"verdict": "pass", "expected": True} if name == "expected" else {"verdict": name}
        rows += [row | extra for row in _rows(path, f"stated.{name}", phrases)]
    return entries_of(rows, StatedWord, path)


def words_in(files: Sequence[tuple[Path, Tree]]) -> dict[tuple[str, str], tuple[str, ...]]:
    """Plain word lists by (table, name): object classes, verb forms, negations, colors, hidden places."""
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for _, tree in files:
        for table in (
            "object_words",
            "irregular",
            "negation",
            "pair_colors",
            "color_said",
            "call_cue",
            "word_set",
            "measure_words",
            "closeout_words",
        ):
            for name, words in tree.get(table, {}).items():
                found[table, name] = (*found.get((table, name), ()), *words)
        for name in ("hidden", "ambiguous", "named_cables"):
            found["places", name] = (*found.get(("places", name), ()), *tree.get(name, ()))
    return found


def _rows(path: Path, name: str, phrases: Iterable[Any]) -> list[dict[str, Any]]:
    if isinstance(phrases, str) or not isinstance(phrases, Iterable):
        raise DataError(f"[{name}] is not a list of phrases", where=str(path), hint='write ["one", "another"]')
    return [{"say": phrase} if isinstance(phrase, str) else dict(phrase) for phrase in phrases]
