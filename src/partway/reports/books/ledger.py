"""The ledger as lines to read: what happened, when, in words, and what no longer counts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from partway.ledger.book import Book
from partway.ledger.days import clock_text
from partway.ledger.events import payloads as p
from partway.ledger.events.event import Event
from partway.quantities import format_mass_in

TAIL = 8  # characters of an id that name an event: its end is random, its beginning is the time


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
class LedgerPage:
    """Events in the order they were typed, the last `len(lines)` of `of`."""

    lines: tuple[LedgerLine, ...]
    of: int


def report_ledger(
    book: Book,
    unit: str,
    zone: dt.tzinfo | None,
    kinds: Sequence[str] = (),
    subject: str | None = None,
    since: dt.datetime | None = None,
    until: dt.datetime | None = None,
    most: int | None = None,
) -> LedgerPage:
    """Events by kind, subject and time, the latest `most` of them; masses in `unit`, times in `zone`."""
    voided = book.voided()
    events = list(book.events(kinds, subject, since, until))
    shown = events if most is None else events[-most:] if most else []
    return LedgerPage(tuple(ledger_line(event, event.id not in voided, unit, zone) for event in shown), len(events))


def ledger_line(event: Event, counts: bool, unit: str, zone: dt.tzinfo | None) -> LedgerLine:
    """One event as a line."""
    return LedgerLine(
        str(event.id)[-TAIL:],
        clock_text(event.happened, zone),
        event.kind,
        event.who,
        words(event, unit),
        counts,
    )


def words(event: Event, unit: str) -> str:
    """What an event says."""
    return SAID[type(event.what)](event.what, Masses(unit))


@dataclass(frozen=True)
class Masses:
    """Masses in one unit."""

    unit: str

    def __call__(self, mg: int) -> str:
        """A mass in milligrams, for people."""
        return format_mass_in(mg / 1e6, self.unit)


def _found(w: p.Found, mass: Masses) -> str:
    weight = f", {mass(w.mass_mg)}" if w.mass_mg else ""
    where = f", from {w.source}" if w.source else ""
    works = {"yes": ", works", "no": ", does not work", "unknown": ""}[w.works]
    note = f" ({w.note})" if w.note else ""
    return f"{w.find}: {f'{w.count} × ' if w.count > 1 else ''}{w.kind}{weight}{works}{where}{note}"


def _opened(w: p.Opened, mass: Masses) -> str:
    if w.gives_up:
        return f"{w.find} given up into {w.pieces[0].bin}, {mass(w.pieces[0].mass_mg)}"
    pieces = ", ".join(f"{piece.piece} {mass(piece.mass_mg)} into {piece.bin}" for piece in w.pieces)
    rest = "".join(f", {mass(mg)} {name}" for name, mg in (("residue", w.residue_mg), ("loss", w.loss_mg)) if mg)
    minutes = f" in {w.minutes} min" if w.minutes else ""
    return f"{w.find} opened{minutes}: {pieces or 'nothing weighed'}{rest}{'' if w.closes else '; not yet all'}"


def _sold(w: p.Parted, _: Masses) -> str:
    return f"{f'{w.count} × ' if w.count > 1 else ''}{w.what} of {w.find} sold at {w.price}"


def _traded(w: p.Traded, _: Masses) -> str:
    km = f", {w.km} km" if w.km is not None else ""
    refuses = f", refuses {', '.join(w.refuses)}" if w.refuses else ""
    return f"{w.buyer}: {w.kind}{km}{refuses}"


def _quoted(w: p.Quoted, mass: Masses) -> str:
    tier = f" from {mass(w.from_mg)}" if w.from_mg else ""
    least = f", at least {mass(w.minimum_mg)}" if w.minimum_mg else ""
    price = "not taken any more" if w.price is None else f"{w.price} /{w.unit}"
    return f"{w.buyer} {w.grade}{tier}: {price}{least}"


def _moved(w: p.Moved, mass: Masses) -> str:
    grade = f", as {w.to_grade}" if w.to_grade != w.grade else ""
    return f"{mass(w.mass_mg)} from {w.bin} to {w.to_bin}{grade}"


def _ticketed(w: p.Ticketed, mass: Masses) -> str:
    lines = ", ".join(f"{line.grade} {mass(line.mass_mg)} at {line.price} /{line.unit}" for line in w.lines)
    return f"{w.ticket}, {w.buyer}: {lines}; total {w.total}"


def _how(how: str) -> str:
    return f" ({how})" if how else ""


def _hauled(w: p.Hauled, _: Masses) -> str:
    km = f", {w.km} km" if w.km is not None else ""
    minutes = f", {w.minutes} min" if w.minutes is not None else ""
    return f"{w.haul} {w.status}: {', '.join(w.stops)}{km}{minutes}"


def _binned(w: p.Binned, _: Masses) -> str:
    capacity = f", {w.capacity_l} L" if w.capacity_l is not None else ""
    return f"bin {w.bin} for {w.grade}{f', {w.name}' if w.name else ''}{capacity}"


def _identified(w: p.Identified, mass: Masses) -> str:
    count = f"{w.count} × " if w.count > 1 else ""
    weight = f", {mass(w.mass_mg)}" if w.mass_mg is not None else ""
    return f"{count}{w.material} from {w.context}{weight}{f', for bin {w.grade}' if w.grade else ''}"


def _corrected(w: p.Corrected, _: Masses) -> str:
    instead = f", {str(w.instead)[-TAIL:]} instead" if w.instead else ""
    return f"{str(w.event)[-TAIL:]} taken back{instead}{f': {w.why}' if w.why else ''}"


SAID: dict[type, Callable[[Any, Masses], str]] = {
    p.Found: _found,
    p.Tested: lambda w, _: f"{w.find} { ({'yes': 'works', 'no': 'does not work'}.get(w.works, 'condition unknown')) }",
    p.Weighed: lambda w, mass: f"{w.find} weighs {mass(w.mass_mg)}",
    p.Opened: _opened,
    p.Binned: _binned,
    p.Recounted: lambda w, mass: f"bin {w.bin} holds {mass(w.mass_mg)}, it was down as {mass(w.was_mg)}",
    p.Moved: _moved,
    p.Parted: _sold,
    p.Discarded: lambda w, mass: f"{w.find} given up, {mass(w.mass_mg)}",
    p.Traded: _traded,
    p.Quoted: _quoted,
    p.Set: lambda w, _: f"{w.name} = {w.value}",
    p.Hauled: _hauled,
    p.Ticketed: _ticketed,
    p.Paid: lambda w, _: f"{w.buyer} paid {w.amount}{f' for {w.ticket}' if w.ticket else ''}{_how(w.how)}",
    p.Spent: lambda w, _: f"{w.what}: {w.amount} ({w.category})",
    p.Worked: lambda w, _: f"{w.minutes} min {w.activity}{f' on {w.find}' if w.find else ''}",
    p.Identified: _identified,
    p.Ruled: lambda w, _: f"{w.card}: {w.says} ({w.source}, seen {w.seen})",
    p.Corrected: _corrected,
}
