"""The forms of an English verb from its plain form, by the rules of the language."""

from __future__ import annotations

from collections.abc import Sequence

_VOWELS = "aeiou"


def forms_of(verb: str, irregular: Sequence[str] | None = None) -> list[tuple[str, str]]:
    """(word, form) pairs; form is plain, third, past, participle, gerund or plain_or_past ("put").

    ``irregular`` gives past, participle and gerund where the rules don't: ("took", "taken", "taking").
    """
    past, participle, gerund = irregular or (_regular(verb, "ed"), _regular(verb, "ed"), _regular(verb, "ing"))
    forms = [(verb, "plain_or_past" if past == verb else "plain"), (_third(verb), "third"), (gerund, "gerund")]
    if past != verb:
        forms.append((past, "past"))
    if participle not in (verb, past):
        forms.append((participle, "participle"))
    return forms


def _third(verb: str) -> str:
    if verb.endswith(("s", "sh", "ch", "x", "z", "o")):
        return verb + "es"
    if verb.endswith("y") and verb[-2] not in _VOWELS:
        return verb[:-1] + "ies"
    return verb + "s"


def _regular(verb: str, ending: str) -> str:
    if verb.endswith("e") and not verb.endswith("ee"):
        return verb[:-1] + ending
    if verb.endswith("y") and verb[-2] not in _VOWELS:
        return (verb[:-1] + "ied") if ending == "ed" else verb + ending
    if _doubles(verb):
        return verb + verb[-1] + ending
    return verb + ending


def _doubles(verb: str) -> bool:
    """Short verbs that end in one vowel and one consonant double it: plug, plugged."""
    verb = verb.removeprefix("un").removeprefix("re") if len(verb) > 5 else verb
    if len(verb) < 3 or verb[-1] in _VOWELS + "wxy" or verb[-2] not in _VOWELS or verb[-3] in _VOWELS:
        return False
    return sum(letter in _VOWELS for letter in verb) == 1
