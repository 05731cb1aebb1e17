"""A ticket that was read in a photograph, as the fields of its form."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from partway.actions.recording import reading
from partway.catalogue import shipped
from partway.display import decimal_comma
from partway.ledger.book import Book
from partway.ledger.fold.standing import settings
from partway.pricelist.tickets.rows import TicketRow, TicketText, read_ticket
from partway.reports.haul.expected_ticket import ExpectedLine
from partway.web.forms import Typed


def ticket_in(book: Book, text: str) -> TicketText:
    """What the lines of text say, in the workspace's currency, unit and way of writing numbers. Raises Refused."""
    said = settings(book)
    comma = said.get("locale") is not None and decimal_comma(said["locale"])
    return read_ticket(text, shipped().grades, reading.currency(book), said.get("unit", ""), comma=comma)


def rows_read(found: TicketText, lines: Sequence[ExpectedLine], most: int) -> tuple[dict[int, TicketRow], int]:
    """Each line in the row of the grade that it is of, where the haul took that along, else in a row behind those; and
    how many rows that makes.
    """
    read: dict[int, TicketRow] = {}
    behind = len(lines)
    for row in found.rows:
        at = next((n for n, line in enumerate(lines) if n not in read and row.grade == line.grade), None)
        if at is None:
            at, behind = behind, behind + 1
        if at < most:
            read[at] = row
    return read, max(1, min(behind, most))


def typed_of(found: TicketText, read: Mapping[int, TicketRow], rows: int, lines: Sequence[ExpectedLine]) -> Typed:
    """The form as if somebody had typed it. An amount is given where it may not be what the line makes."""
    pairs = [("rows", str(rows)), ("total", found.total), ("number", found.number)]
    for n in range(rows):
        line, row = lines[n] if n < len(lines) else None, read.get(n)
        pairs += [(f"grade_{n}", line.grade if line else ""), (f"bin_{n}", line.bin if line else "")]
        if row is None:
            continue
        amount = row.amount if row.doubts else ""
        pairs += [(f"mass_{n}", row.mass), (f"price_{n}", row.price), (f"amount_{n}", amount)]
        if line is None:
            pairs.append((f"grade_{n}", row.grade))
    return Typed(pairs)
