"""What is told of buyers and the prices they said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from partway.actions.recording.describe import Say, capital, careful, counted
from partway.catalogue.cards import CautionCard
from partway.reports.buyers.fee_words import fee_said
from partway.reports.called import Called


@dataclass(frozen=True, slots=True)
class BuyerResult:
    """A buyer's terms as they now stand; `new` for one not known before."""

    buyer: str
    kind: str
    new: bool
    changed: tuple[str, ...]

    def words(self, say: Say) -> Iterator[str]:
        """Its lines."""
        changed = f": {', '.join(self.changed)} changed" if self.changed and not self.new else ""
        yield f"buyer {self.buyer} ({self.kind}) {'added' if self.new else 'kept'}{changed}"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "New buyer: ridge yard"."""
        name = called.buyer(self.buyer)
        if self.new:
            return f"New buyer: {name}"
        return (
            f"{capital(name)}: {counted(len(self.changed), 'change')} kept"
            if self.changed
            else f"{capital(name)}: as before"
        )


@dataclass(frozen=True, slots=True)
class QuoteResult:
    """One quote as recorded; `before` and `before_unit` are what the same buyer said last, `low` and `high` the ends of
    a range of which the price is the middle. `piece_mg` is what one piece weighs where nobody said it with the price,
    and `piece_by` in words who knows it.
    """

    buyer: str
    grade: str
    price: Decimal | None
    unit: str
    from_mg: int = 0
    before: Decimal | None = None
    before_unit: str = ""
    low: Decimal | None = None
    high: Decimal | None = None
    piece_mg: int = 0
    piece_by: str = ""


@dataclass(frozen=True, slots=True)
class TermKept:
    """What a list said of the whole ticket, "2% admin fee", and whether there was room for it in the buyer's note."""

    said: str
    noted: bool


@dataclass(frozen=True, slots=True)
class QuotesResult:
    """Quotes recorded together; `keeps_back` is the fee of each ticket, flat and as a share, where it was said."""

    quotes: tuple[QuoteResult, ...]
    cautions: tuple[CautionCard, ...] = ()
    terms: tuple[TermKept, ...] = ()
    keeps_back: tuple[Decimal, Decimal] | None = None

    def words(self, say: Say) -> Iterator[str]:
        """Its lines, cautions first."""
        yield from careful(self.cautions)
        for quote in self.quotes:
            tier = f" from {say.mass(quote.from_mg)}" if quote.from_mg else ""
            before = f", before {quote.before} /{quote.before_unit}" if quote.before is not None else ""
            price = "not taken any more" if quote.price is None else f"{quote.price} /{quote.unit}"
            price += f", one weighs {say.mass(quote.piece_mg)}: {quote.piece_by}" if quote.piece_mg else ""
            price += f" ({quote.low} to {quote.high})" if quote.low is not None else ""
            yield f"{quote.buyer} {quote.grade}{tier}: {price}{before}"
        for term in self.terms:
            where = "kept in its note" if term.noted else "no room left in its note, write it down"
            yield f"{self.quotes[0].buyer}, of the whole ticket: {term.said} ({where}; no figure counts it)"
        if self.keeps_back is not None:
            flat, share = self.keeps_back
            yield f"{self.quotes[0].buyer} {fee_said(flat, share, say.money)}: counted from now on"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Ridge yard: 12 prices kept", or the price where it is one."""
        first = self.quotes[0]
        if len(self.quotes) > 1:
            names = " and ".join(dict.fromkeys(called.buyer(quote.buyer) for quote in self.quotes))
            return f"{capital(names)}: {counted(len(self.quotes), 'price')} kept"
        price = "does not take" if first.price is None else f"pays {say.as_said(first.price, first.unit)} for"
        ends = f", the middle of {first.low} to {first.high}" if first.low is not None else ""
        one = f", one weighs {say.mass(first.piece_mg)}: {first.piece_by}" if first.piece_mg else ""
        return f"{capital(called.buyer(first.buyer))} {price} {called.grade(first.grade)}{ends}{one}"
