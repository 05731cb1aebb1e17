"""One ticket held against one's own scale, the plan and the quote in force: the only place that does so."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import cast

from partway.formulas.statistics.agreement import share_of_each
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.days import day_of
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Paid, Quoted, Ticketed, TicketLine, Traded
from partway.ledger.fold import standing
from partway.things.buyers import takes
from partway.things.currencies import smallest
from partway.things.material import Grade
from partway.valuing.planned_lots import PlannedLot, lots_for
from partway.valuing.price_book import quote_for
from partway.valuing.trips.loads import counting
from partway.valuing.trips.scales import TwoScales
from partway.valuing.trips.taken import planned_lots
from partway.valuing.trips.ticket_seen import NO_QUESTION, Ask, Doubt, LineSeen, TicketSeen, What
from partway.valuing.trips.ticket_sums import amount_off, fee_due, fee_on, gap_of, is_fee, per, worked_out

TINY = Decimal("0.0005")  # of a price: planned ones are kept to four decimals
ALARMS = 0.05  # of all honest tickets so many are asked about for their weight
BEFORE = 12  # tickets of the same yard, the last ones before, that tell its scale and its habits
A_YEAR = dt.timedelta(days=366)  # how far back the weighings of a bin are looked for


def audit(book: Book, event: Event, grades: Mapping[str, Grade], zone: dt.tzinfo | None) -> TicketSeen:
    """The ticket of an event, held against what was known when it was printed; days are those of the zone."""
    ticket = cast(Ticketed, event.what)
    reader = _Reader.of(book, event, grades, zone)
    came = [e.what for e in counting(book, book.events(("paid",), f"ticket:{ticket.ticket}"))]
    paid = sum((p.amount for p in came if isinstance(p, Paid)), Decimal(0))
    lines = tuple(reader.line(line) for line in ticket.lines)
    fee = fee_due((line.amount for line in ticket.lines), reader.terms, reader.currency)
    new = tuple(reader.new_deductions(ticket, fee))
    return TicketSeen(
        ticket=ticket.ticket,
        number=ticket.number,
        lines=lines,
        deductions=tuple((d.what, d.amount) for d in ticket.deductions),
        total=ticket.total,
        gap=gap_of(ticket),
        paid=paid,
        open=ticket.total - paid,
        ask=_ask(lines, gap_of(ticket), new),
        new_deductions=new,
        scales=reader.scales,
        fee=fee,
    )


def _ask(lines: Sequence[LineSeen], gap: Decimal, new: Sequence[tuple[str, Decimal]]) -> Ask | None:
    """What costs most; what is wrong in one's own favour comes last, but is asked about as well."""
    found = [Ask("total", 0, -gap)] if gap else []
    found += [Ask("deduction", 0, amount) for _, amount in new]
    for n, line in enumerate(lines, start=1):
        found += [_ask_of(n, doubt) for doubt in line.doubts if doubt.what not in NO_QUESTION]
    return max(found, key=lambda ask: ask.money or Decimal(0), default=None)


def _ask_of(n: int, doubt: Doubt) -> Ask:
    """An amount says by how much it is off: below what it should be, that is money lost."""
    money = -doubt.money if doubt.what == "amount" and doubt.money is not None else doubt.money
    return Ask(doubt.what, n, money)


@dataclass(frozen=True)
class _Reader:
    """Holds lines against the plan, the quotes and the terms of one buyer as they were.

    `share` is the rate of false alarms of each line that was weighed, `usual` what was taken off tickets before.
    """

    book: Book
    event: Event
    grades: Mapping[str, Grade]
    zone: dt.tzinfo | None
    lots: tuple[PlannedLot, ...]
    terms: Traded | None
    currency: str
    scales: TwoScales
    share: float
    usual: frozenset[str]

    @classmethod
    def of(cls, book: Book, event: Event, grades: Mapping[str, Grade], zone: dt.tzinfo | None) -> _Reader:
        ticket, settings = cast(Ticketed, event.what), standing.settings(book)
        lots = tuple(lots_for(planned_lots(book, ticket.haul), ticket.buyer))
        terms = trading.terms_on(book, ticket.buyer, event)
        before = _before(book, event)
        unit = ticket.lines[0].unit if ticket.lines else ""
        printed = [line.mass_mg for one in (ticket, *before) for line in one.lines if line.mass_mg]
        weighed = sum(was_weighed(line) for line in ticket.lines)
        return cls(
            book,
            event,
            grades,
            zone,
            lots,
            terms,
            settings.get("currency", "XXX"),
            TwoScales.of(settings, printed, unit),
            share_of_each(ALARMS, max(1, weighed)),
            frozenset(taken.what for one in before for taken in one.deductions),
        )

    def line(self, line: TicketLine) -> LineSeen:
        """One line with what is doubtful about it."""
        buyer = cast(Ticketed, self.event.what).buyer
        planned = next((lot for lot in self.lots if lot.grade == line.grade), None)
        quote, quoted = self._quote(buyer, line.grade, line)
        known = self.grades.get(line.grade)
        brought = self._brought(line)
        explained = self._explained(line) if was_weighed(line) else None
        return LineSeen(
            grade=line.grade,
            name=known.name if known else line.grade,
            bin=line.bin,
            mass_mg=line.mass_mg,
            own_mg=line.own_mg,
            short_mg=line.own_mg - line.mass_mg,
            planned_mg=planned.mass_mg if planned else None,
            price=line.price,
            unit=line.unit,
            quoted=quoted,
            amount=line.amount,
            doubts=tuple(self._doubts(line, planned, _floor(quote, quoted, line.unit), explained, brought)),
            explained_mg=explained,
            good_to_mg=self.scales.good_to(line.own_mg) if line.own_mg else 0,
            quoted_on=quote.on.isoformat() if quote and quoted is not None else "",
            brought_as=brought,
            planned_price=None if planned is None else per(planned.price, planned.unit, line.unit),
            quoted_ends=_ends(quote, line.unit),
        )

    def new_deductions(self, ticket: Ticketed, fee: Decimal) -> Iterable[tuple[str, Decimal]]:
        """What was taken off for the first time; of a fee, where terms say one, what is more than it to the coin."""
        fees = [d.what for d in ticket.deductions if is_fee(d.what)] if fee else []
        over = fee_on(ticket) - fee
        if fees and over > smallest(self.currency):
            yield fees[0], over
        for taken in ticket.deductions:
            if taken.amount and taken.what not in self.usual and taken.what not in fees:
                yield taken.what, taken.amount

    def _quote(self, buyer: str, grade: str, line: TicketLine) -> tuple[Quoted | None, Decimal | None]:
        """The quote in force for a line as a grade, and its price per the line's unit."""
        day = day_of(self.event.happened, self.zone)
        quote = quote_for(self.book, buyer, grade, line.mass_mg, day, self.event)
        return quote, None if quote is None or quote.price is None else per(quote.price, quote.unit, line.unit)

    def _explained(self, line: TicketLine) -> int:
        readings = _readings(self.book, self.event, line) if line.own_by in ("", "bin") else 1
        return self.scales.explained(line.mass_mg, line.own_mg, readings, self.share)

    def _brought(self, line: TicketLine) -> str:
        """The grade of the bin it came out of, where the yard wrote another one."""
        bin_grade = self.book.facts(f"bin:{line.bin}", "grade").get((f"bin:{line.bin}", "grade"), line.grade)
        return "" if bin_grade == line.grade else bin_grade

    def _doubts(
        self, line: TicketLine, planned: PlannedLot | None, quoted: Decimal | None, explained: int | None, brought: str
    ) -> Iterable[Doubt]:
        """What is doubtful; `quoted` is the least that was quoted."""
        short = line.own_mg - line.mass_mg
        if explained is not None and short > explained:
            yield Doubt("short", worked_out(short, line.price, line.unit, self.currency))
        wanted = None if planned is None else per(planned.price, planned.unit, line.unit)
        if wanted is not None and quoted is not None and self._in_range(line, wanted):
            wanted = min(wanted, quoted)
        promised: tuple[tuple[What, Decimal | None], ...] = (("below-quote", quoted), ("below-plan", wanted))
        for what, price in promised:
            if price is not None and price - line.price > TINY:
                yield Doubt(what, worked_out(line.mass_mg, price - line.price, line.unit, self.currency))
        off = amount_off(line, self.currency)
        if off is not None:
            yield Doubt("amount", off)
        if brought:
            yield Doubt("downgrade", self._lost(line, brought))
        if planned is None and self.lots:
            yield Doubt("not-planned", None)
        grade = self.grades.get(line.grade)
        if grade and self.terms and not takes(self.terms, grade):
            yield Doubt("refused", None)

    def _in_range(self, line: TicketLine, price: Decimal) -> bool:
        """Whether a price is in the range that was quoted: a plan counts at its middle, a yard may pay its low end."""
        quote, _ = self._quote(cast(Ticketed, self.event.what).buyer, line.grade, line)
        ends = _ends(quote, line.unit)
        return ends is not None and ends[0] - TINY <= price <= ends[1] + TINY

    def _lost(self, line: TicketLine, brought: str) -> Decimal | None:
        """What the same mass would have come to as what it was brought as; None where that is not quoted here."""
        _, price = self._quote(cast(Ticketed, self.event.what).buyer, brought, line)
        return None if price is None else worked_out(line.mass_mg, price - line.price, line.unit, self.currency)


def _ends(quote: Quoted | None, unit: str) -> tuple[Decimal, Decimal] | None:
    """Both ends of a quoted range per another unit."""
    if quote is None or quote.low is None or quote.high is None:
        return None
    return per(quote.low, quote.unit, unit), per(quote.high, quote.unit, unit)


def _floor(quote: Quoted | None, quoted: Decimal | None, unit: str) -> Decimal | None:
    """The least that was quoted: of a range its low end."""
    ends = _ends(quote, unit)
    return ends[0] if ends else quoted


def was_weighed(line: TicketLine) -> bool:
    """Whether a line says anything about the yard's scale: one's own mass is not just the yard's, taken over.

    Older tickets do not say where it comes from: there, what is alike to the milligram was taken over.
    """
    taken_over = line.own_by == "yard" or (line.own_by == "" and line.own_mg == line.mass_mg)
    return line.own_mg > 0 and line.mass_mg > 0 and not taken_over


def _readings(book: Book, event: Event, line: TicketLine) -> int:
    """In how many weighings what left a bin had come together: what went in last, back to when the bin was weighed."""
    left, count = line.own_mg, 0
    flows = book.flows(f"bin:{line.bin}", event.happened - A_YEAR)
    for flow in reversed([flow for flow in flows if (flow.order, flow.event) < event.position]):
        if left <= 0:
            break
        if flow.kind == "recounted":
            return count + 1
        if flow.move.target == f"bin:{line.bin}":
            left, count = left - flow.move.mg, count + 1
    return max(1, count)


def _before(book: Book, event: Event) -> list[Ticketed]:
    """The last tickets of the same yard that were typed before one, as far as they count."""
    buyer = cast(Ticketed, event.what).buyer
    events = counting(book, book.newest(BEFORE, event.id, ("ticketed",), f"buyer:{buyer}"))
    return [one.what for one in events if isinstance(one.what, Ticketed)]
