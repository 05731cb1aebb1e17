"""Tickets as a yard printed them, against one's own scale and the quote."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from partway.actions.ledger import reading
from partway.actions.ledger.asked import Asked
from partway.actions.ledger.bins import bin_named
from partway.actions.ledger.buyers import buyer_named, refusing
from partway.actions.ledger.context import Context, Recorded, record
from partway.actions.ledger.quoting import price_said
from partway.actions.ledger.told import TicketLineTold, TicketTold
from partway.actions.ledger.words import mass
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger import standing, trading
from partway.ledger.book import Book
from partway.ledger.payloads import Deduction, Moved, Payload, Ticketed, TicketLine, Traded
from partway.ledger.standing import BinNow
from partway.quantities import MG_PER_KG, kg_per
from partway.reports.cards import cards

AS_PRINTED = (("yes", "the ticket says so: record it as printed"),)
NEAR = 0.1  # a bin whose content is this close to the yard's mass was emptied (common practice, no source)


@dataclass(frozen=True, slots=True)
class LineGiven:
    """A line as printed: the yard's net and its price.

    `own` is one's own mass, `all` for all that is in the bin or `yard` for the yard's. `bin` where the grade on the
    ticket is not the grade of the bin: a downgrade. `amount` where it is printed.
    """

    grade: str
    mass: reading.Mass
    price: str
    amount: reading.Money | None = None
    own: reading.Mass | None = None
    bin: str = ""


def ticket(
    book: Book,
    context: Context,
    buyer: str,
    lines: Sequence[LineGiven],
    total: reading.Money | None = None,
    deductions: Sequence[tuple[str, reading.Money]] = (),
    haul: str | None = None,
    number: str = "",
    as_printed: bool | None = None,
) -> Recorded[TicketTold]:
    """Record a ticket. Arithmetic that does not add up is asked about unless `as_printed` says to keep it."""
    of = buyer_named(book, buyer)
    if not lines:
        raise Refused("no line", "at least one line", "ticket")
    reader = LineReader(book, of, standing.bins(book))
    read = tuple(reader.line(line) for line in lines)
    taken = tuple(Deduction(reading.text(what, "less"), reading.money(book, sum_, "less")) for what, sum_ in deductions)
    adds_up = sum((line.amount for line in read), Decimal(0)) - sum((d.amount for d in taken), Decimal(0))
    printed = adds_up if total is None else reading.money(book, total, "total", negative=True)
    if printed != adds_up:
        reader.doubts.append(f"total {printed}, while the lines less deductions make {adds_up}")
    if reader.doubts and not as_printed:
        expected = "a ticket that adds up, or --as-printed"
        raise Asked("; ".join(reader.doubts), expected, "ticket", "as_printed", AS_PRINTED)
    ticketed = Ticketed(
        _next_id(book, context.mark),
        of.buyer,
        read,
        printed,
        taken,
        None if haul is None else reading.one_of(haul, trading.hauls(book), "haul", "haul"),
        reading.text(number, "number"),
    )
    return record(book, context, [*reader.regrades, ticketed], _tell(book, ticketed, reader))


def _next_id(book: Book, mark: str) -> str:
    start = f"ticket-{mark}"
    tails = [subject[7 + len(start) :] for subject, _ in book.facts(f"ticket:{start}", "printed")]
    return f"{start}{max((int(tail) for tail in tails if tail.isdecimal()), default=0) + 1}"


def worked_out(book: Book, net_mg: int, price: Decimal, unit: str) -> Decimal:
    """What a mass makes at a price."""
    return reading.cents(book, Decimal(net_mg) / MG_PER_KG / kg_per(unit) * price)


def doubt_of_amount(book: Book, line: TicketLine, where: str) -> list[str]:
    """What speaks against an amount: more than the last digit off what mass and price make."""
    made = worked_out(book, line.mass_mg, line.price, line.unit)
    last_digit = Decimal(1).scaleb(made.as_tuple().exponent)  # type: ignore[arg-type]
    if abs(line.amount - made) <= last_digit:
        return []
    return [f"{where}: {line.amount}, while {mass(book, line.mass_mg)} at {line.price} /{line.unit} make {made}"]


@dataclass
class LineReader:
    """Reads lines one after another: two lines may empty one bin together."""

    book: Book
    buyer: Traded
    bins: dict[str, BinNow]
    taken: dict[str, int] = field(default_factory=dict)
    regrades: list[Payload] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)

    def line(self, given: LineGiven) -> TicketLine:
        """One line. Raises Refused."""
        grade = reading.grade(given.grade, "line")
        where = f"line {grade}"
        source = self._bin(grade, given.bin, where)
        net = reading.mass_mg(self.book, given.mass, where)
        price, unit = price_said(given.price, reading.currency(self.book), where)
        own = self._own(source, net, given.own, where)
        self.taken[source.id] = self.taken.get(source.id, 0) + own
        if source.grade != grade:
            self._regrade(source, grade, own, where)
        amount = worked_out(self.book, net, price, unit)
        if given.amount is not None:
            amount = reading.money(self.book, given.amount, where, negative=True)
        line = TicketLine(grade, source.id, net, own, price, unit, amount)
        self.doubts += doubt_of_amount(self.book, line, where)
        return line

    def _bin(self, grade: str, given: str, where: str) -> BinNow:
        if given:
            return bin_named(self.book, given, where)
        holding = [b for b in self.bins.values() if b.grade == grade]
        with_some = [b for b in holding if b.mg] or holding
        if len(with_some) == 1:
            return with_some[0]
        names = ", ".join(b.id for b in with_some) or "with the bin it came out of, such as " + (
            ", ".join(b.id for b in self.bins.values() if b.mg) or "one made with partway bin"
        )
        raise Refused(f"{grade} out of {len(with_some)} bins", f"@BIN: {names}", where)

    def _own(self, source: BinNow, net: int, given: reading.Mass | None, where: str) -> int:
        """What the bin gives up, by one's own scale."""
        left = source.mg - self.taken.get(source.id, 0)
        own = self._own_said(source, net, left, given, where)
        if own > left or left <= 0:
            expected = f"at most the {mass(self.book, left)} in {source.id}; or first: partway recount {source.id} MASS"
            raise Refused(f"{mass(self.book, own)} out of it", expected, where)
        return own

    def _own_said(self, source: BinNow, net: int, left: int, given: reading.Mass | None, where: str) -> int:
        if given in ("all", "yard"):
            return left if given == "all" else net
        if given is not None:
            return reading.mass_mg(self.book, given, where)
        if abs(left - net) <= NEAR * left:
            return left
        given_words = f"{mass(self.book, net)} on the ticket, {mass(self.book, left)} in {source.id}"
        expected = "your own mass after a tilde: ~MASS, ~all for the whole bin, ~yard for what the yard says"
        raise Refused(given_words, expected, where)

    def _regrade(self, source: BinNow, grade: str, own: int, where: str) -> None:
        grades = shipped().grades
        missing = set(grades[source.grade].hazards) - set(grades[grade].hazards)
        if missing:
            expected = f"a grade that names the hazard: {', '.join(sorted(missing))}"
            raise Refused(f"{source.grade} as {grade}", expected, where)
        self.regrades.append(Moved(source.id, source.id, source.grade, grade, own))


def _tell(book: Book, ticketed: Ticketed, reader: LineReader) -> TicketTold:
    quoted = {(q.grade, q.from_mg): q for q in trading.quotes(book, ticketed.buyer)}
    lines = []
    for line in ticketed.lines:
        tiers = [q for (g, least), q in quoted.items() if g == line.grade and least <= line.mass_mg]
        best = max(tiers, key=lambda q: q.from_mg, default=None)
        per = best.price / kg_per(best.unit) * kg_per(line.unit) if best and best.price is not None else None
        short = line.own_mg - line.mass_mg
        told = TicketLineTold(
            line.grade, line.bin, line.mass_mg, line.own_mg, short, line.amount, per, line.price, line.unit
        )
        lines.append(told)
    refused = [line.grade for line in ticketed.lines if refusing(reader.buyer, line.grade)]
    doubts = (*reader.doubts, *(f"{ticketed.buyer} is down as refusing {grade}" for grade in refused))
    hazards = [h for line in ticketed.lines for h in shipped().grades[line.grade].hazards]
    return TicketTold(ticketed.ticket, ticketed.buyer, tuple(lines), ticketed.total, doubts, cards(hazards))
