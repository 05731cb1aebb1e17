"""Kinds of one's own, as they are listed."""

from __future__ import annotations

from dataclasses import dataclass

from partway.catalogue.own import own_kind, summary
from partway.errors import BadCatalogue
from partway.ledger.book import Book
from partway.valuing.own_kinds import texts_of


@dataclass(frozen=True, slots=True)
class OwnKind:
    """A kind of one's own in a few words, and whole as TOML; `flaw` says why it cannot be used, empty where it can."""

    kind: str
    name: str
    about: str
    flaw: str
    toml: str


def report_own_kinds(book: Book) -> tuple[OwnKind, ...]:
    """All kinds of one's own, also those that cannot be used."""
    return tuple(_kind(kind, text) for kind, text in texts_of(book).items())


def _kind(kind: str, text: str) -> OwnKind:
    try:
        name, flaw = own_kind(text, kind).name, ""
    except BadCatalogue as bad:
        name, flaw = kind, str(bad)
    return OwnKind(kind, name, summary(text), flaw, text)
