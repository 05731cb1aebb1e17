"""A haul looked at: its tickets with what to ask about them, and what was planned against what came of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from partway.actions.haul.after_words import after_lines
from partway.actions.haul.window import sentence, verdict
from partway.actions.recording.describe import Say, careful
from partway.actions.recording.naming import tell_haul, thing_named
from partway.catalogue import shipped
from partway.catalogue.cards import cards_of_grades
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.quantities import shown
from partway.reports.haul.expected_ticket import ExpectedLine, HaulSheet, StopNow, haul_sheet


def haul_shown(book: Book, given: str, now: dt.datetime) -> HaulSheet:
    """The haul that a text names. Raises Refused."""
    name = thing_named(given, trading.hauls(book), "haul", "haul", lambda key: tell_haul(book, key))
    found = haul_sheet(book, name, shipped().grades, now)
    if found is None:
        raise Refused(shown(given), "a haul that is there", "haul")
    return found


def haul_lines_of(sheet: HaulSheet, say: Say) -> Iterator[str]:
    """Its lines, what can hurt first: what each stop was to get, or what its tickets say."""
    cards = cards_of_grades(grade for stop in sheet.stops for grade in grades_at(stop))
    yield from careful(cards)
    yield f"{sheet.haul}, {sheet.status}: {say.money(sheet.printed)} on tickets, {say.money(sheet.paid)} came in"
    for stop in sheet.stops:
        fee = f", its fee of {say.money(stop.fee)} off" if stop.fee else ""
        yield f"  {stop.name}: should come to {say.money(stop.expected)}{fee}"
        for line in () if stop.tickets else stop.lines:
            yield f"    took along {_took(line, say)}"
        for ticket in stop.tickets:
            yield f"    {ticket.number or ticket.ticket}: {say.money(ticket.total)}. {verdict(ticket)}"
            said = sentence(ticket, say)
            if said:
                yield f'      "{said}"'
    if sheet.after is not None:
        yield from after_lines(sheet.after, say)


def grades_at(stop: StopNow) -> list[str]:
    """The grades that ride to a stop, or that its tickets name."""
    return [*(line.grade for line in stop.lines), *(line.grade for t in stop.tickets for line in t.lines)]


def _took(line: ExpectedLine, say: Say) -> str:
    elsewhere = f" ({say.mass(line.short_mg)} more are with {', '.join(line.held_by)})" if line.short_mg else ""
    return f"{say.mass(line.took_mg)} of {line.name}{elsewhere}"
