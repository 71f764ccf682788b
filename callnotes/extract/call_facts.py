"""The facts of the call as said: order, site, contact, technician, numbers, times, materials, tickets."""

from __future__ import annotations

from callnotes.extract.findings import Findings
from callnotes.extract.normal import Talk
from callnotes.records import Call
from callnotes.trade import Trade


def find_call_facts(talk: Talk, found: Findings, trade: Trade) -> Call:
    return Call()
