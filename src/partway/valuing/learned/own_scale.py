"""Masses and minutes of one's own in place of the catalogue's, and how often pieces turn out to be what."""

from __future__ import annotations

from functools import lru_cache

from partway.ledger.book import Book
from partway.things.anatomy import Anatomy
from partway.valuing.learned.masses import with_masses
from partway.valuing.learned.minutes import with_minutes
from partway.valuing.learned.seen import NOTHING, KindSeen, seen_in
from partway.valuing.learned.shares import with_shares


def learned(book: Book, anatomy: Anatomy) -> Anatomy:
    """An anatomy with its masses, minutes and answers as the ledger has seen them."""
    seen = seen_in(book).of(anatomy.kind)
    return anatomy if seen == NOTHING else _learned(anatomy, seen)


@lru_cache(maxsize=1024)
def _learned(anatomy: Anatomy, seen: KindSeen) -> Anatomy:
    return with_shares(with_minutes(with_masses(anatomy, seen), seen), seen)
