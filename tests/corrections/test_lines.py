"""What was set and accepted, read in order and laid over a call."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from callnotes import corrections
from callnotes.corrections import FactsSet, Named
from callnotes.errors import InputError, OptionError
from callnotes.records import Call, Event, Made, Material, OnTest, OpenItem, Timeline
from callnotes.trade import load_trade

TRADE = load_trade()
HEARD = Call(contact="Gale", departed="16:20", inferred=("departed",), materials=(Material(item="tag", quantity=1),))


def ask(call: Call, *changes: str, earlier: tuple[FactsSet, ...] = ()) -> FactsSet:
    return corrections.change(
        call, changes, earlier, TRADE, at="2026-03-12T10:00:00-05:00", who="bo", today=date(2026, 3, 12)
    )


def laid(call: Call, *lines: FactsSet) -> Call:
    return corrections.with_facts(call, lines, TRADE)


def test_what_is_set_stands_over_what_was_heard_and_is_no_guess() -> None:
    call = laid(HEARD, ask(HEARD, "departed=4:25 pm", "contact=Gail", "on_test_until=17:00"))
    assert (call.departed, call.contact, call.inferred) == ("16:25", "Gail", ())
    assert call.on_test == OnTest(until="17:00")
    assert call.materials == HEARD.materials


def test_the_last_word_counts_and_nothing_changes_when_laid_on_twice() -> None:
    first = ask(HEARD, "contact=Gail", "site=Mill")
    second = ask(laid(HEARD, first), "contact=Ann", earlier=(first,))
    call = laid(HEARD, first, second)
    assert (call.contact, call.site) == ("Ann", "Mill")
    assert laid(call, first, second) == call
    assert second.was == {"contact": "Gail"}


def test_erased_and_given_back() -> None:
    erased = ask(HEARD, "departed=", "materials=")
    gone = laid(HEARD, erased)
    assert (gone.departed, gone.materials, gone.no_materials) == (None, (), False)
    back = ask(gone, "departed=heard", "materials=heard", earlier=(erased,))
    assert laid(gone, erased, back).departed == "16:20"
    assert laid(gone, erased, back).materials == HEARD.materials
    heard_anew = HEARD.model_copy(update={"departed": "16:40"})
    assert laid(heard_anew, erased, back).departed == "16:40"


def test_a_list_is_added_to_and_a_value_is_not() -> None:
    call = laid(HEARD, ask(HEARD, "materials+=2 clips", "line+=555-0101"))
    assert [m.item for m in call.materials] == ["tag", "clip"]
    assert call.line_numbers == ("555-0101",)
    with pytest.raises(OptionError, match="contact holds one value"):
        ask(HEARD, "contact+=Ann")


def test_no_parts_is_not_nothing_said() -> None:
    none, unsaid = laid(HEARD, ask(HEARD, "materials=none")), laid(HEARD, ask(HEARD, "materials="))
    assert (none.no_materials, none.materials) == (True, ())
    assert (unsaid.no_materials, unsaid.materials) == (False, ())


@pytest.mark.parametrize(
    ("changes", "says"),
    [(["departed"], "is no FIELD=VALUE"), (["site=a", "place=b"], "site is given twice"), (["=x"], "no field ''")],
)
def test_what_cannot_be_meant_is_refused(changes: list[str], says: str) -> None:
    with pytest.raises(OptionError, match=says):
        ask(HEARD, *changes)


def test_lines_come_back_as_they_were_written(tmp_path: Path) -> None:
    line = ask(HEARD, "contact=Müller\n", "materials=2 clips")
    (tmp_path / "corrections.jsonl").write_text(corrections.to_line(line) + "\n\n")
    assert corrections.read(tmp_path) == (line,)
    assert corrections.read(tmp_path / "elsewhere") == ()


@pytest.mark.parametrize(
    "text", ['{"kind":"facts"', "{}", '{"kind":"wish"}', '{"format":"callnotes.correction/2","kind":"facts"}', "7"]
)
def test_a_line_that_is_none_is_named(tmp_path: Path, text: str) -> None:
    (tmp_path / "corrections.jsonl").write_text(f"\n{text}\n")
    with pytest.raises(InputError, match=r"corrections\.jsonl:2: is not a correction: "):
        corrections.read(tmp_path)


@pytest.mark.parametrize(("field", "value"), [("depart", "1"), ("materials", "x"), ("return_visit", [1])])
def test_a_line_whose_value_does_not_fit_is_told(field: str, value: object) -> None:
    line = FactsSet(at="", who="", set={field: value}, was={})
    with pytest.raises(InputError, match=field):
        laid(HEARD, line)


# --- open items


def timeline(*items: tuple[str, str | None], shift: float = 0.0) -> Timeline:
    """Open items with the event that raises each; events E1.. lie ten seconds apart and last three."""
    events = tuple(
        Event(id=f"E{n}", kind="note", start=10.0 * n + shift, end=10.0 * n + 3 + shift, text="x", confidence=1)
        for n in range(1, 4)
    )
    made = tuple(OpenItem(code=code, text=f"{code} of {event}", level="stops", because=event) for code, event in items)
    return Timeline(made=Made(version="0"), events=events, open_items=made)


def accepted(shown: Timeline, *lines: object) -> list[bool]:
    return [item.accepted is not None for item in corrections.with_acceptances(shown, lines).open_items]  # type: ignore[arg-type]  # lines are corrections


def accept(shown: Timeline, name: str, by: str = "Ann", reason: str = "later"):
    return corrections.accept(shown, name, by=by, reason=reason, at="now", who="bo")


def test_items_of_one_code_are_numbered() -> None:
    names = [each.name for each in corrections.named(timeline(("out", "E1"), ("plug", "E2"), ("out", "E3")))]
    assert names == ["out:1", "plug", "out:2"]
    assert isinstance(corrections.named(timeline(("out", "E1")))[0], Named)


def test_an_acceptance_speaks_of_one_item_and_goes_with_its_cause() -> None:
    shown = timeline(("out", "E1"), ("out", "E3"), ("unsaid", None))
    line = accept(shown, "out:2")
    assert accepted(shown, line) == [False, True, False]
    assert accepted(timeline(("out", "E3"), shift=0.8), line) == [True]  # heard anew, a little later
    assert accepted(timeline(("out", "E2")), line) == [False]  # another cause
    assert accepted(timeline(("plug", "E3")), line) == [False]  # another item
    assert accepted(timeline(), line) == []


def test_an_item_without_words_is_known_by_its_text() -> None:
    shown = timeline(("unsaid", None))
    line = accept(shown, "unsaid")
    assert accepted(shown, line) == [True]
    other = shown.model_copy(update={"open_items": (shown.open_items[0].model_copy(update={"text": "other"}),)})
    assert accepted(other, line) == [False]


def test_the_last_word_on_an_item_counts() -> None:
    shown = timeline(("out", "E1"))
    lines = [accept(shown, "out"), accept(shown, "out=")]
    assert accepted(shown, *lines) == [False]
    again = accept(shown, "out", by=" Cy ", reason="owner\nknows")
    item = corrections.with_acceptances(shown, [*lines, again]).open_items[0]
    assert item.accepted is not None
    assert (item.accepted.by, item.accepted.reason) == ("Cy", "owner knows")


@pytest.mark.parametrize(
    ("name", "by", "reason", "says"),
    [
        ("out", "Ann", "x", "out: 2 open items are named so; say out:1 or out:2"),
        ("gone", "Ann", "x", "gone: is no open item of this call; the open items are out:1, out:2"),
        ("out:1", " ", "x", "accepted by somebody and for a reason"),
        ("out:1", "Ann", "", "add --by NAME"),
    ],
)
def test_what_cannot_be_accepted_is_told(name: str, by: str, reason: str, says: str) -> None:
    with pytest.raises(OptionError, match=says):
        accept(timeline(("out", "E1"), ("out", "E2")), name, by, reason)
