"""The form of a ticket: as many rows as are asked for, each read field by field."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from partway.actions.buyers.quoting import price_said
from partway.actions.haul.tickets import LineGiven
from partway.actions.haul.tickets_so_far import TypedLine
from partway.actions.recording import reading
from partway.actions.recording.describe import Say
from partway.errors import Refused
from partway.ledger.book import Book
from partway.quantities import plain_text
from partway.reports.haul.expected_ticket import ExpectedLine
from partway.web.forms import Form, LineField, Typed

DEDUCTIONS = 2
OWN = "by my scale: a mass, all for the whole bin, yard for what the ticket says; empty: what the haul took along"
PARTS = ("grade", "mass", "price", "amount", "own", "bin")


class TicketForm(Form):
    """A ticket without its rows, which are added by `ticket_blank`. `lines` are what the haul took along to here."""

    number = LineField("Number on the ticket", "may stay empty")
    total = LineField("Total as printed", "empty: what the lines make, its fee off", mode="decimal")
    on = LineField("When", "empty for now; yesterday, 2026-03-14 15:30")
    lines: Sequence[ExpectedLine] = ()

    def deductions(self) -> Iterator[tuple[str, str]]:
        """What was taken off, and how much."""
        for n in range(DEDUCTIONS):
            yield (self[f"less_{n}"].data or "").strip(), (self[f"off_{n}"].data or "").strip()

    def row(self, n: int) -> dict[str, Any]:
        """The fields of a row, by their part."""
        return {part: self[f"{part}_{n}"] for part in PARTS}

    def texts(self, n: int) -> dict[str, str]:
        """What a row says: a price that was left empty is the one expected, a bare one is per the same unit."""
        text = {part: (field.data or "").strip() for part, field in self.row(n).items()}
        line = self.lines[n] if n < len(self.lines) else None
        if line is not None and line.price is not None and text["grade"] == line.grade:
            text["price"] = text["price"] or f"{plain_text(line.price)} /{line.unit}"
        return text

    def typed_line(self, book: Book, n: int) -> TypedLine:
        """A row for its sum so far; a price that cannot be read yet stays as it is."""
        text = self.texts(n)
        return TypedLine(text["mass"], _priced(book, text["price"], "", self.unit_of(n)), text["amount"])

    def unit_of(self, n: int) -> str:
        """What a bare price of a row is per."""
        return self.lines[n].unit if n < len(self.lines) else ""

    @property
    def less(self) -> list[tuple[Any, Any]]:
        """Fields for what was taken off."""
        return [(self[f"less_{n}"], self[f"off_{n}"]) for n in range(DEDUCTIONS)]

    @property
    def wrong(self) -> list[tuple[str, str, str]]:
        """As of any form, each field of a row with the row's number and name."""
        return [(id_, f"{self._row_name(id_)}{label}", said) for id_, label, said in super().wrong]

    def _row_name(self, field: str) -> str:
        part, _, n = field.rpartition("_")
        if part not in PARTS:
            return ""
        name = f", {self.lines[int(n)].name}" if int(n) < len(self.lines) else ""
        return f"Line {int(n) + 1}{name}: "

    @property
    def first_wrong(self) -> str:
        """The name of the first field that something is wrong with, "" for none."""
        return next((field.name for field in self if field.errors), "")


def ticket_blank(
    typed: Typed | None, rows: int, lines: Sequence[ExpectedLine], say: Say, unit: str, *, masses: bool = False
) -> TicketForm:
    """A form of so many rows. What the haul took along fills their grade and bin; a price that stays empty is the
    expected one. Their masses are filled in only where that is asked for: what a ticket says is read off the ticket.
    `unit` is the workspace's, of a bare number.
    """
    fields: dict[str, Any] = {}
    for n in range(rows):
        fields |= _row_fields(n, lines[n] if n < len(lines) else None, unit)
    for n in range(DEDUCTIONS):
        fields |= {f"less_{n}": LineField("Taken off for"), f"off_{n}": LineField("Amount taken off", mode="decimal")}
    values = {} if typed else dict(_taken_along(lines[:rows], say, masses=masses))
    blank: TicketForm = type("RowsBlank", (TicketForm,), fields)(typed, **values)
    blank.lines = lines
    return blank


def _row_fields(n: int, line: ExpectedLine | None, unit: str) -> dict[str, Any]:
    price = f"Other price, /{line.unit}" if line and line.price is not None else "Price"
    return {
        f"grade_{n}": LineField("Grade"),
        f"mass_{n}": LineField(f"Net mass, {unit}" if unit else "Net mass", mode="decimal"),
        f"price_{n}": LineField(price, mode="decimal" if line else "text"),
        f"amount_{n}": LineField("Amount", "empty: mass times price", mode="decimal"),
        f"own_{n}": LineField("What left the bin", OWN),
        f"bin_{n}": LineField("Out of bin", "empty: the grade's own"),
    }


def _taken_along(lines: Sequence[ExpectedLine], say: Say, *, masses: bool) -> Iterator[tuple[str, str]]:
    for n, line in enumerate(lines):
        yield f"grade_{n}", line.grade
        yield f"bin_{n}", line.bin
        if masses and line.took_mg:
            yield f"mass_{n}", say.mass(line.took_mg)


def lines_given(book: Book, form: TicketForm, rows: int) -> list[LineGiven]:
    """The rows that say a mass, each field read here first: what is wrong stands beside it. Raises Refused."""
    found = []
    for n in range(rows):
        text = form.texts(n)
        if text["mass"] or text["amount"]:
            found.append(_line(book, text, n, form.unit_of(n)))
    if not found:
        raise Refused("no row with a mass", "at least one line of the ticket", "mass_0")
    return found


def _line(book: Book, text: dict[str, str], n: int, unit: str) -> LineGiven:
    grade = reading.grade(text["grade"], f"grade_{n}")
    reading.mass_mg(book, text["mass"], f"mass_{n}")
    price = reading.price(book, text["price"], f"price_{n}", unit)
    price_said(price, reading.currency(book), f"price_{n}")
    if text["amount"]:
        reading.money(book, text["amount"], f"amount_{n}", negative=True)
    own = text["own"].lower()
    if own and own not in {"all", "yard"}:
        reading.mass_mg(book, own, f"own_{n}")
    return LineGiven(grade, text["mass"], price, text["amount"] or None, own or None, text["bin"], f"row_{n}")


def _priced(book: Book, text: str, where: str, unit: str) -> str:
    try:
        return reading.price(book, text, where, unit)
    except Refused:
        return text


def names_for(rows: int) -> dict[str, str]:
    """Where the action's own words for a line lead: to its bin, or else to what left it, all else having been read."""
    names = {"less": "off_0", "ticket": "mass_0"}
    for n in range(rows):
        names |= {f"row_{n} bin": f"bin_{n}", f"row_{n}": f"own_{n}"}
    return names
