"""Events of several devices that cannot all be true: one function for each rule.

A merge keeps every event of both ledgers. If two of them cannot both have happened, only people can say which did: so
nothing is decided here, and each conflict is listed until a correction removes one of its events. What is
found depends on the set of events that count, and on nothing else. No sentences: `reports.books.conflicts` has them.

The device of a schema-1 event is not known ("") and may be any, so such an event conflicts with none. The exception is
two ends of one find, since no device ever ends a find twice.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, cast, get_args
from uuid import UUID

from partway.ledger.events.effects import Effects
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import (
    Corrected,
    Discarded,
    Listed,
    Opened,
    Parted,
    Quoted,
    Recounted,
    Returned,
    TakenDown,
)
from partway.ledger.events.shapes import decimal_text

Code = Literal[
    "ended-twice",  # a find gone on one device, and gone or taken from on another
    "find-below-zero",  # more came out of a find than was in it
    "bin-below-zero",  # more came out of a bin than was in it
    "recounts-differ",  # a bin counted on two devices, the later not knowing of the earlier
    "corrections-differ",  # one event put right in two ways
    "prices-differ",  # two prices of one buyer for one grade and lot on one day
    "words-differ",  # two words on one field of the same time
    "listing-oversold",  # more sold and taken down than were on offer, on two devices
]
CODES: tuple[Code, ...] = get_args(Code)
TAKEN_BACK = "taken back"  # what a correction without replacement says
Takes = Opened | Parted | Discarded


@dataclass(frozen=True, slots=True)
class Side:
    """One event of a conflict: who recorded it, on which device, when, and what it says, as the ledger keeps it:
    milligrams, a price and its unit, a kind of event, the ids of what counts instead, or a value.
    """

    event: UUID
    device: str
    who: str
    happened: dt.datetime
    says: str


@dataclass(frozen=True, slots=True)
class Conflict:
    """Events that cannot all be true. `subjects`: the things whose figures depend on it. `name`: the grade, field or
    day it is about. `mg`: the mass left, below zero, if that is the conflict. `sides`: in the order they count in.
    """

    code: Code
    subjects: tuple[str, ...]
    sides: tuple[Side, ...]
    name: str = ""
    mg: int = 0

    @property
    def events(self) -> tuple[UUID, ...]:
        """The events of which one has to be corrected."""
        return tuple(side.event for side in self.sides)


@dataclass(frozen=True, slots=True)
class Counting:
    """A counting event, with its effects under the keys of this ledger."""

    event: Event
    effects: Effects

    @property
    def subjects(self) -> frozenset[str]:
        """Everything the event states a value of, moves from or to, or asserts."""
        places = {place for move in self.effects.moves for place in (move.source, move.target) if ":" in place}
        asserted = {self.effects.asserted.place} if self.effects.asserted else set()
        return frozenset({*places, *(fact.subject for fact in self.effects.facts), *asserted})

    def side(self, says: str) -> Side:
        """This event as a side of a conflict."""
        event = self.event
        return Side(event.id, event.device, event.who, event.happened, says)

    def net_mg(self, place: str, grade: str | None = None) -> int:
        """The mass it adds to a place, of one grade or all."""
        moves = [move for move in self.effects.moves if grade is None or move.grade == grade]
        into = sum(move.mg for move in moves if move.target == place)
        return into - sum(move.mg for move in moves if move.source == place)

    def says_of(self, subject: str, name: str) -> str | None:
        """The value it sets a field to, if it does."""
        return next((f.value for f in self.effects.facts if (f.subject, f.name) == (subject, name)), None)


def codes_by_subject(found: Iterable[Conflict]) -> dict[str, tuple[Code, ...]]:
    """The codes of the conflicts of each thing, for marking its figures."""
    codes: dict[str, set[Code]] = {}
    for one in found:
        for subject in one.subjects:
            codes.setdefault(subject, set()).add(one.code)
    return {subject: tuple(sorted(several, key=CODES.index)) for subject, several in codes.items()}


def moment_of(event: Event) -> dt.datetime:
    """The time of an event to the millisecond; the microseconds only keep one device's events in order."""
    order = event.position[0]
    return order.replace(microsecond=order.microsecond // 1000 * 1000)


def apart(one: Event, other: Event) -> bool:
    """Whether two events certainly come from two devices."""
    return bool(one.device and other.device) and one.device != other.device


def ended_twice(find: str, events: Sequence[Counting]) -> Iterable[Conflict]:
    """A find that was ended on one device, and ended or taken from on another; `events` about it in their order.

    Taking from it before the end is no conflict if the end counted only what was left.
    """
    back = _returned(events)
    takes = [one for one in events if isinstance(one.event.what, Takes) and one.event.id not in back]
    ends = [one for one in takes if one.says_of(find, "closed") == "yes"]
    if len(takes) < 2 or not ends:
        return
    before = _mass_before(find, events)
    clashing = set()
    for end in ends:
        for other in takes:
            if other is not end and _cannot_both(end, other, other in ends, before[end.event.id]):
                clashing |= {end.event.id, other.event.id}
    if clashing:
        yield Conflict(
            "ended-twice", (find,), tuple(one.side(_taking(one.event)) for one in takes if one.event.id in clashing)
        )


def _returned(events: Sequence[Counting]) -> set[UUID]:
    """Sales of which every unit came back into the find: they did not end it, or it is there again."""
    left = {one.event.id: one.event.what.count for one in events if isinstance(one.event.what, Parted)}
    for one in events:
        if isinstance(one.event.what, Returned) and one.event.what.bin is None and one.event.what.sale in left:
            left[one.event.what.sale] -= one.event.what.count
    return {sale for sale, count in left.items() if count <= 0}


def _taking(event: Event) -> str:
    """What an event did with a find: its kind, or `discarded` if it went into residue."""
    return "discarded" if isinstance(event.what, Opened) and event.what.gives_up else event.kind


def _cannot_both(end: Counting, other: Counting, also_an_end: bool, had_mg: int) -> bool:
    if also_an_end:
        return apart(end.event, other.event) or not (end.event.device and other.event.device)
    if not apart(end.event, other.event):
        return False
    return other.event.position > end.event.position or cast(Takes, end.event.what).was_mg != had_mg


def _mass_before(place: str, events: Sequence[Counting]) -> dict[UUID, int]:
    """What the place held before each event."""
    held, before = 0, {}
    for one in events:
        before[one.event.id] = held
        held += one.net_mg(place)
    return before


def oversold(listing: str, events: Sequence[Counting]) -> Iterable[Conflict]:
    """More units sold, less those that came back, and taken down than were put on offer, by two devices at least.

    Two devices that take down the same units say the same: of what was taken down, that of one device counts.
    """
    offered = sum(one.event.what.count for one in events if isinstance(one.event.what, Listed))
    sold = sum(_sold_of(listing, one.event) for one in events)
    down: dict[str, int] = {}
    for one in events:
        if isinstance(one.event.what, TakenDown):
            down[one.event.device] = down.get(one.event.device, 0) + one.event.what.count
    ends = [one for one in events if isinstance(one.event.what, (Parted, TakenDown))]
    several = any(apart(one.event, other.event) for one in ends for other in ends)
    if offered and sold > 0 and several and sold + max(down.values(), default=0) > offered:
        finds = sorted({f"find:{one.event.what.find}" for one in events if isinstance(one.event.what, Listed)})
        yield Conflict("listing-oversold", (listing, *finds), tuple(one.side(one.event.kind) for one in ends))


def _sold_of(listing: str, event: Event) -> int:
    """Units that an event says were sold of a listing, below zero where they came back."""
    what = event.what
    if not isinstance(what, (Parted, Returned)) or f"listing:{what.listing}" != listing:
        return 0
    return what.count if isinstance(what, Parted) else -what.count


def below_zero(place: str, grade: str, mg: int, takers: Sequence[Counting]) -> Iterable[Conflict]:
    """A find or bin with a mass below zero; of `takers`, in their order, the last of each device is named."""
    if mg < 0:
        code: Code = "bin-below-zero" if place.startswith("bin:") else "find-below-zero"
        last = {one.event.device: one for one in takers}
        sides = sorted(last.values(), key=lambda one: one.event.position)
        yield Conflict(
            code, (place,), tuple(one.side(str(-one.net_mg(place, grade or None))) for one in sides), grade, mg
        )


def recounts_differ(place: str, counts: Sequence[Counting]) -> Iterable[Conflict]:
    """The last two recounts of a bin differ, come from two devices, and the last did not know what the ledger had.

    `counts`: of one grade, in their order, without those of schema 1, which assert nothing. One more recount settles
    it.
    """
    if len(counts) < 2:
        return
    early, late = counts[-2:]
    what = cast(Recounted, late.event.what)
    booked = late.net_mg(place, what.grade)
    if apart(early.event, late.event) and booked and what.was_mg != what.mass_mg - booked:
        sides = tuple(one.side(str(cast(Recounted, one.event.what).mass_mg)) for one in (early, late))
        yield Conflict("recounts-differ", (place,), sides, what.grade)


def corrections_differ(
    target: UUID, corrections: Sequence[Counting], outcomes: Mapping[UUID, frozenset[str]], subjects: Sequence[str]
) -> Iterable[Conflict]:
    """One event corrected on two devices: replaced on both, so that it counts twice, or taken back on one alone.

    `outcomes` has what each correction comes to today, empty where what it put in place was taken out since.
    """
    clashing = [
        one
        for one in corrections
        if any(
            apart(one.event, other.event) and _two_ways(outcomes[one.event.id], outcomes[other.event.id])
            for other in corrections
        )
    ]
    if clashing:
        sides = tuple(one.side(" ".join(sorted(outcomes[one.event.id]))) for one in clashing)
        yield Conflict("corrections-differ", (f"event:{target}", *sorted(set(subjects))), sides)


def _two_ways(one: frozenset[str], other: frozenset[str]) -> bool:
    return bool(one and other) and one != other


def outcomes_of(
    corrections: Mapping[UUID, Sequence[Counting]], standing: Mapping[UUID, Counting], target: UUID
) -> dict[UUID, frozenset[str]]:
    """For each correction of an event: the ids of what counts instead today, following further corrections, or
    TAKEN_BACK.
    """
    said = {one.event.id: cast(Corrected, one.event.what).instead for one in corrections[target]}
    back = frozenset({TAKEN_BACK})
    return {by: _ends(instead, corrections, standing) if instead else back for by, instead in said.items()}


def _ends(
    instead: UUID, corrections: Mapping[UUID, Sequence[Counting]], standing: Mapping[UUID, Counting]
) -> frozenset[str]:
    """What is left of a replacement: itself, or what replaced it in turn. Damaged files may contain circles."""
    reached: set[UUID] = set()
    front = {instead}
    while front:
        reached |= front
        by = [one.event.what for event_id in front for one in corrections.get(event_id, ())]
        front = {what.instead for what in by if isinstance(what, Corrected) and what.instead} - reached
    return frozenset(str(event_id) for event_id in reached if event_id in standing)


def prices_differ(quote: str, day: str, quotes: Sequence[Counting]) -> Iterable[Conflict]:
    """A buyer's quotes for a lot on a day, if the last ones of two devices differ; `quotes` in order."""
    last = {one.event.device: one for one in quotes if one.event.device}
    said = [cast(Quoted, one.event.what) for one in last.values()]
    if len({(what.price, what.unit if what.price is not None else "") for what in said}) > 1:
        sides = sorted(last.values(), key=lambda one: one.event.position)
        buyer = f"buyer:{quote.split(':')[1]}"
        yield Conflict("prices-differ", (buyer, quote), tuple(one.side(_price(one)) for one in sides), day)


def _price(one: Counting) -> str:
    """A price with its unit as it was said; "no" where the grade is not taken."""
    what = cast(Quoted, one.event.what)
    return "no" if what.price is None else f"{decimal_text(what.price)} /{what.unit}"


def words_differ(subject: str, name: str, words: Sequence[Counting]) -> Iterable[Conflict]:
    """The latest value of a field, if two devices set different ones at the same millisecond; `words` of that time in
    order.
    """
    last = {one.event.device: one for one in words if one.event.device}
    said = {device: str(one.says_of(subject, name)) for device, one in last.items()}
    if len(set(said.values())) > 1:
        sides = sorted(last.values(), key=lambda one: one.event.position)
        yield Conflict("words-differ", (subject,), tuple(one.side(said[one.event.device]) for one in sides), name)
