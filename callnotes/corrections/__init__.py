"""What a person corrects: the lines of ``corrections.jsonl``, and how they change a call.

A line is written once and never changed. Read in order, the lines tell what the call's facts are and which open
items somebody accepted; they are applied again to whatever an earlier stage makes anew. No file is written here
(``CallFolder.append`` does that) and nothing is concluded.
"""

from __future__ import annotations

from callnotes.corrections.accepting import Named, accept, named, with_acceptances
from callnotes.corrections.facts import change, listed, with_facts
from callnotes.corrections.lines import Accepted, Cause, Correction, FactsSet, Withdrawn, read, to_line

__all__ = [
    "Accepted",
    "Cause",
    "Correction",
    "FactsSet",
    "Named",
    "Withdrawn",
    "accept",
    "change",
    "listed",
    "named",
    "read",
    "to_line",
    "with_acceptances",
    "with_facts",
]
