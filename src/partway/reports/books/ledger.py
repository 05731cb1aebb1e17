"""The ledger as lines to read: what happened, when, in words, and what no longer counts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from partway.distances import format_km_in
from partway.ledger.book import Book
from partway.ledger.days import clock_text
from partway.ledger.events.event import Event
from partway.ledger.events.fields import identifier
from partway.ledger.events.payload import Payload
from partway.ledger.events.sorts import Sort
from partway.ledger.events.words import said
from partway.quantities import format_mass_in
from partway.reports.called import Called
from partway.things.buyers import share_text
from partway.things.units import ShownUnits

TAIL = 8  # characters of an id that name an event: its end is random, its beginning is the time
# Sorts of things that people have a name for.
NAMED = ("find", "bin", "buyer", "haul", "ticket", "round")
WITH_DAY = ("haul", "ticket")  # by their day alone: with whom is said beside it
AFTER = {"minutes": " min", "litres": " L"}
WORKS = {"yes": "works", "no": "does not work", "unknown": "condition unknown"}


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """One event. `id` is what `partway correct` takes; `counts` is False once it was corrected."""

    id: str
    happened: str
    kind: str
    who: str
    words: str
    counts: bool


@dataclass(frozen=True, slots=True)
class LedgerLines:
    """Events in the order in which they happened, the last `len(lines)` of `of`."""

    lines: tuple[LedgerLine, ...]
    of: int


def report_ledger(
    book: Book,
    units: ShownUnits,
    zone: dt.tzinfo | None,
    kinds: Sequence[str] = (),
    subject: str | None = None,
    since: dt.datetime | None = None,
    until: dt.datetime | None = None,
    most: int | None = None,
    called: Called | None = None,
) -> LedgerLines:
    """Events by kind, subject and time, the `most` that happened last, in `units` and with the times of `zone`.

    What was typed days later stands where it happened. Things are called by their names where `called` is there.
    """
    voided = book.voided()
    events = sorted(book.events(kinds, subject, since, until), key=lambda event: (event.happened, event.position))
    shown = events if most is None else events[-most:] if most else []
    lines = (ledger_line(event, event.id not in voided, units, zone, called) for event in shown)
    return LedgerLines(tuple(lines), len(events))


def ledger_line(
    event: Event, counts: bool, units: ShownUnits, zone: dt.tzinfo | None, called: Called | None = None
) -> LedgerLine:
    """One event as a line; with what people call things, where `called` is there to say it."""
    return LedgerLine(
        str(event.id)[-TAIL:],
        clock_text(event.happened, zone),
        event.kind,
        event.who,
        words(event.what, units, called),
        counts,
    )


def words(what: Payload, units: ShownUnits, called: Called | None = None) -> str:
    """What an event says in `units`; to the letter, or with the names of `called` in place of ids."""
    return said(what, lambda value, sort: _shown(value, sort, units, called))


def _shown(value: Any, sort: Sort, units: ShownUnits, called: Called | None) -> str:
    if called is not None and (name := _named(value, sort, called)) is not None:
        return name
    if sort.name == "mass":
        return format_mass_in(value / 1e6, units.mass)
    if sort.name == "km":
        return format_km_in(value, units.distance)
    if isinstance(value, UUID):
        return str(value)[-TAIL:]
    if sort.name == "works":
        return WORKS[value]
    if sort.name == "share":
        return share_text(value)
    if sort.name == "anatomy":
        return _anatomy_said(value)
    return f"{value}{AFTER.get(sort.name, '')}"


def _named(value: Any, sort: Sort, called: Called) -> str | None:
    """What people call what a value is the id of; None where it is no id."""
    if isinstance(value, UUID):
        return _act(value, called)
    if sort.names == "listing":
        return _offer(value, called)
    if isinstance(value, dt.date):
        return called.day(value)
    if sort.names in NAMED:
        name = str(getattr(called, sort.names)(value))
        return name.partition(", ")[0] if sort.names in WITH_DAY else name
    if sort.name in ("grade", "kind"):
        return str(getattr(called, sort.name)(value))
    if sort.read is identifier:
        if value in called.catalogue.grades:
            return called.grade(value)
        return str(value).rpartition(".")[2].replace("-", " ")
    return None


def _act(event_id: UUID, called: Called) -> str:
    """An event by what it was: "the opening of the microwave"."""
    event = called.book.event(event_id)
    return called.act(event.what) if event else "something that is not known here"


def _offer(listing: str, called: Called) -> str:
    """An offer by what it is of: "the offer of the sewing machine"."""
    maker = called.book.makers([f"listing:{listing}"]).get(f"listing:{listing}")
    made = called.book.event(maker) if maker else None
    return called.act(made.what) if made else "an offer"


def _anatomy_said(text: str) -> str:
    """A kind of one's own in a few words."""
    from partway.catalogue.own import summary  # the forms of files are slow to make, and few lines need them

    return summary(text)
