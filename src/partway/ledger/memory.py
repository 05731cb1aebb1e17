"""A book kept in memory: the same contract as the one on disk, for tests and for trying things out."""

from __future__ import annotations

import datetime as dt
import secrets
import threading
from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from decimal import Decimal
from operator import itemgetter
from uuid import UUID

from partway.ledger.balance.asserting import Key
from partway.ledger.balance.conflict_search import conflicts_in, counted_in, may_be_any
from partway.ledger.balance.conflicts import Conflict
from partway.ledger.book import NEAR, Balance, Facts, Head, Unread, Which
from partway.ledger.events.codec import to_json
from partway.ledger.events.effects import Effects
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Corrected
from partway.ledger.events.meaning import EXACT
from partway.ledger.events.shapes import time_text, written
from partway.ledger.events.subjects import subjects_of
from partway.ledger.fold.fold import EMPTY, State, fold
from partway.ledger.fold.history import Counted, Flow, PastFact, flows_in, words_in
from partway.ledger.fold.period import Posted, first_said, moved_in, openings_in, posted_in
from partway.ledger.fold.summing import LatestFact
from partway.ledger.photographs import PhotographsInMemory
from partway.ledger.remembered import Remembering


class MemoryBook(Remembering):
    """Implements book.Book; `state` is all there is to it, and `device` the mark of what is recorded here."""

    def __init__(self, state: State = EMPTY, device: str | None = None) -> None:
        super().__init__()
        self.state, self.device = state, device or secrets.token_hex(4)
        self.photographs = PhotographsInMemory()
        self._asked_of: State | None = None  # the state whose conflicts are known
        self._found: tuple[Conflict, ...] = ()
        self._named_of: State | None = None  # the state whose facts are sorted by field
        self._by_name: dict[str, dict[Key, LatestFact]] = {}
        self._words: tuple[State, dict[str, list[PastFact]]] = (state, {})  # all words of a state by field
        self._head = _further(Head(self.device), state.events.values())
        self._marked: tuple[State, object] = (state, object())
        self._turn = threading.RLock()
        self._deep = 0
        self._failed: Exception | None = None
        self._devices: dict[UUID, str] = {}

    @contextmanager
    def deciding(self) -> Iterator[None]:
        """Read, decide and append as one; an error keeps nothing."""
        with self._turn:
            before, outermost = (self.state, self._head), self._deep == 0
            self._deep += 1
            try:
                yield
                if outermost and self._failed is not None:
                    raise self._failed
            except BaseException:
                if outermost:
                    self.state, self._head = before
                raise
            finally:
                self._deep -= 1
                if outermost:
                    self._failed = None

    @contextmanager
    def trying(self) -> Iterator[None]:
        """What is appended inside is taken back at its end."""
        before = self.state, self._head
        try:
            yield
        finally:
            self.state, self._head = before

    def append(self, events: Sequence[Event]) -> int:
        """Add events, all of them or, if one is refused (BadEvent), none; how many were new."""
        with self.deciding():
            try:
                for event in events:
                    to_json(event)
                before = len(self.state.events)
                self.state = fold(events, self.state)
                self._head = _further(self._head, events)
            except Exception as error:
                self._failed = self._failed or error
                raise
            return len(self.state.events) - before

    def typed_with(self, events: Sequence[UUID], device: str) -> None:
        """Note with which device events were typed."""
        self._devices |= dict.fromkeys(events, device)

    def device_of(self, event_id: UUID) -> str:
        """With which device an event was typed."""
        return self._devices.get(event_id, "")

    def mark(self) -> Hashable:
        """What differs for every state."""
        if self._marked[0] is not self.state:
            self._marked = (self.state, object())
        return self._marked[1]

    def head(self, stated: dt.datetime | None = None) -> Head:
        """How far this book has come."""
        if stated is None:
            return self._head
        own = (e.position[0] for e in self.state.events.values() if e.device in {"", self.device})
        return replace(self._head, near=max((order for order in own if stated <= order < stated + NEAR), default=None))

    def makers(self, subjects: Sequence[str]) -> dict[str, UUID | None]:
        """Which event made what goes by these keys."""
        return self.state.things.makers(subjects)

    def keys(self, subject: str = "") -> frozenset[str]:
        """Keys that begin so."""
        things = self.state.things
        return frozenset(key for key in (*things.bare, *things.keys.values()) if key.startswith(subject))

    def recorded(self, since: dt.datetime | None = None, until: dt.datetime | None = None) -> Iterator[Event]:
        """Events as they were recorded."""
        for _, event in sorted(self.state.events.items(), key=itemgetter(0)):
            if (since is None or since <= event.happened) and (until is None or event.happened < until):
                yield event

    def effects(self, event_id: UUID) -> Effects:
        """What one event does here."""
        return self.state.meanings[event_id]

    def balances(self, place: str | Which = "") -> Balance:
        """Mass by place and grade, of places that begin so."""
        asked = self._asked(place)
        return {key: mg for key, mg in self.state.balances.items() if asked(key[0])}

    def summed(self) -> Balance:
        """All balances, those of finds that hold something as one, under "find:"."""
        sums: Counter[tuple[str, str]] = Counter()
        for (place, grade), mg in self.state.balances.items():
            sums["find:" if place.startswith("find:") and mg > 0 else place, grade] += mg
        return dict(sums)

    def facts(self, subject: str | Which = "", name: str | None = None) -> Facts:
        """The current word on subjects that begin so, on one field or all."""
        facts = self.state.facts if name is None else self._named().get(name, {})
        if isinstance(subject, str):
            return {key: word.value for key, word in facts.items() if key[0].startswith(subject)}
        asked = self._asked(subject)
        return {key: word.value for key, word in facts.items() if asked(key[0])}

    def _named(self) -> dict[str, dict[Key, LatestFact]]:
        """The facts by their field: a book of months is asked for one field thousands of times, several a state."""
        if self._named_of is not self.state:
            self._by_name = defaultdict(dict)
            for key, word in self.state.facts.items():
                self._by_name[key[1]][key] = word
            self._named_of = self.state
        return self._by_name

    def accounts(self, account: str = "") -> dict[str, Decimal]:
        """Sums of accounts that begin so."""
        return {name: amount for name, amount in self.state.accounts.items() if name.startswith(account)}

    def tagged(self, account: str = "") -> dict[tuple[str, str], Decimal]:
        """Sums by account and tag, of accounts that begin so."""
        sums: dict[tuple[str, str], Decimal] = defaultdict(Decimal)
        for _, effects in self._counting():
            for entry in effects.entries:
                if entry.account.startswith(account):
                    sums[entry.account, entry.tag] = EXACT.add(sums[entry.account, entry.tag], entry.amount)
        return {key: amount for key, amount in sums.items() if amount}

    def events(
        self,
        kinds: Sequence[str] = (),
        subject: str | None = None,
        since: dt.datetime | None = None,
        until: dt.datetime | None = None,
    ) -> Iterator[Event]:
        """Events in the order of their ids, also those that do not count."""
        known = self.state.things.known
        for event in self.recorded(since, until):
            if (not kinds or event.kind in kinds) and (subject is None or subject in subjects_of(known(event))):
                yield known(event)

    def subjects(self, kinds: Sequence[str], subject: str | Which = "") -> frozenset[str]:
        """Subjects that begin so and that some event of these kinds is about."""
        asked = self._asked(subject)
        about = (subjects_of(event) for event in self.state.events.values() if not kinds or event.kind in kinds)
        return frozenset(of for several in about for of in several if asked(of))

    def flows(self, place: str = "", since: dt.datetime | None = None) -> list[Flow]:
        """Movements from or to places that begin so, as they happened."""
        return flows_in(self._counting(), place, since)

    def arrivals(self, places: Sequence[str], most: int) -> dict[str, list[Flow]]:
        """The last `most` movements into exactly each of these places, the newest first."""
        return {
            place: [flow for flow in reversed(self.flows(place)) if flow.move.target == place][:most]
            for place in places
        }

    def words(self, subjects: Sequence[str], name: str, since: dt.datetime | None = None) -> list[PastFact]:
        """All that was ever said on one field of subjects that begin with one of these, as it happened."""
        beginnings = tuple(subjects)
        all_of = self._said(name)
        return [w for w in all_of if w.subject.startswith(beginnings) and (since is None or since <= w.happened)]

    def _said(self, name: str) -> list[PastFact]:
        """All that was ever said on one field: a haul of months is asked for the prices of each grade at each stop."""
        if self._words[0] is not self.state:
            self._words = (self.state, {})
        _, by_name = self._words
        if name not in by_name:
            by_name[name] = words_in(self._counting(), name)
        return by_name[name]

    def moved(
        self, since: dt.datetime | None = None, until: dt.datetime | None = None
    ) -> dict[tuple[str, str, str], int]:
        """Mass between two times by where it came from and went, finds by their kinds."""
        return moved_in(self._counting(since, until), self._kinds())

    def posted(self, since: dt.datetime | None = None, until: dt.datetime | None = None) -> list[Posted]:
        """Money and minutes between two times, as they happened."""
        put_right = {
            event.what.instead: event.what.event
            for event in self.state.events.values()
            if isinstance(event.what, Corrected) and event.what.instead
        }
        known = self.state.events
        whose = {one: known[first].who for one, first in first_said(put_right).items() if first in known}
        return posted_in(self._counting(since, until), self._kinds(), whose)

    def openings(self, since: dt.datetime | None = None, until: dt.datetime | None = None) -> dict[str, int]:
        """How many openings between two times moved mass out of finds of each kind."""
        return openings_in(self._counting(since, until), self._kinds())

    def newest(
        self,
        most: int,
        before: UUID | None = None,
        kinds: Sequence[str] = (),
        subject: str | None = None,
        since: dt.datetime | None = None,
        until: dt.datetime | None = None,
    ) -> tuple[Event, ...]:
        """The `most` events typed last, newest first."""
        found = [e for e in self.events(kinds, subject, since, until) if before is None or e.id < before]
        return tuple(found[::-1][:most])

    def _asked(self, subject: str | Which) -> Callable[[str], bool]:
        if isinstance(subject, str):
            return lambda of: of.startswith(subject)
        facts = self.state.facts
        return lambda of: (
            of.startswith(subject.prefix)
            and (of, subject.said) in facts
            and not _is_yes(facts.get((of, subject.unsaid)))
        )

    def _kinds(self) -> dict[str, str]:
        return {subject[5:]: kind for (subject, _), kind in self.facts("find:", "kind").items()}

    def _counting(self, since: dt.datetime | None = None, until: dt.datetime | None = None) -> Iterator[Counted]:
        voided, meanings = self.state.voided, self.state.meanings
        return ((event, meanings[event.id]) for event in self.recorded(since, until) if event.id not in voided)

    def unread(self, kinds: Sequence[str], most: int, after: str = "") -> list[Unread]:
        """Events of some kinds, newest first, as JSON has them."""
        found = [e for e in self.state.events.values() if e.kind in kinds and str(e.id) > after]
        found.sort(key=lambda event: event.id, reverse=True)
        return [_unread(event, self.state.things.known(event)) for event in found[:most]]

    def count(self, kinds: Sequence[str]) -> int:
        """How many events there are of some kinds."""
        return sum(event.kind in kinds for event in self.state.events.values())

    def event(self, event_id: UUID) -> Event | None:
        """One event, if it is there."""
        event = self.state.events.get(event_id)
        return None if event is None else self.state.things.known(event)

    def asked_for(self, intents: Collection[UUID]) -> dict[UUID, tuple[Event, ...]]:
        """The events that each of some intents led to."""
        found: dict[UUID, tuple[Event, ...]] = {}
        for event in self.events():
            if event.intent is not None and event.intent in intents:
                found[event.intent] = (*found.get(event.intent, ()), event)
        return found

    def asked_twice(self) -> frozenset[UUID]:
        """The intents that more than one copy of the ledger recorded."""
        devices: dict[UUID, set[str]] = defaultdict(set)
        for event in self.state.events.values():
            if event.intent is not None:
                devices[event.intent].add(event.device)
        return frozenset(intent for intent, several in devices.items() if len(several) > 1)

    def oldest(self) -> Event | None:
        """The event of the smallest id."""
        return next(self.recorded(), None)

    def voided(self) -> frozenset[UUID]:
        """Ids of events that do not count."""
        return self.state.voided

    def conflicts(self) -> tuple[Conflict, ...]:
        """What cannot all be true."""
        if self._asked_of is not self.state:
            there = may_be_any(self.state)
            self._found = conflicts_in(counted_in(self.state)) if there else ()
            self._asked_of = self.state
        return self._found


def _is_yes(word: LatestFact | None) -> bool:
    return word is not None and word.value == "yes"


def _unread(event: Event, here: Event) -> Unread:
    position = (time_text(event.position[0]), str(event.id))
    return Unread(str(event.id), event.kind, position, getattr(here.what, "find", "") or "", written(event.what))


def _further(head: Head, events: Iterable[Event]) -> Head:
    """How far a book has come with these events too."""
    for event in events:
        last = event.id if head.event is None else max(head.event, event.id)
        order, typed = head.order, head.typed
        if event.device in {"", head.device} and (order is None or order < event.position[0]):
            order, typed = event.position[0], event.typed
        head = replace(head, event=last, order=order, typed=typed)
    return head
