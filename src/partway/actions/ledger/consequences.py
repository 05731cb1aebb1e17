"""What a correction would change, before it is taken: masses, money, words, and what later events rest on it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from partway.ledger.book import Book
from partway.ledger.effects import Fact
from partway.ledger.events import Event
from partway.ledger.meaning import EXACT, effects_of, postings
from partway.ledger.voids import corrections_of, void
from partway.reports.ledger import TAIL, words

RESTING = ("weighed", "opened", "sold", "discarded", "recounted", "moved", "ticketed", "paid")
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


def consequences(book: Book, target: Event, new: Sequence[Event], unit: str) -> Consequences:
    """What the ledger would be with some events more, of which some are corrections, against what it is."""
    out, back = _turned(book, new)
    masses = tuple(_masses(book, out, back))
    said = tuple(_words(book, out, back))
    places = {change.place for change in masses if change.place.startswith(("find:", "bin:"))}
    subjects = places | {change.subject for change in said if change.subject.startswith(("find:", "bin:", "ticket:"))}
    changed = {event.id for event in out} | {event.id for event in new} | {target.id}
    left_over = tuple(change.place[5:] for change in masses if change.after > 0 and _closed(book, change.place, said))
    return Consequences(
        masses, tuple(_sums(book, out, back)), said, tuple(_rests(book, target, subjects, changed, unit)), left_over
    )


def _turned(book: Book, new: Sequence[Event]) -> tuple[list[Event], list[Event]]:
    """What counts no longer, and what counts from then on, by the same rule as the ledger's (ledger.voids)."""
    before = book.voided()
    after = void({**corrections_of(book.events(("corrected",))), **corrections_of(new)})
    out = [event for event_id in sorted(after - before) if (event := book.event(event_id))]
    back = [event for event_id in sorted(before - after) if (event := book.event(event_id))]
    return out, [*back, *(event for event in new if event.id not in after)]


def _masses(book: Book, out: Iterable[Event], back: Iterable[Event]) -> Iterator[MassChange]:
    sums: dict[tuple[str, str], int] = defaultdict(int)
    for events, sign in ((out, -1), (back, 1)):
        for event in events:
            for key, mg in postings(effects_of(event).moves).items():
                sums[key] += sign * mg
    for (place, grade), mg in sorted(sums.items()):
        if mg:
            before = book.balances(place).get((place, grade), 0)
            yield MassChange(place, grade, before, before + mg)


def _sums(book: Book, out: Iterable[Event], back: Iterable[Event]) -> Iterator[SumChange]:
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for events, sign in ((out, -1), (back, 1)):
        for event in events:
            for entry in effects_of(event).entries:
                sums[entry.account] = EXACT.add(sums[entry.account], entry.amount * sign)
    for account, amount in sorted(sums.items()):
        if amount:
            before = book.accounts(account).get(account, ZERO)
            yield SumChange(account, before, EXACT.add(before, amount))


def _words(book: Book, out: Sequence[Event], back: Sequence[Event]) -> Iterator[WordChange]:
    gone = {event.id for event in out}
    said = [(fact, event) for event in back for fact in effects_of(event).facts]
    keys = {(f.subject, f.name) for e in out for f in effects_of(e).facts} | {(f.subject, f.name) for f, _ in said}
    for subject, name in sorted(keys):
        before = book.facts(subject, name).get((subject, name))
        after = _last_word(book, subject, name, gone, said)
        if before != after:
            yield WordChange(subject, name, before, after)


def _last_word(
    book: Book, subject: str, name: str, gone: Collection[UUID], said: Iterable[tuple[Fact, Event]]
) -> str | None:
    stand = [
        (word.happened, word.event, word.value)
        for word in book.words([subject], name)
        if word.subject == subject and word.event not in gone
    ]
    stand += [(e.happened, e.id, fact.value) for fact, e in said if (fact.subject, fact.name) == (subject, name)]
    return max(stand)[2] if stand else None


def _closed(book: Book, place: str, said: Iterable[WordChange]) -> bool:
    if not place.startswith("find:"):
        return False
    changed = [change.after for change in said if (change.subject, change.name) == (place, "closed")]
    return (changed[0] if changed else book.facts(place, "closed").get((place, "closed"))) == "yes"


def _rests(
    book: Book, target: Event, subjects: Iterable[str], changed: Collection[UUID], unit: str
) -> Iterator[Resting]:
    voided, found = book.voided(), dict[UUID, Event]()
    for subject in sorted(subjects):
        for event in book.newest(SHOWN, kinds=RESTING, subject=subject):
            if event.id > target.id and event.id not in voided and event.id not in changed:
                found[event.id] = event
    for event_id in sorted(found)[-SHOWN:]:
        yield Resting(str(event_id)[-TAIL:], found[event_id].kind, words(found[event_id], unit))
