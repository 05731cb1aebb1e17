"""What a correction would change, before it is taken: masses, money, words, and what later events rest on it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from partway.actions.recording.context import decides
from partway.ledger.book import Book
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import PAYLOADS
from partway.reports.books.ledger import TAIL, words
from partway.things.units import ShownUnits

RESTING = tuple(kind for kind, payload in PAYLOADS.items() if payload.RESTS)
NAMED = ("find:", "bin:", "ticket:", "listing:")  # what later events may rest on
SHOWN = 20  # events that rest on one
ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class MassChange:
    """A place (find:ID, bin:ID, buyer:ID, people, residue, loss, outside) and what it holds before and after, in mg."""

    place: str
    grade: str
    before: int
    after: int


@dataclass(frozen=True, slots=True)
class SumChange:
    """An account of money or minutes, before and after."""

    account: str
    before: Decimal
    after: Decimal


@dataclass(frozen=True, slots=True)
class WordChange:
    """The word on one field of one subject, before and after; None where there is none."""

    subject: str
    name: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True)
class Resting:
    """A later event about something whose mass or word changes."""

    id: str
    kind: str
    words: str


@dataclass(frozen=True, slots=True)
class Consequences:
    """All that changes, and the later events that rest on it. `left_over` are finds that are closed and hold something
    all the same: the opening of each is to be corrected next.
    """

    masses: tuple[MassChange, ...]
    sums: tuple[SumChange, ...]
    words: tuple[WordChange, ...]
    rests: tuple[Resting, ...]
    left_over: tuple[str, ...] = ()


@decides()
def consequences(book: Book, target: Event, new: Sequence[Event], units: ShownUnits) -> Consequences:
    """What the ledger would be with some events more, of which some are corrections, against what it is.

    They are added for a look and taken back, so that what is told is what the ledger itself makes of them.
    """
    said_before, before = _Figures(book), book.voided()
    with book.trying():
        book.append(new)
        said_after, after = _Figures(book), book.voided()
    masses, said = tuple(said_before.masses(said_after)), tuple(said_before.words(said_after))
    places = {change.place for change in masses if change.place.startswith(("find:", "bin:"))}
    subjects = places | {change.subject for change in said if change.subject.startswith(NAMED)}
    changed = (before ^ after) | {event.id for event in new} | {target.id}
    left_over = tuple(change.place[5:] for change in masses if change.after > 0 and _closed(book, change.place, said))
    rests = tuple(_rests(book, target, subjects, changed, units))
    return Consequences(masses, tuple(said_before.sums(said_after)), said, rests, left_over)


class _Figures:
    """Masses, money and words as a book has them at one moment."""

    def __init__(self, book: Book) -> None:
        self.balances, self.accounts, self.facts = dict(book.balances()), dict(book.accounts()), dict(book.facts())

    def masses(self, after: _Figures) -> Iterator[MassChange]:
        """Places that hold more or less then."""
        for key in sorted(self.balances.keys() | after.balances.keys()):
            now, then = self.balances.get(key, 0), after.balances.get(key, 0)
            if now != then:
                yield MassChange(*key, now, then)

    def sums(self, after: _Figures) -> Iterator[SumChange]:
        """Accounts that come to more or less then."""
        for account in sorted(self.accounts.keys() | after.accounts.keys()):
            now, then = self.accounts.get(account, ZERO), after.accounts.get(account, ZERO)
            if now != then:
                yield SumChange(account, now, then)

    def words(self, after: _Figures) -> Iterator[WordChange]:
        """Fields of which something else is said then."""
        for key in sorted(self.facts.keys() | after.facts.keys()):
            now, then = self.facts.get(key), after.facts.get(key)
            if now != then:
                yield WordChange(*key, now, then)


def _closed(book: Book, place: str, said: Iterable[WordChange]) -> bool:
    if not place.startswith("find:"):
        return False
    changed = [change.after for change in said if (change.subject, change.name) == (place, "closed")]
    return (changed[0] if changed else book.facts(place, "closed").get((place, "closed"))) == "yes"


def _rests(
    book: Book, target: Event, subjects: Iterable[str], changed: Collection[UUID], units: ShownUnits
) -> Iterator[Resting]:
    voided, found = book.voided(), dict[UUID, Event]()
    for subject in sorted(subjects):
        for event in book.newest(SHOWN, kinds=RESTING, subject=subject):
            if event.id > target.id and event.id not in voided and event.id not in changed:
                found[event.id] = event
    for event_id in sorted(found)[-SHOWN:]:
        yield Resting(str(event_id)[-TAIL:], found[event_id].kind, words(found[event_id].what, units))
