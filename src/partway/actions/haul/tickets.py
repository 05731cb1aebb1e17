"""Tickets as a yard printed them, against one's own scale and the quote."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from partway.actions.bins.bins import bin_named
from partway.actions.buyers.buyers import buyer_named
from partway.actions.buyers.quoting import unit_price
from partway.actions.haul.results import TicketResult
from partway.actions.haul.window import sentence, verdict
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.describe import Say
from partway.actions.recording.naming import next_name, tell_haul, thing_named
from partway.actions.recording.questions import Asked
from partway.actions.recording.words import mass
from partway.catalogue import shipped
from partway.catalogue.cards import shipped_cards
from partway.errors import Hint, Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Deduction, Moved, Payload, Ticketed, TicketLine, Traded
from partway.ledger.events.sorts import OwnBy
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow
from partway.things.currencies import smallest
from partway.valuing.trips.loads import TakenLot
from partway.valuing.trips.taken import taken
from partway.valuing.trips.ticket import audit
from partway.valuing.trips.ticket_sums import FEE, amount_off, fee_due, gap_of, is_fee, worked_out

AS_PRINTED = (("yes", "the ticket says so: record it as printed"),)
NEAR = 0.1  # a bin whose content is this close to the yard's mass was emptied (common practice, no source)


@dataclass(frozen=True, slots=True)
class LineGiven:
    """A line as printed: the yard's net and its price.

    `own` is one's own mass, `all` for all that is in the bin or `yard` for the yard's. `bin` where the grade on the
    ticket is not the grade of the bin: a downgrade. `amount` where it is printed. `at` is where a form has the line.
    """

    grade: str
    mass: reading.Mass
    price: str
    amount: reading.Money | None = None
    own: reading.Mass | None = None
    bin: str = ""
    at: str = ""


@decides(shipped)
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
) -> Recorded[TicketResult]:
    """Record a ticket. Arithmetic that does not add up is asked about unless `as_printed` says to keep it.

    What the buyer keeps back by its terms is a deduction of its own, where no deduction said is a fee: of a total that
    was not printed, and of one that is less by just that.

    On a `haul`, what left a bin is what the haul took along, where the ticket says about that.
    """
    of = buyer_named(book, buyer)
    if not lines:
        raise Refused("no line", "at least one line", "ticket")
    on = None if haul is None else _haul(book, context, haul)
    lots = taken(book, on, shipped().grades, context.clock().tzinfo) if on else ()
    took = {lot.grade: lot for lot in lots if lot.buyer == of.buyer}
    reader = LineReader(book, standing.bins(book), context.exact, took)
    read = tuple(reader.line(line) for line in lines)
    less = tuple(Deduction(reading.text(what, "less"), reading.money(book, sum_, "less")) for what, sum_ in deductions)
    printed = None if total is None else reading.money(book, total, "total", negative=True)
    less += _kept_back(book, of, read, less, printed)
    adds_up = sum((line.amount for line in read), Decimal(0)) - sum((d.amount for d in less), Decimal(0))
    ticketed = Ticketed(
        next_name(book, "ticket", f"ticket-{context.mark}"),
        of.buyer,
        read,
        adds_up if printed is None else printed,
        less,
        on,
        reading.text(number, "number"),
    )
    odd = tuple(odd_in(book, ticketed))
    if odd and not as_printed:
        raise not_adding_up(odd)
    recorded = record(book, context, [*reader.regrades, ticketed], None)
    return Recorded(recorded.events, _tell(book, context, recorded.events[-1], ticketed.buyer), recorded.undo)


def _kept_back(
    book: Book, of: Traded, lines: Sequence[TicketLine], less: Sequence[Deduction], total: Decimal | None
) -> tuple[Deduction, ...]:
    """The fee by a buyer's terms, as a deduction; none where one is on the ticket, or where its total has none off."""
    amounts = [line.amount for line in lines]
    fee = fee_due(amounts, of, reading.currency(book))
    if not fee or any(is_fee(taken.what) for taken in less):
        return ()
    if total is None:
        return (Deduction(FEE, fee),)
    missing = sum(amounts, Decimal(0)) - sum((taken.amount for taken in less), Decimal(0)) - total
    near = missing > 0 and abs(missing - fee) <= smallest(reading.currency(book))
    return (Deduction(FEE, missing),) if near else ()


def not_adding_up(odd: Sequence[str]) -> Asked:
    """The question about a ticket that does not add up."""
    return Asked("; ".join(odd), "a ticket that adds up", "ticket", "as_printed", AS_PRINTED)


def odd_in(book: Book, ticketed: Ticketed, *, total: bool = True) -> Iterator[str]:
    """What does not add up, in words; the `total` may be left out."""
    currency = reading.currency(book)
    for line in ticketed.lines:
        if amount_off(line, currency) is not None:
            made = worked_out(line.mass_mg, line.price, line.unit, currency)
            at = f"{mass(book, line.mass_mg)} at {line.price} /{line.unit}"
            yield f"line {line.grade}: {line.amount}, while {at} make {made}"
    gap = gap_of(ticketed)
    if gap and total:
        yield f"total {ticketed.total}, while the lines less deductions make {ticketed.total - gap}"


def _haul(book: Book, context: Context, given: str) -> str:
    known = trading.hauls(book)
    return thing_named(given, known, "haul", "haul", lambda key: tell_haul(book, key), context.exact)


@dataclass
class LineReader:
    """Reads lines one after another: two lines may empty one bin together. `took` is what the haul has on board."""

    book: Book
    bins: dict[str, BinNow]
    exact: bool
    took: dict[str, TakenLot] = field(default_factory=dict)
    taken: dict[str, int] = field(default_factory=dict)
    regrades: list[Payload] = field(default_factory=list)

    def line(self, given: LineGiven) -> TicketLine:
        """One line. Raises Refused."""
        grade = reading.grade(given.grade, "line")
        where = given.at or f"line {grade}"
        source = self._bin(grade, given.bin, f"{where} bin")
        net = reading.mass_mg(self.book, given.mass, where)
        price, unit = unit_price(self.book, given.price, where)
        own, own_by = self._own(source, net, given.own, where)
        self.taken[source.id] = self.taken.get(source.id, 0) + own
        if source.grade != grade:
            self._regrade(source, grade, own, where)
        amount = self._amount(given, net, price, unit, where)
        return TicketLine(grade, source.id, net, own, price, unit, amount, own_by)

    def _amount(self, given: LineGiven, net: int, price: Decimal, unit: str, where: str) -> Decimal:
        if given.amount is None:
            return worked_out(net, price, unit, reading.currency(self.book))
        return reading.money(self.book, given.amount, where, negative=True)

    def _bin(self, grade: str, given: str, where: str) -> BinNow:
        if given:
            return bin_named(self.book, given, where, exact=self.exact)
        holding = [b for b in self.bins.values() if b.grade == grade]
        with_some = [b for b in holding if b.mg] or holding
        if len(with_some) == 1:
            return with_some[0]
        known = ", ".join(b.id for b in with_some or self.bins.values() if with_some or b.mg)
        hint = Hint("name-bin" if known else "new-bin")
        expected = f"the bin it came out of{f', such as {known}' if known else ''}"
        raise Refused(f"{grade} out of {len(with_some)} bins", expected, where, hint=hint)

    def _own(self, source: BinNow, net: int, given: reading.Mass | None, where: str) -> tuple[int, OwnBy]:
        """What the bin gives up, by one's own scale, and where that mass comes from."""
        left = source.mg - self.taken.get(source.id, 0)
        own, own_by = self._own_said(source, net, left, given, where)
        if own > left or left <= 0:
            expected = f"at most the {mass(self.book, left)} in {source.id}"
            raise Refused(f"{mass(self.book, own)} out of it", expected, where, hint=Hint("recount", source.id))
        return own, own_by

    def _own_said(
        self, source: BinNow, net: int, left: int, given: reading.Mass | None, where: str
    ) -> tuple[int, OwnBy]:
        if given in ("all", "yard"):
            return (left, "bin") if given == "all" else (net, "yard")
        if given is not None:
            return reading.mass_mg(self.book, given, where), "scale"
        if abs(left - net) <= NEAR * left:
            return left, "bin"
        lot = self.took.pop(source.grade, None)
        if lot is not None and abs(lot.mass_mg - net) <= NEAR * lot.mass_mg and max(lot.mass_mg, net) <= left:
            # the whole of a bin had been weighed when the haul set out, a part of one was not
            return (lot.mass_mg, "bin") if lot.whole else (net, "yard")
        given_words = f"{mass(self.book, net)} on the ticket, {mass(self.book, left)} in {source.id}"
        expected = "your own mass of it, all for the whole bin, or yard for what the yard says"
        raise Refused(given_words, expected, where, hint=Hint("own-mass"))

    def _regrade(self, source: BinNow, grade: str, own: int, where: str) -> None:
        grades = shipped().grades
        missing = set(grades[source.grade].hazards) - set(grades[grade].hazards)
        if missing:
            expected = f"a grade that names the hazard: {', '.join(sorted(missing))}"
            raise Refused(f"{source.grade} as {grade}", expected, where)
        self.regrades.append(Moved(source.id, source.id, source.grade, grade, own))


def _tell(book: Book, context: Context, event: Event, buyer: str) -> TicketResult:
    seen = audit(book, event, shipped().grades, context.clock().tzinfo)
    hazards = [h for line in seen.lines for h in shipped().grades[line.grade].hazards]
    cautions, window = shipped_cards(hazards), sentence(seen, Say.of(book))
    less = seen.deductions
    return TicketResult(seen.ticket, buyer, seen.lines, seen.total, seen.gap, cautions, verdict(seen), window, less)
