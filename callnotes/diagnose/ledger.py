"""Everything that was taken out of its place on the call, and what put it back.

One line a thing: taken out again while it is out already, it stays one line. Back is what was put back in words,
or is shown by what follows (the set that was unplugged works). What was replaced is closed by the replacement; what
was given up for good is not listed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from callnotes.diagnose.course import Course, says
from callnotes.diagnose.path import on_one_line, same_place
from callnotes.judge import condition
from callnotes.records import Event, LedgerLine, Point
from callnotes.trade.judgment import LedgerRule

FOR_GOOD = (
    "for good", "abandoned", "retired", "given up", "cut it out",
    "cut out", "capped", "dead for good", "never going back",
)  # fmt: skip
ALL_OF_THEM = ("both", "all", "everything", "every one", "the two of them", "each")
ONE_PLUG = ({"alarm_panel", "line_seizure_jack"}, {"set", "jack"}, {"cable", "demarc", "block", "terminal"})
IDLE_WORDS = {
    "the", "a", "an", "of", "on", "off", "out", "in", "it", "its", "to", "from", "back",
    "and", "both", "new", "old", "own", "side", "end", "ends",
}  # fmt: skip
CONNECTORS = {"plug", "cord", "lead", "connector"}  # words that name a thing by what it hangs on
SHOWS_ITSELF = {"set", "device", "pbx", "alarm_panel", "switch", "ont", "patch_panel", "jack", "filter"}
WORKS = {"dial_tone", "outgoing_call", "incoming_call", "operation", "link", "sync"}
RETURN_VISIT = "waiting for the return visit"
HANDED_ON = {"refer": "handed over", "label": "tagged", "notify": "told"}
ENOUGH = 2


@dataclass
class Out:
    """One thing out of its place: by which event and rule, and what put it back."""

    event: Event
    position: int
    rule: LedgerRule
    back: Event | None = None


def ledger_of(course: Course) -> tuple[LedgerLine, ...]:
    """The ledger in the order in which things were taken out."""
    outs: list[Out] = []
    for n, event in enumerate(course.events):
        if event.kind == "action":
            rule = next((r for r in course.trade.ledger_rules if _applies(r, event)), None)
            if rule is None or rule.action == ("move",):
                _put_back(event, outs, course)
            if rule is not None:
                _take_out(event, n, rule, outs, course)
    for out in outs:
        if out.back is None:
            out.back = _shown_back(out, course)
    return tuple(_line(out, course) for out in outs if not _given_up(out, course))


def is_account(line: LedgerLine, course: Course) -> bool:
    """Whether a line of the ledger is an alarm account on test."""
    event = course.timeline.event(line.disturbed_by)
    return event is not None and event.action == "notify"


def _take_out(event: Event, position: int, rule: LedgerRule, outs: list[Out], course: Course) -> None:
    if any(o.back is event for o in outs):
        return
    same = [o for o in outs if o.back is None and o.rule.what == rule.what and _same_thing(o.event, event, course)]
    for out in same:
        shown = _shown_back(out, course)
        if shown is not None and course.events.index(shown) < position:  # it had been back, and is out anew
            out.back = shown
    if all(out.back for out in same):
        outs.append(Out(event, position, rule))


def _applies(rule: LedgerRule, event: Event) -> bool:
    if event.action not in rule.action:
        return False
    if rule.words and not says(event, rule.words, object_only=rule.object_only):
        return False
    return not says(event, rule.unless, object_only=event.object is not None)


def _put_back(event: Event, outs: list[Out], course: Course) -> None:
    """Close what this action puts back: the best match, and its equals where it says that all went back.

    A new part closes every old one of its name: what was ripped out for it does not stand. A pair put back to
    work carries no strap any more.
    """
    open_outs = [o for o in outs if o.back is None and event.action in o.rule.back_by and _back_words(o, event)]
    scored = [(s, o) for o in open_outs if (s := _match(o, event, course)) >= ENOUGH]
    if not scored and len(open_outs) == 1 and _lonely_match(open_outs[0], event):
        scored = [(ENOUGH, open_outs[0])]
    if not scored:
        return
    best = max(s for s, _ in scored)
    equals = [o for s, o in scored if s == best]
    many = says(event, ALL_OF_THEM) or open_outs[0].rule.account
    for out in (o for _, o in scored) if many and _alike(scored, course) else equals[-1:]:
        out.back = event
    for _, out in scored:
        strap = "install" in out.rule.action
        if event.action in ("replace", "terminate") or (strap and event.action in ("reconnect", "restore")):
            out.back = out.back or event


def _back_words(out: Out, event: Event) -> bool:
    if not out.rule.back_words:
        return True
    return says(event, out.rule.back_words, object_only=event.object is not None)


def _lonely_match(out: Out, event: Event) -> bool:
    """The only thing that is out, and an action that names no place or names the thing: it is what goes back."""
    placeless = event.action in ("reconnect", "restore", "install_clips") and None in (event.point, out.event.point)
    return out.rule.account or placeless or bool(_words(out.event) & _words(event))


def _alike(scored: list[tuple[int, Out]], course: Course) -> bool:
    kinds = {p.kind if (p := course.at(o.event)) else None for _, o in scored}
    return len(kinds) == 1


def _match(out: Out, event: Event, course: Course) -> int:
    """How well an action fits a thing that is out: the same point, a like point, the same words."""
    a, b = course.at(out.event), course.at(event)
    shared = len(_words(out.event) & _words(event))
    if out.rule.account:
        return ENOUGH
    if a is None or b is None:
        return min(shared, 2) + 1
    if a.id == b.id:
        return 4 + shared
    if same_place(a, b, sides=False) or _shorter_name(a, b):
        return 3 + shared - _other_side(a, b)
    panel = ENOUGH if _one_plug(a, b) and a.kind in ONE_PLUG[0] else 0
    return max(panel, min(shared, 2), _replaced(out, event))


def _shorter_name(a: Point, b: Point) -> bool:
    """Whether two things of one kind may be one, told in full and in short: "ramp house", "ramp"."""
    names = [set(str(p.label).lower().split()) for p in (a, b) if p.label]
    return a.kind == b.kind and len(names) == ENOUGH and (names[0] <= names[1] or names[1] <= names[0])


def _other_side(a: Point, b: Point) -> int:
    return 1 if None not in (a.side, b.side) and a.side != b.side else 0


def _replaced(out: Out, event: Event) -> int:
    """A new thing of the same name closes the old one, wherever its ends are (a cord, a jumper of wire)."""
    shared = _thing_words(out.event) & _thing_words(event)
    return ENOUGH if event.action in ("replace", "terminate", "install") and shared else 0


def _one_plug(a: Point, b: Point) -> bool:
    """Whether two kinds share a plug or screws, so that either may be named for it."""
    labels_meet = None in (a.label, b.label) or str(a.label).lower() == str(b.label).lower()
    return labels_meet and any({a.kind, b.kind} <= kinds for kinds in ONE_PLUG)


def _same_thing(a: Event, b: Event, course: Course) -> bool:
    if a.point is None or b.point is None:
        return a.action == b.action and bool(_words(a) & _words(b))
    here, there = course.at(a), course.at(b)
    if not (a.point == b.point or same_place(here, there) or _panel_plug(a, b, course)):
        return False
    if not (_words(a) and _words(b)) or _words(a) & _words(b):
        return True
    by_its_plug = _words(a) <= CONNECTORS or _words(b) <= CONNECTORS
    return by_its_plug and here is not None and here.kind in ("set", "device")


def _panel_plug(a: Event, b: Event, course: Course) -> bool:
    kinds = {p.kind for e in (a, b) if (p := course.at(e))}
    return kinds == ONE_PLUG[0]


def _words(event: Event) -> set[str]:
    words = re.findall(r"[a-z0-9]+", (event.object or "").lower().replace("'s", ""))
    return {w.removesuffix("s") for w in words if len(w) > 1 or w.isdigit()} - IDLE_WORDS


def _thing_words(event: Event) -> set[str]:
    """Its words, and with "jumper" the wire that one is made of."""
    words = _words(event)
    return words | {"wire"} if "jumper" in words else words


def _shown_back(out: Out, course: Course) -> Event | None:
    """A later reading that could not be good with the thing still out."""
    point = course.at(out.event)
    if out.rule.account or out.event.action not in ("disconnect", "remove_clips", "move") or point is None:
        return None
    for reading in course.events[out.position + 1 :]:
        at = course.at(reading)
        good = (
            reading.kind == "reading"
            and reading.verdict == "pass"
            and reading.quantity in WORKS
            and reading.state not in ("absent", "down")
        )
        if (
            at is None
            or not good
            or condition(reading, "plug") == "out"
            or condition(reading, "clips") == "out"
            or condition(reading, "cord")
        ):
            continue
        if _would_show(out, point, at):
            return reading
    return None


def _would_show(out: Out, point: Point, at: Point) -> bool:
    if point.kind in SHOWS_ITSELF and out.rule.action != ("move",):
        named = None in (point.label, at.label) or point.label == at.label
        return same_place(point, at) and (point.label is None or at.label is not None) and named
    if point.kind == "demarc" and point.side != "provider" and point.label is None:
        return at.kind in ("set", "jack", "block", "device") and at.order > point.order and on_one_line(point, at)
    if out.event.action == "remove_clips":
        return at.kind == "set" or same_place(point, at, sides=False)
    return False


def _given_up(out: Out, course: Course) -> bool:
    """Given up for good in words, or a move that did no harm and so was a mend."""
    if out.back is not None:
        return False
    if says(out.event, FOR_GOOD):
        return True
    if not out.rule.if_failing:
        return False
    after = [
        e
        for e in course.events[out.position + 1 :]
        if e.kind == "reading" and e.point and course.one_place(out.event, e)
    ]
    return not any(e.verdict == "fail" for e in after) or any(e.verdict == "pass" for e in after)


def _line(out: Out, course: Course) -> LedgerLine:
    point = course.at(out.event)
    kind = course.trade.point_kind(point.kind) if point else None
    named = (out.event.object or "").replace("'s", "").strip(" ,.")
    thing = named if _words(out.event) else (kind.name if kind else None)
    known = out.rule.account or not thing or set(thing.lower().split()) <= set(out.rule.what.split())
    what = out.rule.what if known else f"{thing} {out.rule.what}"
    return LedgerLine(
        what=what,
        point=out.event.point,
        disturbed_by=out.event.id,
        restored_by=out.back.id if out.back else None,
        reason=None if out.back else _reason(out, course),
    )


def _reason(out: Out, course: Course) -> str | None:
    """Why it is still out: the telling, tagging or handing over that speaks of it most, or the return visit."""
    best: tuple[int, str] | None = None
    for event in course.events[out.position :]:
        if (
            out.rule.account
            or event.action not in HANDED_ON
            or says(event, ("on test", "off test"))
            or not _near(event, out, course)
        ):
            continue
        speaks = 2 * len(_words(out.event) & _words(event)) + (event.point is not None) + (event.action == "refer")
        if best is None or speaks > best[0]:
            best = (speaks, _handing_on(event, course))
    if best is not None:
        return best[1]
    return RETURN_VISIT if course.timeline.call.return_visit else None


def _handing_on(event: Event, course: Course) -> str:
    """In words who was told, what was tagged, or to whom the trouble was handed with which ticket."""
    words = HANDED_ON[event.action or ""]
    if event.action != "refer" or not course.timeline.call.tickets:
        return f"{words} {event.object or event.text}" if event.action != "refer" else words
    ticket = course.timeline.call.tickets[-1]
    return f"{words}{f' to the {ticket.owner}' if ticket.owner else ''}, ticket {ticket.number}"


def _near(event: Event, out: Out, course: Course) -> bool:
    a, b = course.at(event), course.at(out.event)
    if a is None or b is None:
        return True
    return same_place(a, b, sides=False) or a.kind == b.kind or _one_plug(a, b) or event.action == "refer"
