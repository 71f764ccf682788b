"""The four paragraphs: true, whole and well said for every status, and nothing that the timeline does not hold."""

from __future__ import annotations

from typing import Any

import pytest

from callnotes.records import LedgerLine, SetAside, Timeline
from callnotes.render import render_report
from callnotes.trade import Trade

from .conftest import event, timeline, tone


def told(call: Timeline, trade: Trade) -> dict[str, str]:
    """The four paragraphs of a report by their names."""
    text = render_report(call, trade, kind="md").decode().replace("\u00a0", " ").replace("\u202f", " ")
    parts: dict[str, str] = {}
    for name in ("Reported", "Found", "Done", "Proof"):
        start = text.index(f"**{name}.**") + len(name) + 5
        parts[name] = " ".join(text[start:].split("\n\n", 1)[0].split())
    return parts


REPLACED = event(5, kind="action", action="replace", object="bridging clip", point="P2")
BROKEN = (tone(1, "P1"), tone(3, "P2", "absent"))


def test_repaired_and_retested(trade: Trade) -> None:
    said = told(timeline(*BROKEN, REPLACED, tone(7, "P2"), tone(8, "P3"), status="repaired"), trade)
    assert said == {
        "Reported": "The recording does not say what trouble was reported.",
        "Found": "The last good point was the network interface, with dial tone; the first bad point was the 66 block,"
        " with no dial tone. There was an open at the 66 block; the fault was on the customer's side.",
        "Done": "Replaced the bridging clip at the 66 block.",
        "Proof": "After the repair: dial tone at the 66 block; dial tone at the kitchen jack.",
    }


def test_mended_without_retest(trade: Trade) -> None:
    assert told(timeline(*BROKEN, REPLACED, status="mended"), trade)["Proof"] == "Not retested after the repair."


def test_still_bad_after_the_repair(trade: Trade) -> None:
    said = told(timeline(*BROKEN, REPLACED, tone(7, "P3", "absent"), status="mended"), trade)
    assert said["Proof"] == "Still bad: no dial tone at the kitchen jack."


def test_found_and_not_repaired(trade: Trade) -> None:
    said = told(timeline(*BROKEN, status="found"), trade)
    assert said["Found"].endswith("Possibly there is an open at the 66 block; the fault is on the customer's side.")
    assert said["Done"] == "The fault has not been repaired."
    assert said["Proof"] == "Nothing to retest: the fault still stands."


def test_referred_with_the_faulty_part_left_off(trade: Trade) -> None:
    off = event(4, kind="action", action="disconnect", object="cord", point="P2")
    refer = event(9, kind="action", action="refer", object="provider")
    ledger = (LedgerLine(what="cord", point="P2", disturbed_by=off.id, reason="faulty"),)
    call = timeline(tone(1, "P3", "absent"), off, tone(6, "P3"), refer, status="referred", ledger=ledger)
    said = told(call, trade)
    assert said["Done"] == "Disconnected the cord at the 66 block and referred the trouble to the provider."
    assert said["Proof"] == "As the line was left: dial tone at the kitchen jack."


def test_not_found_with_good_readings(trade: Trade) -> None:
    said = told(timeline(tone(1, "P1"), tone(2, "P3"), status="not_found"), trade)
    assert said["Found"] == "Readings were good as far as the kitchen jack, with dial tone. No fault was found."
    assert (said["Done"], said["Proof"]) == ("No repair was made.", "Every reading that was judged is good.")


def test_not_found_with_a_bad_reading(trade: Trade) -> None:
    said = told(timeline(*BROKEN, status="not_found"), trade)
    assert said["Found"].endswith("The cause was not found.")
    assert said["Proof"] == "None: the bad readings stand unexplained."


def test_talk_without_a_reading(trade: Trade) -> None:
    said = told(timeline(), trade)
    assert said["Found"] == "No reading was taken, and no conclusion was drawn."
    assert said["Proof"] == "None: the recording holds no reading."


@pytest.mark.parametrize(
    ("heard", "shown"),
    [
        ("she says it's dead", "“She says it's dead.”"),
        ("dead since Friday,", "“Dead since Friday.”"),
        ("why is it dead?", "“Why is it dead?”"),
        ('"It hums."', "“It hums.”"),
    ],
)
def test_reported_is_a_quotation(heard: str, shown: str, trade: Trade) -> None:
    quoted = (SetAside(start=1, end=2, text=heard, reason="quoted"),)
    assert told(timeline(*BROKEN, set_aside=quoted), trade)["Reported"] == shown


def test_what_is_quoted_later_is_no_report(trade: Trade) -> None:
    quoted = (
        SetAside(start=1, end=2, text="it hums", reason="quoted"),
        SetAside(start=500, end=502, text="the card says 900 feet", reason="quoted"),
        SetAside(start=3, end=4, text="if it hums", reason="hypothetical"),
    )
    assert told(timeline(*BROKEN, set_aside=quoted), trade)["Reported"] == "“It hums.”"


def test_put_back_for_a_test_is_no_repair(trade: Trade) -> None:
    out = event(2, kind="action", action="disconnect", object="plug", point="P1")
    back = event(4, kind="action", action="reconnect", object="plug", point="P1")
    ledger = (LedgerLine(what="plug", point="P1", disturbed_by=out.id, restored_by=back.id),)
    call = timeline(out, tone(3, "P2", "absent"), back, REPLACED, tone(6, "P2"), status="repaired", ledger=ledger)
    assert told(call, trade)["Done"] == "Replaced the bridging clip at the 66 block."


def test_defects_seen_have_their_own_sentence(trade: Trade) -> None:
    seen: dict[str, Any] = {"point": "P2", "quantity": "inspection", "state": "defect", "verdict": "fail"}
    call = timeline(*BROKEN, event(4, object="Clip corroded", **seen), REPLACED, tone(7, "P2"), status="repaired")
    said = told(call, trade)
    assert "with no dial tone. Seen by eye: clip corroded. There was" in said["Found"]
    assert "Still bad" not in said["Proof"]


def test_readings_at_the_part_itself(trade: Trade) -> None:
    part = event(4, point="P2", quantity="resistance", value=260, unit="ohm", verdict="fail", verdict_from="stated")
    call = timeline(tone(1, "P1", "absent"), part, status="found")
    assert "The 66 block itself gave 260 Ω of resistance." in told(call, trade)["Found"]


def test_no_percentage_is_told(trade: Trade) -> None:
    assert "%" not in "".join(told(timeline(*BROKEN, status="found"), trade).values())
