"""The kinds that a ledger knows: those that ship with partway and those of its own, with what it has learned of them.
The one place that says which.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field, replace

from partway.catalogue import Catalogue, shipped
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.fold.standing import FindNow
from partway.things.anatomy import Anatomy
from partway.things.traits import said_kind
from partway.valuing.learned import LEARNERS, Learner
from partway.valuing.own_kinds import own_kinds


@dataclass(frozen=True)
class Learning:
    """Applies every learner to an anatomy, each anatomy once. Equal where all evidence is."""

    learners: tuple[Learner, ...]
    evidence: tuple[Hashable, ...]
    book: Book = field(compare=False, repr=False)
    _learned: dict[str, tuple[Anatomy, Anatomy]] = field(default_factory=dict, compare=False, repr=False)

    def __call__(self, anatomy: Anatomy) -> Anatomy:
        """The anatomy with what was learned of it."""
        of, known = self._learned.get(anatomy.kind, (None, anatomy))
        if of is not anatomy:
            known = anatomy
            for learner in self.learners:
                known = learner.learn(self.book, known)
            self._learned[anatomy.kind] = (anatomy, known)
        return known


def catalogue_of(book: Book) -> Catalogue:
    """The catalogue as a ledger has it, with what it has learned. Reads and learns no more kinds than are asked for."""
    return book.once(_learned_catalogue) if LEARNERS else estimates_of(book)


def estimates_of(book: Book) -> Catalogue:
    """The same before anything was learned: for what asks only how a kind comes apart, or what was estimated."""
    return shipped().with_own(own_kinds(book))


def _learned_catalogue(book: Book) -> Catalogue:
    learning = Learning(LEARNERS, tuple(learner.evidence(book) for learner in LEARNERS), book)
    own = {kind: learning(anatomy) for kind, anatomy in own_kinds(book).items()}
    return replace(shipped().with_own(own), learn=learning)


def anatomy_of_find(book: Book, now: FindNow) -> Anatomy:
    """How a find comes apart, by the estimates. Raises Refused where its kind is one that nobody knows here: given up,
    or of a newer version on another device.
    """
    known = estimates_of(book)
    if not known.knows(now.kind):
        given = f"{now.id}, of a kind that is not known here ({said_kind(now.kind)})"
        raise Refused(given, "a find of a known kind: make its kind yours again, or correct what it is", "find")
    return known.anatomy(now.kind)
