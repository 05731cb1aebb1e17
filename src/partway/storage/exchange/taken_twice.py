"""What one phone handed to two copies of a ledger counts once after they are merged.

Both copies recorded it, each by what it knew: other ids, perhaps another name or mass. All of it stays in the ledger;
one copy's word counts, and the other's is taken back by corrections that say why. Whoever merges, and in whatever
order, the same one stays: the one that somebody worked on since, else the one recorded first.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from uuid import UUID

from partway.ledger.book import Book
from partway.ledger.events.event import Event
from partway.ledger.events.ids import new_id
from partway.ledger.events.kinds import Binned, Corrected, Set
from partway.ledger.events.stamp import Stamp

WHO = "partway"
WHY = "handed to two copies of this ledger"
STAYS = (Binned, Set)  # what was made for it is of use to others: an empty bin, the zone

Takes = Mapping[str, tuple[Event, ...]]  # by the copy that recorded them


def count_once(book: Book, now: dt.datetime) -> int:
    """Take back what is there a second time; how many corrections that takes. Inside the transaction that merges."""
    intents = book.asked_twice()
    if not intents:
        return 0
    twice = {intent: _takes(events) for intent, events in book.asked_for(intents).items()}
    voided = book.voided()
    wrong = [event_id for group in _linked(twice) for event_id in _Group(book, group, twice, voided).wrong()]
    stamp = Stamp(book, WHO, now, new_id)
    book.append([stamp.event(Corrected(event_id, WHY), event_id) for event_id in wrong])
    return len(wrong)


def _takes(events: Iterable[Event]) -> Takes:
    found: dict[str, tuple[Event, ...]] = defaultdict(tuple)
    for event in events:
        found[event.device] += (event,)
    return found


def _linked(twice: Mapping[UUID, Takes]) -> list[set[UUID]]:
    """Intents in groups that speak of each other's things: one copy's word counts for a whole group."""
    of = {event.id: intent for intent, takes in twice.items() for take in takes.values() for event in take}
    groups = {intent: {intent} for intent in twice}
    for intent, takes in twice.items():
        makers = {maker for take in takes.values() for event in take for _, maker in event.refs}
        for other in {of[maker] for maker in makers if maker in of}:
            joined = groups[intent] | groups[other]
            groups |= dict.fromkeys(joined, joined)
    return list({id(group): group for group in groups.values()}.values())


@dataclass(frozen=True, slots=True)
class _Group:
    """Intents that were taken twice and belong together."""

    book: Book
    intents: Collection[UUID]
    twice: Mapping[UUID, Takes]
    voided: Collection[UUID]

    def wrong(self) -> list[UUID]:
        """What must not count: all that the other copies made of it and put in its place; and what an earlier merge,
        which knew less, took back of the copy that stays.
        """
        stays = self._stays()
        other, own = list[Event](), list[Event]()
        for intent in sorted(self.intents):
            takes = self.twice[intent]
            kept = stays if stays in takes else min(takes, key=lambda device: takes[device][0].id)
            own += takes[kept]
            other += [event for device, take in takes.items() if device != kept for event in take]
        other = [event for event in other if not isinstance(event.what, STAYS)]
        other += [instead for event in other for instead in self._instead(event)]
        back = [event.id for event in other if event.id not in self.voided]
        return back + [by.id for event in own for by in self._corrections(event) if _by_merging(by)]

    def _stays(self) -> str:
        """The copy whose word counts."""
        takes: dict[str, list[Event]] = defaultdict(list)
        for intent in self.intents:
            for device, take in self.twice[intent].items():
                takes[device] += take
        return min(takes, key=lambda device: (not self._worked_on(takes[device]), min(e.id for e in takes[device])))

    def _worked_on(self, take: Iterable[Event]) -> bool:
        """Whether somebody put it right, took it back, or went on with what it made."""
        return any(
            self._rests_on(event) or not all(_by_merging(by) for by in self._corrections(event)) for event in take
        )

    def _corrections(self, event: Event) -> list[Event]:
        """The corrections of an event that count."""
        about = self.book.events(("corrected",), f"event:{event.id}")
        return [by for by in about if by.id not in self.voided]

    def _rests_on(self, event: Event) -> bool:
        made = [subject for subject, maker in event.refs if maker == event.id and not isinstance(event.what, STAYS)]
        others = (other for subject in made for other in self.book.events(subject=subject))
        return any(other.intent not in self.intents and other.id not in self.voided for other in others)

    def _instead(self, event: Event) -> list[Event]:
        """What was put in the place of an event, and in the place of that."""
        found: list[Event] = []
        for by in self._corrections(event):
            instead = self.book.event(by.what.instead) if isinstance(by.what, Corrected) and by.what.instead else None
            if instead is not None:
                found += [instead, *self._instead(instead)]
        return found


def _by_merging(correction: Event) -> bool:
    return correction.who == WHO and isinstance(correction.what, Corrected) and correction.what.why == WHY
