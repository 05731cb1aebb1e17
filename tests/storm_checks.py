"""What must hold of a ledger that several processes wrote to at once: nothing here looks at how it was kept apart.

Their ids are made inside the transaction, so by them the events stand as they were recorded, on one device. In that
order every event has to agree with the ones before it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from ledgers.servers import due, kept

from partway.ledger.balance.sheet import sheet
from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.fold.fold import EMPTY, fold
from partway.storage.store import SqlBook


def violations(book: SqlBook, entries: Sequence[Mapping[str, Any]], before: Collection[str]) -> list[str]:
    """What does not hold; `before` are the ids of events that were there at first."""
    events = list(book.events())
    found = [f"broken: {entry['broken']}" for entry in entries if "broken" in entry]
    found += [f"refused without a reason: {e}" for e in entries if "refused" in e and "; expected " not in e["refused"]]
    found += _acknowledged(events, entries, before)
    found += _names(book.recorded())
    found += _in_order(events)
    if kept(book) != due(book):
        found.append("read models that differ from what the events say")
    return found


def _acknowledged(events: list[Event], entries: Sequence[Mapping[str, Any]], before: Collection[str]) -> list[str]:
    there = {str(event.id) for event in events} - set(before)
    said = Counter(event_id for entry in entries for event_id in entry.get("events", ()))
    missing, unsaid = set(said) - there, there - set(said)
    found = [f"{len(missing)} events acknowledged and not there"] if missing else []
    found += [f"{len(unsaid)} events there that nobody was told of"] if unsaid else []
    return found + [f"event {event_id} acknowledged {n} times" for event_id, n in said.items() if n > 1]


def _names(events: Iterable[Event]) -> list[str]:
    """A find, a ticket, a haul set out on: each has a name of its own, also those taken back since."""
    made = Counter(name for event in events for name in _made(event.what))
    return [f"{name} {count} times" for name, count in made.items() if count > 1]


def _made(what: p.Payload) -> Iterator[str]:
    if isinstance(what, p.Found):
        yield what.find
    if isinstance(what, p.Ticketed):
        yield what.ticket
    if isinstance(what, p.Hauled) and what.status == "started":
        yield what.haul


def _in_order(events: list[Event]) -> list[str]:
    """Event after event: what each says was there before it was there, and after each action nothing is below zero."""
    found, state = [], EMPTY
    for _, action in groupby(sorted(events, key=lambda e: e.id), key=lambda e: (e.typed, e.who)):
        for event in action:
            for place, was in _was(event.what):
                held = sum(mg for key, mg in state.balances.items() if key[0] == place)
                if held != was:
                    found.append(f"{event.kind} of {place} that held {held} mg and says {was} mg")
            state = fold([event], state)
        now = sheet(state.balances)
        if now.apart_mg or now.short:
            found.append(f"after {event.kind} {event.id}: {now.apart_mg} mg apart, below zero {dict(now.short)}")
    return found


def _was(what: p.Payload) -> Iterator[tuple[str, int]]:
    if isinstance(what, p.Recounted):
        yield f"bin:{what.bin}", what.was_mg
    if isinstance(what, p.Weighed | p.Opened | p.Parted | p.Discarded):
        yield f"find:{what.find}", what.was_mg
