"""The kinds that a ledger knows: those that ship with partway and those of its own, with what it has learned of them.
The one place that says which.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field, replace

from partway.catalogue import Catalogue, shipped
from partway.errors import BadCatalogue, Refused
from partway.ledger.book import Book
from partway.ledger.fold.standing import FindNow
from partway.things.anatomy import Anatomy
from partway.things.traits import said_kind
from partway.valuing.learned import LEARNERS, Learner


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
    return {kind: kind_or_flaw(text, kind) for kind, text in texts_of(book).items()}


def kind_or_flaw(text: str, kind: str) -> Anatomy | BadCatalogue:
    """A kind of one's own from its text, or what is wrong with it."""
    from partway.catalogue.own import own_kind  # the forms of files are slow to make, and most ledgers need none

    try:
        return own_kind(text, kind)
    except BadCatalogue as bad:
        return bad
