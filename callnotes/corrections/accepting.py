"""Open items that somebody lets stand: their names, and which acceptance still speaks of which item."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from callnotes.corrections.lines import Accepted, Cause, Correction, FactsSet, Withdrawn
from callnotes.errors import OptionError
from callnotes.records import Acceptance, OpenItem, Timeline


@dataclass(frozen=True)
class Named:
    """An open item with the name that a person calls it by: its code, numbered where it is not the only one."""

    name: str
    item: OpenItem


def named(timeline: Timeline) -> tuple[Named, ...]:
    """The open items with their names: ``no_retest``, or ``no_retest:1`` and ``no_retest:2``."""
    count = Counter(item.code for item in timeline.open_items)
    seen: Counter[str] = Counter()
    names = []
    for item in timeline.open_items:
        seen[item.code] += 1
        names.append(Named(f"{item.code}:{seen[item.code]}" if count[item.code] > 1 else item.code, item))
    return tuple(names)


def accept(timeline: Timeline, name: str, *, by: str, reason: str, at: str, who: str) -> Accepted | Withdrawn:
    """The correction by which ``by`` accepts the open item of that name; ``NAME=`` takes an acceptance back.

    ``OptionError`` where no open item, or more than one, is named so, or where a name or a reason is missing.
    """
    item = _find(timeline, name.removesuffix("="))
    cause = _cause(item, timeline)
    if name.endswith("="):
        return Withdrawn(at=at, who=who, item=cause)
    if not by.strip() or not reason.strip():
        hint = 'add --by NAME and --reason "WHY"'
        raise OptionError("an open item is accepted by somebody and for a reason", where=name, hint=hint)
    return Accepted(at=at, who=who, item=cause, by=" ".join(by.split()), reason=" ".join(reason.split()))


def with_acceptances(timeline: Timeline, corrections: Sequence[Correction]) -> Timeline:
    """The timeline with its open items marked as accepted where somebody did; the last word on each counts.

    An acceptance goes with its cause: other words, or another place in them, need another one.
    """
    said = [line for line in corrections if not isinstance(line, FactsSet)]
    items = tuple(_marked(item, timeline, said) for item in timeline.open_items)
    return timeline.model_copy(update={"open_items": items})


def _marked(item: OpenItem, timeline: Timeline, said: Sequence[Accepted | Withdrawn]) -> OpenItem:
    last = next((line for line in reversed(said) if _same(line.item, _cause(item, timeline))), None)
    if not isinstance(last, Accepted):
        return item.model_copy(update={"accepted": None})
    return item.model_copy(update={"accepted": Acceptance(by=last.by, reason=last.reason, at=last.at)})


def _cause(item: OpenItem, timeline: Timeline) -> Cause:
    event = timeline.event(item.because)
    return Cause(code=item.code, text=item.text, start=event.start if event else None, end=event.end if event else None)


def _same(a: Cause, b: Cause) -> bool:
    """The same code, and words that overlap in the recording: heard anew, they may begin a little earlier or later."""
    if a.code != b.code:
        return False
    if a.start is None or a.end is None or b.start is None or b.end is None:
        return a.start == b.start and a.text == b.text
    return a.start == b.start or (a.start < b.end and b.start < a.end)


def _find(timeline: Timeline, name: str) -> OpenItem:
    names = named(timeline)
    for each in names:
        if each.name == name:
            return each.item
    same = [each.name for each in names if each.item.code == name]
    if same:
        raise OptionError(f"{len(same)} open items are named so", where=name, hint=f"say {' or '.join(same)}")
    known = ", ".join(each.name for each in names)
    hint = f"the open items are {known}" if known else "nothing is open"
    raise OptionError("is no open item of this call", where=name, hint=hint)
