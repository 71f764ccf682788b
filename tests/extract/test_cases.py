"""The cases of extraction: what a stretch of talk must come to."""

from __future__ import annotations

from pathlib import Path

import pytest

from callnotes.trade import load_trade
from tests.extract.case_files import CASES, case_result, read_case

TRADE = load_trade()


@pytest.mark.parametrize("path", sorted(CASES.glob("*.txt")), ids=lambda path: path.stem)
def test_what_the_talk_comes_to(path: Path) -> None:
    assert case_result(path, TRADE) == read_case(path)[1]
