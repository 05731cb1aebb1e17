"""A haul looked at: its tickets with what to ask about them, and what was planned against what came of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from partway.actions.haul.after_words import after_lines
from partway.actions.haul.window import sentence, verdict
from partway.actions.recording.describe import Say
from partway.actions.recording.naming import tell_haul, thing_named
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.quantities import shown
from partway.reports.haul.expected_ticket import HaulSheet, haul_sheet


def haul_shown(book: Book, given: str, now: dt.datetime) -> HaulSheet:
    """The haul that a text names. Raises Refused."""
    name = thing_named(given, trading.hauls(book), "haul", "haul", lambda key: tell_haul(book, key))
    found = haul_sheet(book, name, shipped().grades, now)
    if found is None:
        raise Refused(shown(given), "a haul that is there", "haul")
    return found


def haul_lines_of(sheet: HaulSheet, say: Say) -> Iterator[str]:
    """Its lines."""
    yield f"{sheet.haul}, {sheet.status}: {say.money(sheet.printed)} on tickets, {say.money(sheet.paid)} came in"
    for stop in sheet.stops:
        yield f"  {stop.name}: should come to {say.money(stop.expected)}"
        for ticket in stop.tickets:
            yield f"    {ticket.number or ticket.ticket}: {say.money(ticket.total)}. {verdict(ticket)}"
            said = sentence(ticket, say)
            if said:
                yield f'      "{said}"'
    if sheet.after is not None:
        yield from after_lines(sheet.after, say)
