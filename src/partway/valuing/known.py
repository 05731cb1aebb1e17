"""The kinds that a ledger knows: those that ship with partway and those of its own. The one place that says which."""

from __future__ import annotations

from collections.abc import Mapping

from partway.catalogue import Catalogue, shipped
from partway.ledger.book import Book
from partway.things.anatomy import Anatomy


def catalogue_of(book: Book) -> Catalogue:
    """The catalogue as a ledger has it. Reads no more of the kinds that ship than `shipped` does."""
    return shipped().with_own(own_kinds(book))


def own_kinds(book: Book) -> Mapping[str, Anatomy]:
    """Kinds that the ledger itself has, by id; no event says one yet."""
    return {}
