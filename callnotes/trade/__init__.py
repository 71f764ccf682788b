"""The trade as data: one frozen ``Trade`` value, read from ``callnotes/data`` and a user's own files.

Loaded once and handed to functions. A vocabulary file of a user has the same tables as the shipped
files and adds to them; an entry with the same key as a shipped one replaces it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from callnotes.errors import OptionError
from callnotes.resources import DATA
from callnotes.trade.fields import CallField
from callnotes.trade.judgment import Caution, Family, Fault, LedgerRule, Limit, Mend, Owner, Requirement, Weighing
from callnotes.trade.phrases import conditions_in, cues_in, details_in, sayings_in, stated_in, words_in
from callnotes.trade.sums import Sum
from callnotes.trade.tables import entries_of, read_csv, read_toml
from callnotes.trade.testing import AdviceLimits, Chances, FieldTestKind, GateKind, Way
from callnotes.trade.words import (
    ActionKind,
    ActionPhrase,
    ActionResult,
    ConditionWord,
    ContextCue,
    Detail,
    PointKind,
    Quantity,
    Saying,
    StatedWord,
    Unit,
)
from callnotes.trade.worked import Worked

__all__ = ["Trade", "load_trade"]


@dataclass(frozen=True)
class Trade:
    """Every table of the trade, checked. Lookups return None for a name that no table has."""

    units: tuple[Unit, ...]
    quantities: tuple[Quantity, ...]
    points: tuple[PointKind, ...]
    details: tuple[Detail, ...]
    sayings: tuple[Saying, ...]
    actions: tuple[ActionKind, ...]
    action_results: tuple[ActionResult, ...]
    action_phrases: tuple[ActionPhrase, ...]
    cues: tuple[ContextCue, ...]
    conditions: tuple[ConditionWord, ...]
    stated: tuple[StatedWord, ...]
    words: dict[tuple[str, str], tuple[str, ...]]
    limits: tuple[Limit, ...]
    faults: tuple[Fault, ...]
    families: tuple[Family, ...]
    weighing: Weighing
    chances: Chances
    field_tests: tuple[FieldTestKind, ...]
    ways: tuple[Way, ...]
    gates: tuple[GateKind, ...]
    advice: AdviceLimits
    mends: tuple[Mend, ...]
    owners: tuple[Owner, ...]
    ledger_rules: tuple[LedgerRule, ...]
    requirements: tuple[Requirement, ...]
    cautions: tuple[Caution, ...]
    fields: tuple[CallField, ...]
    sums: tuple[Sum, ...]
    worked: tuple[Worked, ...]

    @cached_property
    def _by_name(self) -> dict[tuple[str, str], Any]:
        named: dict[tuple[str, str], Any] = {("unit", u.symbol): u for u in self.units}
        named |= {("quantity", q.quantity): q for q in self.quantities}
        named |= {("point", p.kind): p for p in self.points}
        named |= {("fault", f.id): f for f in self.faults}
        named |= {("family", quantity): f.name for f in self.families for quantity in f.quantities}
        named |= {("sum", one.name): one for one in self.sums}
        return named | {("action", a.action): a for a in self.actions}

    def unit(self, symbol: str | None) -> Unit | None:
        return self._by_name.get(("unit", symbol or ""))

    def quantity(self, name: str | None) -> Quantity | None:
        return self._by_name.get(("quantity", name or ""))

    def point_kind(self, kind: str | None) -> PointKind | None:
        return self._by_name.get(("point", kind or ""))

    def action(self, name: str | None) -> ActionKind | None:
        return self._by_name.get(("action", name or ""))

    def fault(self, name: str | None) -> Fault | None:
        return self._by_name.get(("fault", name or ""))

    def family(self, quantity: str | None) -> str | None:
        """The family of readings that a quantity belongs to, None for one that stands alone."""
        return self._by_name.get(("family", quantity or ""))

    def sum(self, name: str) -> Sum | None:
        return self._by_name.get(("sum", name))

    def profiles(self) -> tuple[str, ...]:
        """The names of the sets of limits that can be chosen, in order."""
        return tuple(sorted({limit.profile for limit in self.limits}))

    def limits_of(self, profile: str) -> tuple[Limit, ...]:
        """The limits of that profile; ``OptionError`` for an unknown one, naming those that exist."""
        found = tuple(limit for limit in self.limits if limit.profile == profile)
        if not found:
            raise OptionError(
                f"no limits named {profile!r}", where="--profile", hint=f"choose from {', '.join(self.profiles())}"
            )
        return found


def load_trade(vocabulary: Sequence[Path] = ()) -> Trade:
    """The shipped tables with a user's files laid over them; ``DataError`` names file, entry and key."""
    files = [(path, read_toml(path)) for path in (*sorted(DATA.glob("*.toml")), *sorted(DATA.glob("states/*.toml")))]
    files += [(path, read_toml(path)) for path in vocabulary]

    def table(name: str, kind: Any, key: str | None = None) -> tuple[Any, ...]:
        entries = [entry for path, tree in files for entry in entries_of(tree.get(name, []), kind, path)]
        return tuple({getattr(e, key): e for e in entries}.values()) if key else tuple(entries)

    def spread(read: Any) -> tuple[Any, ...]:
        return tuple(entry for path, tree in files for entry in read(path, tree))

    return Trade(
        units=read_csv(DATA / "units.csv", Unit) + table("unit", Unit),
        quantities=table("quantity", Quantity, "quantity"),
        points=table("point", PointKind, "kind"),
        details=spread(details_in),
        sayings=spread(sayings_in),
        actions=table("action", ActionKind, "action"),
        action_results=table("result", ActionResult),
        action_phrases=table("phrase", ActionPhrase),
        cues=spread(cues_in),
        conditions=spread(conditions_in),
        stated=spread(stated_in),
        words=words_in(files),
        limits=read_csv(DATA / "limits.csv", Limit),
        faults=table("fault", Fault, "id"),
        families=table("family", Family, "name"),
        weighing=table("weighing", Weighing)[-1],
        chances=table("chances", Chances)[-1],
        field_tests=table("field_test", FieldTestKind, "id"),
        ways=table("way", Way),
        gates=table("gate", GateKind, "name"),
        advice=table("advice", AdviceLimits)[-1],
        mends=table("mend", Mend),
        owners=table("owner", Owner),
        ledger_rules=table("ledger", LedgerRule),
        requirements=table("requirement", Requirement, "code"),
        cautions=table("caution", Caution, "code"),
        fields=table("field", CallField, "name"),
        sums=table("sum", Sum, "name"),
        worked=table("worked", Worked, "code"),
    )
