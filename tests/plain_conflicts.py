"""What cannot all be true, found the slow and plain way: straight from the payloads, by the rules that docs/exchange.md
says in words, sharing no code with ledger.balance.conflicts, ledger.events.meaning or ledger.fold.fold.

A conflict is told by its sort and the events it is between, and below zero by how much. Where several devices took
from what is below zero, the last of each is named. Times are the same when they are so to the millisecond.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from functools import cache
from itertools import combinations
from typing import Any, cast
from uuid import UUID

from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event

Thing = tuple[str, str, UUID | None]  # sort, name, and the event that made it; None for what schema 1 calls so
Found = tuple[str, frozenset[UUID], int]


def plain_conflicts(events: Iterable[Event]) -> set[Found]:
    """All conflicts of a union of ledgers."""
    everything = list(events)
    counts = _counting(everything)
    ordered = sorted((e for e in everything if e.id in counts), key=place)
    walk = Walk()
    for event in ordered:
        walk.take(event)
    ended = {*_ended(walk), *_oversold(ordered)}
    return {*ended, *_below_zero(walk), *_recounts(walk), *_corrections(everything, counts), *_said(ordered)}


def place(event: Event) -> tuple[dt.datetime, UUID]:
    """Where an event stands among all: its order, which is when it happened unless it says otherwise; then its id."""
    return (event.order if event.order is not None else event.happened), event.id


def _counting(events: list[Event]) -> set[UUID]:
    """An event counts unless a correction that counts names it."""
    corrections = [e for e in events if isinstance(e.what, p.Corrected) and e.what.event < e.id]

    @cache
    def counts(event_id: UUID) -> bool:
        return not any(cast(p.Corrected, c.what).event == event_id and counts(c.id) for c in corrections)

    return {event.id for event in events if counts(event.id)}


def thing(event: Event, sort: str, name: str) -> Thing:
    """What an event means by a name."""
    return sort, name, dict(event.refs).get(f"{sort}:{name}")


class Walk:
    """Through the events in their order, with what is in each find and bin then."""

    def __init__(self) -> None:
        self.held: dict[tuple[Thing, str], int] = defaultdict(int)
        self.had: dict[UUID, int] = {}  # what a find or bin held just before this event
        self.takers: dict[tuple[Thing, str], list[Event]] = defaultdict(list)
        self.recounts: dict[tuple[Thing, str], list[Event]] = defaultdict(list)
        self.of_find: dict[Thing, list[Event]] = defaultdict(list)
        self.back: dict[UUID, int] = defaultdict(int)  # units of a sale that came back into its find

    def take(self, event: Event) -> None:
        """The next event."""
        what: Any = event.what
        match what:
            case p.Found():
                self.held[thing(event, "find", what.find), ""] += what.mass_mg or 0
            case p.Weighed():
                self._holds(event, thing(event, "find", what.find), "", what)
            case p.Recounted():
                of = thing(event, "bin", what.bin)
                self._holds(event, of, what.grade, what)
                if event.schema > 1:
                    self.recounts[of, what.grade].append(event)
            case p.Opened() | p.Parted() | p.Discarded():
                self._out_of_find(event)
            case p.Returned() if what.bin is None:
                self.held[thing(event, "find", what.find), ""] += what.mass_mg
                self.back[what.sale] += what.count
            case p.Returned():
                self.held[thing(event, "bin", str(what.bin)), str(what.grade)] += what.mass_mg
            case p.Moved():
                self._out(event, thing(event, "bin", what.bin), what.grade, what.mass_mg)
                self.held[thing(event, "bin", what.to_bin), what.to_grade] += what.mass_mg
            case p.Ticketed():
                self._sold(event, what)

    def _holds(self, event: Event, of: Thing, grade: str, what: Any) -> None:
        """A scale was right: of schema 2 about what is there, of schema 1 about the difference to what was known."""
        self.had[event.id] = self.held[of, grade]
        change = what.mass_mg - (self.held[of, grade] if event.schema > 1 else what.was_mg)
        self.held[of, grade] += change
        if change < 0:
            self.takers[of, grade].append(event)

    def _out_of_find(self, event: Event) -> None:
        """More than the find was known to hold came in with it."""
        what: Any = event.what
        of = thing(event, "find", what.find)
        self.had[event.id] = self.held[of, ""]
        pieces = getattr(what, "pieces", ())
        mg = what.mass_mg if not isinstance(what, p.Opened) else what.residue_mg + what.loss_mg
        mg += sum(piece.mass_mg for piece in pieces)
        if mg or _ends(event):
            self.of_find[of].append(event)
        self._out(event, of, "", mg - max(0, mg - what.was_mg))
        for piece in pieces:
            self.held[thing(event, "bin", piece.bin), piece.grade] += piece.mass_mg

    def _sold(self, event: Event, what: p.Ticketed) -> None:
        """A bin gives up one's own mass, whatever the yard says."""
        sums: dict[tuple[Thing, str], int] = defaultdict(int)
        for line in what.lines:
            sums[thing(event, "bin", line.bin), line.grade] += line.own_mg
        for (of, grade), mg in sums.items():
            self._out(event, of, grade, mg)

    def _out(self, event: Event, of: Thing, grade: str, mg: int) -> None:
        self.held[of, grade] -= mg
        if mg > 0:
            self.takers[of, grade].append(event)


def two_devices(one: Event, other: Event) -> bool:
    """Whether it is known that two devices said so."""
    return one.device != "" and other.device not in ("", one.device)


def _ends(event: Event) -> bool:
    return isinstance(event.what, p.Discarded) or bool(getattr(event.what, "closes", False))


def _ended(walk: Walk) -> Iterable[Found]:
    """A find ended on one device, and ended or was taken from on another."""
    for taken in walk.of_find.values():
        events = [e for e in taken if not (e.kind == "sold" and walk.back[e.id] >= cast(p.Parted, e.what).count)]
        clash: set[UUID] = set()
        for one, other in combinations(events, 2):
            for end, taking in ((one, other), (other, one)):
                if not _ends(end):
                    continue
                if _ends(taking):
                    same = one.device == other.device and one.device != ""
                    clash |= set() if same else {one.id, other.id}
                elif two_devices(end, taking):
                    knew = place(taking) < place(end) and cast(Any, end.what).was_mg == walk.had[end.id]
                    clash |= set() if knew else {one.id, other.id}
        if clash:
            yield "ended-twice", frozenset(clash), 0


def _oversold(ordered: list[Event]) -> Iterable[Found]:
    """More of a listing sold and not come back, and taken down by any one device, than it was of."""
    about: dict[Thing, list[Event]] = defaultdict(list)
    for event in ordered:
        if name := getattr(event.what, "listing", None):
            about[thing(event, "listing", name)].append(event)
    for events in about.values():
        units = {kind: [(e, cast(Any, e.what).count) for e in events if e.kind == kind] for kind in LISTING}
        gone = [event for event, _ in (*units["sold"], *units["taken-down"])]
        out = sum(n for _, n in units["sold"]) - sum(n for _, n in units["returned"])
        most = sum(n for _, n in units["listed"])
        down = max((sum(n for e, n in units["taken-down"] if e.device == by.device) for by in gone), default=0)
        if most and out > 0 and out + down > most and any(two_devices(a, b) for a, b in combinations(gone, 2)):
            yield "listing-oversold", frozenset(event.id for event in gone), 0


def _below_zero(walk: Walk) -> Iterable[Found]:
    for (of, grade), mg in walk.held.items():
        if mg < 0:
            last = {event.device: event.id for event in walk.takers[of, grade]}
            yield f"{of[0]}-below-zero", frozenset(last.values()), mg


def _recounts(walk: Walk) -> Iterable[Found]:
    """The last recount did not know what was there, found something else, and the one before is another device's."""
    for events in walk.recounts.values():
        if len(events) > 1:
            before, last = events[-2], events[-1]
            said = cast(p.Recounted, last.what)
            if two_devices(before, last) and walk.had[last.id] not in (said.was_mg, said.mass_mg):
                yield "recounts-differ", frozenset({before.id, last.id}), 0


def _corrections(events: list[Event], counts: set[UUID]) -> Iterable[Found]:
    """Two corrections of one event: both put something in its place that counts, or one just takes it back."""
    made = [e for e in events if isinstance(e.what, p.Corrected) and e.id in counts]

    def becomes(event_id: UUID | None, seen: frozenset[UUID] = frozenset()) -> set[UUID]:
        if event_id is None or event_id in seen:
            return set()
        known = {event_id} if any(e.id == event_id for e in events) and event_id in counts else set()
        further = [cast(p.Corrected, c.what).instead for c in made if cast(p.Corrected, c.what).event == event_id]
        return known or known.union(*(becomes(one, seen | {event_id}) for one in further))

    clash: dict[UUID, set[UUID]] = defaultdict(set)
    for one, other in combinations(made, 2):
        left, right = cast(p.Corrected, one.what), cast(p.Corrected, other.what)
        if left.event == right.event and two_devices(one, other):
            instead = [becomes(left.instead), becomes(right.instead)]
            lapsed = [w.instead is not None and not now for w, now in zip((left, right), instead, strict=True)]
            if not any(lapsed) and instead[0] != instead[1]:
                clash[left.event] |= {one.id, other.id}
    for ids in clash.values():
        yield "corrections-differ", frozenset(ids), 0


def _said(ordered: list[Event]) -> Iterable[Found]:
    """Prices of one buyer, grade, lot and day; and words of the same time on one field, the last that were said."""
    prices: dict[Any, list[tuple[Event, Any]]] = defaultdict(list)
    fields: dict[Any, list[tuple[Event, Any]]] = defaultdict(list)
    for event in ordered:
        what: Any = event.what
        if isinstance(what, p.Quoted):
            prices[what.buyer, what.grade, what.from_mg, what.on].append(
                (event, what.price and (what.price, what.unit))
            )
        for field, value in _words(event):
            fields[field].append((event, value))
    for said in prices.values():
        if ids := _apart(said):
            yield "prices-differ", ids, 0
    for field, said in fields.items():
        latest = _to_the_millisecond(said[-1][0])
        last = [(event, value) for event, value in said if _to_the_millisecond(event) == latest]
        one_day = field[0] == "quote" and len({cast(p.Quoted, event.what).on for event, _ in last}) == 1
        if not one_day and (ids := _apart(last)):
            yield "words-differ", ids, 0


def _to_the_millisecond(event: Event) -> dt.datetime:
    """Events of one device that were said of one time stand some millionths of a second apart."""
    order = place(event)[0]
    return order - dt.timedelta(microseconds=order.microsecond % 1000)


def _apart(said: list[tuple[Event, Any]]) -> frozenset[UUID]:
    """The last events of each device, where what they say differs."""
    last = {event.device: (event.id, value) for event, value in said if event.device}
    values = [value for _, value in last.values()]
    return frozenset(event_id for event_id, _ in last.values()) if any(v != values[0] for v in values) else frozenset()


THINGS = ("find", "bin", "haul", "ticket", "listing", "round")


def _words(event: Event) -> Iterable[tuple[Any, Any]]:
    """The fields that an event has a word on, and the word."""
    sort, name, fields = FIELDS.get(event.kind, ("", (), ()))
    what: Any = event.what
    if sort:
        named = tuple(getattr(what, field) for field in name)
        of = thing(event, sort, named[0]) if sort in THINGS else named
        for field in fields:
            if field == "kind":  # of no catalogue: its name and all that was said of it
                said = (what.mostly, what.cord, what.motor, what.battery, what.size) if what.mostly else ()
                yield (sort, of, field), (what.kind, *said)
            elif event.kind in ("binned", "described") or getattr(what, field) not in (None, (), ""):
                yield (sort, of, field), getattr(what, field)
        if not fields:
            yield (sort, of), what
        if event.kind in ("sold", "opened", "discarded", "returned"):
            yield from _closed(event)
        if event.kind == "found":
            yield (sort, of, "found"), event.happened


def _closed(event: Event) -> Iterable[tuple[Any, Any]]:
    """That nothing of a find is left, or that something is there again."""
    what: Any = event.what
    of = thing(event, "find", what.find)
    if _ends(event):
        yield ("find", of, "closed"), "yes"
    if event.kind == "returned" and what.bin is None:
        yield ("find", of, "closed"), "no"


LISTING = ("listed", "sold", "returned", "taken-down")
FIELDS: dict[str, tuple[str, tuple[str, ...], tuple[str, ...]]] = {  # no fields: the whole payload is one word
    "found": ("find", ("find",), ("kind", "count", "works", "source", "note", "photo", "model")),
    "tested": ("find", ("find",), ("works",)),
    "binned": ("bin", ("bin",), ("grade", "name", "capacity_l")),
    "traded": ("buyer", ("buyer",), ()),
    "quoted": ("quote", ("buyer", "grade", "from_mg"), ()),
    "set": ("setting", ("name",), ("value",)),
    "ruled": ("rule", ("card",), ()),
    "described": ("kind", ("kind",), ("anatomy",)),
    "ticketed": ("ticket", ("ticket",), ()),
    "listed": ("listing", ("listing",), ("asking", "count")),
    "repriced": ("listing", ("listing",), ("asking",)),
    "hauled": ("haul", ("haul",), ("status", "stops", "km", "minutes")),
    "round": ("round", ("round",), ("status", "where", "minutes", "km", "left")),
}
