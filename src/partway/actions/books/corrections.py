"""Corrections: an event stops counting, and another may count instead. Nothing is deleted."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from uuid import UUID

from partway.actions.books.consequences import MassChange, consequences
from partway.actions.books.results import CorrectResult
from partway.actions.books.said_anew import Anew, said_anew
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, clock_back, decides
from partway.actions.recording.permitted import append, check
from partway.actions.recording.words import mass, units
from partway.catalogue import shipped
from partway.errors import Hint, Refused
from partway.ledger.balance.asserting import lines_of
from partway.ledger.book import Book
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Corrected, Recounted, Weighed
from partway.ledger.events.meaning import effects_of
from partway.ledger.events.subjects import subjects_of
from partway.ledger.fold.without import held_without
from partway.quantities import shown
from partway.reports.books.ledger import words

EVENTS = Hint("events")
SHORTEST = 4  # characters of an id that may be typed for it
RECENT = dt.timedelta(days=60)
Key = tuple[str, str]


def correct(
    book: Book,
    context: Context,
    event_id: str,
    why: str = "",
    changes: Mapping[str, str] | None = None,
    gap: str | None = None,
    as_printed: bool | None = None,
    preview: bool = False,
) -> Recorded[CorrectResult]:
    """Take back an event, or with `changes` (field: text) put another in its place.

    What the same action recorded only for it goes with it. A bin or find that was on the scale after the event keeps
    the mass that follows from that weighing. `gap` says what is missing of an opening, `as_printed` that a ticket does
    not add up, as when they were recorded. With `preview` nothing is recorded: what would follow is told.

    Raises Refused where something would be left with less than nothing in it, or later events would hang in the air.
    """
    named = event_named(book, event_id, context.clock())  # looks through years of events: not while others wait
    if changes:
        shipped()
    return _correct(book, context, named.id, why, changes, gap, as_printed, preview)


@decides()
def _correct(
    book: Book,
    context: Context,
    event_id: UUID,
    why: str,
    changes: Mapping[str, str] | None,
    gap: str | None,
    as_printed: bool | None,
    preview: bool,
) -> Recorded[CorrectResult]:
    """The correction of an event that is there; whether it still counts is asked now."""
    target = event_named(book, str(event_id), context.clock())
    instead = said_anew(book, context, target, changes, gap, as_printed) if changes else None
    _check_rests(book, target, instead is not None)
    return _settled(book, context, [target] if instead else with_companions(book, target), instead, why, preview)


@decides()
def put_in_place(book: Book, context: Context, target: Event, instead: Anew, why: str = "") -> Recorded[CorrectResult]:
    """Another event in the place of one that counts, and of what the same action recorded only for it.

    Inside a decision of the caller's (`book.deciding`), who has looked at what there was before it (`without`).
    """
    return _settled(book, context, with_companions(book, target), instead, why)


@contextmanager
def without(book: Book, context: Context, target: Event) -> Iterator[None]:
    """A look at the ledger as if an event, and what was recorded only for it, did not count. Nothing is kept of it."""
    with book.deciding(), book.trying():
        _set_aside(book, context, target)
        yield


@decides()
def _set_aside(book: Book, context: Context, target: Event) -> None:
    stamp = context.stamp(book)
    book.append([stamp.event(Corrected(event.id), target.id) for event in with_companions(book, target)])


def _settled(
    book: Book, context: Context, group: Sequence[Event], instead: Anew | None, why: str, preview: bool = False
) -> Recorded[CorrectResult]:
    """The correction of a group of events, the first of which is the one that was named."""
    target = group[0]
    stamp = context.stamp(book)
    replacing = []
    if instead is not None:
        replacing = [stamp.event(what, target.id, target, instead.happened) for what in instead.payloads]
    undone = _replacements(book, group)
    marked = Corrected(target.id, reading.text(why, "why"), replacing[-1].id if replacing else None)
    also = [Corrected(event.id, marked.why) for event in (*group[1:], *undone)]
    masses = _Masses(book, target, [*group, *undone], [*replacing, *_named_by(book, group)])
    stands = masses.stands()
    corrections = [stamp.event(what, target.id) for what in (marked, *also)]
    check(book, context, [*corrections, *replacing])  # before anybody looks at what would follow
    new = (*replacing, *corrections, *(stamp.event(what) for what in stands))
    follows = consequences(book, target, new, units(book))
    masses.check(follows.masses)
    result = CorrectResult(
        str(target.id),
        target.kind,
        words(target.what, units(book)),
        str(replacing[-1].id) if replacing else "",
        (*masses.kept(), *((_place(what), what.mass_mg) for what in stands)),
        follows,
        preview,
    )
    if preview:
        return Recorded((), result, ())
    append(book, context, new)
    return Recorded(new, result, (corrections[0].id,), clock_back(stamp))


def correct_all(book: Book, context: Context, event_ids: Sequence[str], why: str = "") -> Recorded[CorrectResult]:
    """Take back several events that moved no mass, such as the quotes of one list, at once or not at all."""
    named = {event_named(book, given, context.clock()).id for given in event_ids}  # as in `correct`
    return _correct_all(book, context, named, why)


@decides()
def _correct_all(book: Book, context: Context, event_ids: Collection[UUID], why: str) -> Recorded[CorrectResult]:
    targets = {event_id: event_named(book, str(event_id), context.clock()) for event_id in event_ids}
    for event in targets.values():
        _check_rests(book, event, replaced=False)
        does = book.effects(event.id)
        if does.moves or does.asserted or isinstance(event.what, Corrected):
            raise Refused(f"{event.kind} {str(event.id)[-8:]} among several", "such an event by itself", "correct")
    last = targets[max(targets)]
    stamp = context.stamp(book)
    new = tuple(stamp.event(Corrected(event_id, reading.text(why, "why")), last.id) for event_id in sorted(targets))
    append(book, context, new)
    more = f", and {len(new) - 1} more" if len(new) > 1 else ""
    what = f"{words(last.what, units(book))}{more}"
    result = CorrectResult(str(last.id), last.kind, what, "", also=len(new) - 1)
    return Recorded(new, result, tuple(event.id for event in new), clock_back(stamp))


def event_named(book: Book, given: str, now: dt.datetime) -> Event:
    """The event that an id, its beginning or its end names, and that counts. Raises Refused."""
    wanted = given.strip().lower()
    voided = book.voided()
    found = _matching(book, wanted, now) if len(wanted) >= SHORTEST else []
    if len(found) != 1:
        many = f"{shown(given)}, which {len(found)} events go by" if len(wanted) >= SHORTEST else shown(given)
        raise Refused(many, f"the id of one event, at least {SHORTEST} characters of it", "correct", hint=EVENTS)
    if found[0].id in voided:
        raise Refused(f"{shown(given)}, which no longer counts", "an event that counts", "correct", hint=EVENTS)
    return found[0]


def _matching(book: Book, wanted: str, now: dt.datetime) -> list[Event]:
    """Events whose id begins or ends so, among recent ones first: what is corrected was mostly typed lately."""
    try:
        event = book.event(UUID(wanted))
        return [event] if event else []
    except ValueError:
        pass
    for since in (now - RECENT, None):
        events = book.events(since=since)
        found = [e for e in events if str(e.id).startswith(wanted) or str(e.id).endswith(wanted)]
        if found:
            return found
    return []


def with_companions(book: Book, target: Event) -> list[Event]:
    """An event, then what the same action recorded only for it."""
    return [target, *_companions(book, target)]


def _companions(book: Book, target: Event) -> list[Event]:
    """What the same action recorded only for the target: a weighing put right, a grade changed, other corrections."""
    voided = book.voided()
    kinds = target.what.ALONG
    if not kinds:
        return []
    moment = book.events(kinds, since=target.happened, until=target.happened + dt.timedelta(microseconds=1))
    return [
        event
        for event in moment
        if event.typed == target.typed and event.who == target.who and event.id != target.id and event.id not in voided
    ]


def _named_by(book: Book, group: Sequence[Event]) -> list[Event]:
    """What counts again once corrections are taken back."""
    named = [book.event(event.what.event) for event in group if isinstance(event.what, Corrected)]
    return [event for event in named if event is not None]


def _replacements(book: Book, group: Sequence[Event]) -> list[Event]:
    """What counted instead, and goes with the correction that put it there, with what was recorded only for it."""
    voided = book.voided()
    ids = [event.what.instead for event in group if isinstance(event.what, Corrected) and event.what.instead]
    there = [event for event_id in ids if (event := book.event(event_id)) and event.id not in voided]
    return [one for event in there for one in with_companions(book, event)]


def _check_rests(book: Book, target: Event, replaced: bool) -> None:
    """A find, bin or buyer that later events speak of is not made unheard of."""
    made = target.what.MAKES
    if not made or replaced:
        return
    subject = next(s for s in subjects_of(target) if s.startswith(f"{made}:"))
    voided = book.voided()
    others = [e for e in book.events(subject=subject) if e.id not in voided and e.id != target.id]
    if others and not any(e.kind == target.kind for e in others):
        ids = ", ".join(f"{e.kind} {str(e.id)[-8:]}" for e in others[-5:])
        raise Refused(f"{subject}, of which later events speak", f"first to correct: {ids}", "correct")


@dataclass(frozen=True)
class _Masses:
    """What finds and bins hold once some events are out and others back in."""

    book: Book
    target: Event
    out: Sequence[Event]
    back: Sequence[Event]

    @cached_property
    def touched(self) -> set[Key]:
        """Finds and bins, with their grades, that the events have to do with."""
        events = [(event, effects_of(event)) for event in (*self.out, *self.back)]
        return {key for event, effects in events for key in lines_of(event, effects)}

    @cached_property
    def after(self) -> dict[Key, int]:
        """What each of them holds then."""
        out = {event.id for event in self.out}
        places = sorted({place for place, _ in self.touched})
        held = [held_without(self.book, place, out, self.back) for place in places]
        everything = {key: mg for one in held for key, mg in one.items()}
        return {key: everything.get(key, 0) for key in sorted(self.touched)}

    def change(self) -> dict[Key, int]:
        """How much more or less than now that is, where it is."""
        sums = {key: mg - self._now(key) for key, mg in self.after.items()}
        return {key: mg for key, mg in sums.items() if mg}

    def _now(self, key: Key) -> int:
        return self.book.balances(key[0]).get(key, 0)

    def kept(self) -> list[tuple[str, int]]:
        """Places whose mass stays as it is because a scale said so later."""
        net: dict[Key, int] = {}
        for events, sign in ((self.out, -1), (self.back, 1)):
            for event in events:
                for key, line in lines_of(event, effects_of(event)).items():
                    net[key] = net.get(key, 0) + sign * line.mg
        still = sorted({place for (place, _), mg in net.items() if mg} - {place for place, _ in self.change()})
        return [
            (place, sum(mg for key, mg in self.after.items() if key[0] == place))
            for place in still
            if self._weighed_later(place)
        ]

    def stands(self) -> list[Recounted | Weighed]:
        """Weighings that say again what a later one of schema 1 said, which counts by its difference alone."""
        found: list[Recounted | Weighed] = []
        for (place, grade), mg in self.change().items():
            if not self._weighed_later(place):
                continue
            before = self._now((place, grade))
            name = place.partition(":")[2]
            if place.startswith("bin:"):
                found.append(Recounted(name, grade, max(0, before), before + mg))
            else:
                found.append(Weighed(name, max(0, before), before + mg))
        return found

    def _weighed_later(self, place: str) -> bool:
        voided = self.book.voided()
        out = {event.id for event in self.out}
        return any(
            e.position > self.target.position and e.id not in voided and e.id not in out
            for e in self.book.events(("weighed", "recounted"), place)
        )

    def check(self, changes: Sequence[MassChange]) -> None:
        """Raises Refused where a find or bin would hold less than nothing."""
        for change in changes:
            if change.after < 0 and change.place.startswith(("find:", "bin:")):
                later = ", ".join(f"{e.kind} {str(e.id)[-8:]}" for e in self._later(change.place))
                given = f"{mass(self.book, change.after)} left in {change.place.replace(':', ' ')}"
                raise Refused(given, f"0 or more; correct first what came after: {later}", "correct")

    def _later(self, place: str) -> Iterator[Event]:
        voided = self.book.voided()
        return (e for e in self.book.events(subject=place) if e.id > self.target.id and e.id not in voided)


def _place(what: Recounted | Weighed) -> str:
    return f"bin:{what.bin}" if isinstance(what, Recounted) else f"find:{what.find}"
