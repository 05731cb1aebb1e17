"""A ticket said anew: its buyer, its total, and its lines one by one."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from partway.actions.bins.bins import bin_named
from partway.actions.books.changes import mass_text
from partway.actions.buyers.buyers import buyer_named
from partway.actions.buyers.quoting import unit_price
from partway.actions.haul.tickets import LineReader, not_adding_up, odd_in
from partway.actions.haul.tickets_read import line_given
from partway.actions.recording import reading
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.kinds import Ticketed, TicketLine
from partway.ledger.fold import standing
from partway.quantities import shown
from partway.valuing.trips.ticket_sums import FEE, fee_due, gap_of, worked_out

FIELD = re.compile(r"line_?(?P<n>[1-9]\d{0,2})(?:\.(?P<part>mass|own|price|amount|bin))?")
ADD = "line+"


def is_of_lines(name: str) -> bool:
    """Whether a field is the ticket's buyer, a line, or something of a line: buyer, line+, line1, line1.mass."""
    return name in {ADD, "buyer"} or FIELD.fullmatch(name) is not None


def ticket_fields(what: Ticketed) -> dict[str, str]:
    """A ticket's buyer and lines as they stand, by the names of their fields."""
    found = {"buyer": what.buyer}
    for n, line in enumerate(what.lines, start=1):
        found |= {
            f"line{n}.mass": mass_text(line.mass_mg),
            f"line{n}.own": mass_text(line.own_mg),
            f"line{n}.price": f"{line.price} /{line.unit}",
            f"line{n}.amount": str(line.amount),
            f"line{n}.bin": line.bin,
        }
    return {**found, ADD: ""}


def changed_ticket(
    book: Book, before: Ticketed, after: Ticketed, changes: Mapping[str, str], as_printed: bool | None
) -> Ticketed:
    """The ticket with other lines or another buyer, `after` being what its plain fields say by now. Where no total is
    said it follows its lines, if it did before. Arithmetic that does not add up is asked about, as `ticket` does.
    """
    lines: list[TicketLine | None] = list(before.lines)
    buyer = buyer_named(book, changes["buyer"]) if "buyer" in changes else buyer_named(book, before.buyer)
    by_line: dict[int, dict[str, str]] = {}
    for name, text in changes.items():
        match = FIELD.fullmatch(name)
        if match is not None:
            by_line.setdefault(_index(lines, match["n"], name), {})[match["part"] or ""] = text
    for index, said in by_line.items():
        line = lines[index]
        if line is not None:
            lines[index] = _line(book, line, said, f"line{index + 1}")
    if ADD in changes:
        reader = LineReader(book, standing.bins(book), exact=True)
        lines.append(reader.line(line_given(changes[ADD])))
        if reader.regrades:
            raise _as_another_grade(ADD)
    kept = tuple(line for line in lines if line is not None)
    if not kept:
        raise Refused("a ticket without a line", "at least one line; or take the ticket back", "set")
    ticket = replace(after, buyer=buyer.buyer, lines=kept)
    followed = before.total == adds_up(before) and "total" not in changes
    if followed:
        ticket = _fee_follows(book, before, ticket)
        ticket = replace(ticket, total=adds_up(ticket))
    known = frozenset(odd_in(book, before))
    odd = [said for said in odd_in(book, ticket, total=gap_of(ticket) != gap_of(before)) if said not in known]
    if odd and not as_printed:
        raise not_adding_up(odd)
    return ticket


def _fee_follows(book: Book, before: Ticketed, after: Ticketed) -> Ticketed:
    """A fee that was just what the buyer's terms say is so of the other lines, too."""
    known, currency = trading.buyers(book), reading.currency(book)
    was, now = (fee_due([line.amount for line in of.lines], known.get(of.buyer), currency) for of in (before, after))
    less = tuple(replace(d, amount=now) if (d.what, d.amount) == (FEE, was) else d for d in after.deductions)
    return replace(after, deductions=less)


def adds_up(ticket: Ticketed) -> Decimal:
    """What its lines less its deductions make."""
    return ticket.total - gap_of(ticket)


def _index(lines: list[TicketLine | None], n: str, where: str) -> int:
    if int(n) > len(lines):
        raise Refused(shown(f"line{n}"), f"a line from 1 to {len(lines)}, or {ADD} for one more", where)
    return int(n) - 1


def _line(book: Book, line: TicketLine, said: Mapping[str, str], where: str) -> TicketLine | None:
    """The line with what was said of it; None where it is taken off the ticket."""
    regraded = standing.bins(book)[line.bin].grade != line.grade if line.bin in standing.bins(book) else True
    if regraded and {"own", "bin", ""} & set(said):
        raise _as_another_grade(where)
    if "" in said:
        if said[""].strip():
            raise Refused(shown(said[""]), f"nothing, to take it off; or {where}.mass and the like", where)
        return None
    new = line
    if "mass" in said:
        mg = reading.mass_mg(book, said["mass"], f"{where}.mass")
        new = replace(new, mass_mg=mg, own_mg=mg if line.own_mg == line.mass_mg and not regraded else line.own_mg)
    if "own" in said:
        new = replace(new, own_mg=reading.mass_mg(book, said["own"], f"{where}.own"), own_by="scale")
    if "price" in said:
        price, unit = unit_price(book, said["price"], f"{where}.price")
        new = replace(new, price=price, unit=unit)
    if "bin" in said:
        new = replace(new, bin=_bin(book, line.grade, said["bin"], f"{where}.bin"))
    return _amount(book, line, new, said, where)


def _amount(book: Book, line: TicketLine, new: TicketLine, said: Mapping[str, str], where: str) -> TicketLine:
    """An amount that was said is held against mass and price; one that was not follows them."""
    if "amount" in said:
        new = replace(new, amount=reading.money(book, said["amount"], f"{where}.amount", negative=True))
    elif (new.mass_mg, new.price, new.unit) != (line.mass_mg, line.price, line.unit):
        new = replace(new, amount=worked_out(new.mass_mg, new.price, new.unit, reading.currency(book)))
    return new


def _bin(book: Book, grade: str, given: str, where: str) -> str:
    found = bin_named(book, given, where)
    if found.grade != grade:
        raise Refused(f"{found.id}, a bin of {found.grade}", f"a bin of {grade}", where)
    return found.id


def _as_another_grade(where: str) -> Refused:
    expected = "a line of the grade of its bin; this one was paid as another: take the ticket back and record it anew"
    return Refused("a downgraded line", expected, where)
