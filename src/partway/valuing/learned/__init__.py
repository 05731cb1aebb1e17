"""What a ledger taught: figures of one's own in place of the catalogue's estimates, with their count and origin."""

from __future__ import annotations

from functools import lru_cache

from partway.ledger.book import Book
from partway.things.anatomy import Anatomy
from partway.valuing.learned import resale
from partway.valuing.learned.learner import Learner
from partway.valuing.learned.masses import with_masses
from partway.valuing.learned.minutes import with_minutes
from partway.valuing.learned.seen import NOTHING, KindSeen, seen_in
from partway.valuing.learned.shares import with_shares

__all__ = ["LEARNERS", "Learner"]


def by_own_hands(book: Book, anatomy: Anatomy) -> Anatomy:
    """An anatomy with its masses, minutes and answers as the ledger has seen them."""
    seen = seen_in(book).of(anatomy.kind)
    return anatomy if seen == NOTHING else _by_own_hands(anatomy, seen)


@lru_cache(maxsize=1024)
def _by_own_hands(anatomy: Anatomy, seen: KindSeen) -> Anatomy:
    return with_shares(with_minutes(with_masses(anatomy, seen), seen), seen)


# In the order in which they are applied: each gets the anatomy as those before it left it.
LEARNERS: tuple[Learner, ...] = (Learner(by_own_hands, seen_in), Learner(resale.learn, resale.resale_seen))
