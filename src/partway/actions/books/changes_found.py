"""A find said anew where its kind or what it is made of changes: one rule for both, as when it was recorded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, replace
from typing import Any

from partway.actions.recording.kinds import kind_meant
from partway.actions.recording.questions import Asked
from partway.actions.recording.unknown import has_said, mostly_said
from partway.catalogue import Catalogue
from partway.errors import Refused
from partway.ledger.events.kinds import Found
from partway.things.traits import Traits, plain_name, size_of

KG = 1e-6  # of a milligram
TRAITS = ("mostly", "cord", "motor", "battery")
NOTHING_SAID = asdict(Traits(""))


def found_anew(what: Found, after: Found, said: Mapping[str, str], known: Catalogue) -> Found:
    """The find with its kind and traits as `said`, `after` having all else of it. Raises Refused.

    A kind of the catalogue needs nothing said of what it is made of: naming one alone takes that away.
    """
    traits = {name: said[name] for name in TRAITS if name in said}
    kind = said.get("kind")
    if kind is not None and not any(traits.values()):
        try:
            return replace(after, kind=_of_catalogue(kind, known), **NOTHING_SAID)
        except Refused:
            if not what.mostly:
                raise
    if not what.mostly and not traits:
        return after
    name = what.kind if kind is None else plain_name(kind)
    return _described(replace(after, kind=name or what.kind), traits, known)


def _of_catalogue(kind: str, known: Catalogue) -> str:
    """A correction asks nothing back: what is no exact name is refused with those near it."""
    try:
        return kind_meant(kind, "kind", known)
    except Asked as asked:
        raise Refused(asked.given, asked.expected, asked.where) from None


def _described(found: Found, said: Mapping[str, str], known: Catalogue) -> Found:
    values: dict[str, Any] = {}
    for name, text in said.items():
        if name == "mostly":
            values[name] = mostly_said(text, known) if text.strip() else ""
        else:
            values[name] = has_said(text, name) if text.strip() else ""
    after = replace(found, **values)
    if known.knows(after.kind):
        if after.mostly:
            expected = "nothing said of what it is made of, or another name"
            raise Refused(f"{after.kind}, which the catalogue knows", expected, "mostly")
        return replace(after, **NOTHING_SAID)
    if not after.mostly:
        raise Refused(f"{after.kind} without a word of what it is", "what it is mostly", "mostly")
    return replace(after, size=size_of(after.mass_mg / after.count * KG)) if after.mass_mg else after
