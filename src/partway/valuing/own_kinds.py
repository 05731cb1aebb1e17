"""Kinds of one's own, as the ledger keeps them and as today's catalogue takes them."""

from __future__ import annotations

from collections.abc import Mapping

from partway.errors import BadCatalogue
from partway.ledger.book import Book
from partway.things.anatomy import Anatomy

_Read = tuple[str, Anatomy | BadCatalogue]  # a text, and what it says


def own_kinds(book: Book) -> Mapping[str, Anatomy]:
    """Kinds of one's own, by id. One that today's catalogue would not take is left out: `unsound_kinds` says why."""
    return {kind: found for kind, found in _kinds(book).items() if isinstance(found, Anatomy)}


def unsound_kinds(book: Book) -> Mapping[str, BadCatalogue]:
    """Kinds of one's own that cannot be used, with what is wrong: a grade that is no more, a caution that is none."""
    return {kind: found for kind, found in _kinds(book).items() if not isinstance(found, Anatomy)}


def texts_of(book: Book) -> dict[str, str]:
    """Kinds of one's own by id, as the TOML that the ledger keeps."""
    return {subject[5:]: text for (subject, _), text in sorted(book.facts("kind:", "anatomy").items()) if text}


def _kinds(book: Book) -> dict[str, Anatomy | BadCatalogue]:
    return {kind: found for kind, (_, found) in book.onward(_read_anew).items()}


def _read_anew(book: Book, before: dict[str, _Read] | None) -> dict[str, _Read]:
    """Each kind with its text; only texts that changed are read again, as a page asks several times for all of them."""
    known, found = before or {}, {}
    for kind, text in texts_of(book).items():
        last = known.get(kind)
        found[kind] = last if last is not None and last[0] == text else (text, kind_or_flaw(text, kind))
    return found


def kind_or_flaw(text: str, kind: str) -> Anatomy | BadCatalogue:
    """A kind of one's own from its text, or what is wrong with it."""
    from partway.catalogue.own import own_kind  # the forms of files are slow to make, and most ledgers need none

    try:
        return own_kind(text, kind)
    except BadCatalogue as bad:
        return bad
