"""The form of a ticket: as many rows as are asked for, each read field by field."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from partway.actions.buyers.quoting import price_said
from partway.actions.haul.tickets import LineGiven
from partway.actions.recording import reading
from partway.actions.recording.describe import Say
from partway.errors import Refused
from partway.ledger.book import Book
from partway.quantities import plain_text
from partway.reports.haul.expected_ticket import ExpectedLine
from partway.web.forms import Form, LineField, Typed

DEDUCTIONS = 2
OWN = "by my scale: a mass, all for the whole bin, yard for what the ticket says; empty: all of it where that is near"
PARTS = ("grade", "mass", "price", "amount", "own", "bin")


class TicketForm(Form):
    """A ticket without its rows, which are added by `ticket_blank`."""

    number = LineField("Number on the ticket", "may stay empty")
    total = LineField("Total as printed", "empty: what the lines make", mode="decimal")
    on = LineField("When", "empty for now; yesterday, 2026-03-14 15:30")

    def deductions(self) -> Iterator[tuple[str, str]]:
        """What was taken off, and how much."""
        for n in range(DEDUCTIONS):
            yield (self[f"less_{n}"].data or "").strip(), (self[f"off_{n}"].data or "").strip()

    def row(self, n: int) -> dict[str, Any]:
        """The fields of a row, by their part."""
        return {part: self[f"{part}_{n}"] for part in PARTS}

    @property
    def less(self) -> list[tuple[Any, Any]]:
        """Fields for what was taken off."""
        return [(self[f"less_{n}"], self[f"off_{n}"]) for n in range(DEDUCTIONS)]


def ticket_blank(
    typed: Typed | None, rows: int, lines: Sequence[ExpectedLine], say: Say, *, masses: bool = False
) -> TicketForm:
    """A form of so many rows. Planned lines fill their grade, price and bin; their mass only where that is asked for:
    what a ticket says is read off the ticket.
    """
    fields: dict[str, Any] = {}
    for n in range(rows):
        fields |= {
            f"grade_{n}": LineField("Grade"),
            f"mass_{n}": LineField("Net mass", mode="decimal"),
            f"price_{n}": LineField("Price"),
            f"amount_{n}": LineField("Amount", "empty: mass times price", mode="decimal"),
            f"own_{n}": LineField("What left the bin", OWN),
            f"bin_{n}": LineField("Out of bin", "empty: the grade's own"),
        }
    for n in range(DEDUCTIONS):
        fields |= {f"less_{n}": LineField("Taken off for"), f"off_{n}": LineField("Amount taken off", mode="decimal")}
    values = {} if typed else dict(_planned(lines[:rows], say, masses=masses))
    blank: TicketForm = type("RowsBlank", (TicketForm,), fields)(typed, **values)
    return blank


def _planned(lines: Sequence[ExpectedLine], say: Say, *, masses: bool) -> Iterator[tuple[str, str]]:
    for n, line in enumerate(lines):
        yield f"grade_{n}", line.grade
        if line.price is not None:
            yield f"price_{n}", f"{plain_text(line.price)} /{line.unit}"
        if masses and line.planned_mg is not None:
            yield f"mass_{n}", say.mass(line.planned_mg)


def lines_given(book: Book, form: TicketForm, rows: int) -> list[LineGiven]:
    """The rows that say a mass, each field read here first: what is wrong stands beside it. Raises Refused."""
    found = []
    for n in range(rows):
        text = {part: (field.data or "").strip() for part, field in form.row(n).items()}
        if not text["mass"] and not text["amount"]:
            continue
        found.append(_line(book, text, n))
    if not found:
        raise Refused("no row with a mass", "at least one line of the ticket", "mass_0")
    return found


def _line(book: Book, text: dict[str, str], n: int) -> LineGiven:
    grade = reading.grade(text["grade"], f"grade_{n}")
    reading.mass_mg(book, text["mass"], f"mass_{n}")
    price = reading.pointed(book, text["price"], f"price_{n}")
    price_said(price, reading.currency(book), f"price_{n}")
    if text["amount"]:
        reading.money(book, text["amount"], f"amount_{n}", negative=True)
    own = text["own"].lower()
    if own and own not in {"all", "yard"}:
        reading.mass_mg(book, own, f"own_{n}")
    return LineGiven(grade, text["mass"], price, text["amount"] or None, own or None, text["bin"])


def names_for(form: TicketForm, rows: int) -> dict[str, str]:
    """Where the action's own words for a line lead: to the row's own scale, which is what is left to be unclear."""
    names = {"less": "off_0", "ticket": "mass_0"}
    for n in reversed(range(rows)):
        grade = (form[f"grade_{n}"].data or "").strip().lower()
        if grade and (form[f"mass_{n}"].data or "").strip():
            names[f"line {grade}"] = f"own_{n}"
    return names
