"""The ledger's buyers with their latest quotes, as a scenario has them."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass, field, replace
from decimal import Decimal

from partway.catalogue import shipped
from partway.lazily import lazily
from partway.ledger.book import Book
from partway.ledger.events.kinds import Postage as SaidPostage
from partway.ledger.events.kinds import Quoted, Traded
from partway.quantities import MG_PER_KG, kg_per
from partway.things.ages import OLD_DAYS
from partway.things.buyers import is_reached, takes
from partway.things.estimate import Estimate
from partway.things.scenario import HOME, Buyer, Point, Postage, Quote, Road
from partway.valuing.learned.prices import Moves, moves_in, price_today
from partway.valuing.price_book import PriceBook, ends_of


@dataclass
class Sellers:
    """Reads buyers and quotes, and notes what it had to leave out."""

    book: Book
    on: dt.date
    home: Point | None
    _notes: dict[str, list[str]] = field(default_factory=dict)
    _units: list[str] = field(default_factory=list)
    _roads: list[Road] = field(default_factory=list)

    def buyers(self) -> tuple[Buyer, ...]:
        """Buyers that a plan can reach."""
        prices = PriceBook.of(self.book, self.on)
        heard: dict[str, list[Quoted]] = {}
        for (buyer, _), quotes in prices.quotes.items():
            heard.setdefault(buyer, []).extend(quotes)
        reached = [terms for terms in prices.buyers.values() if self._reached(terms)]
        for quote in prices.later:
            if quote.price is not None and any(quote.buyer == terms.buyer for terms in reached):
                self._note(f"Quotes heard after {self.on}, left out", f"{quote.buyer} {quote.grade}")
        return tuple(self._buyer(terms, heard.get(terms.buyer, [])) for terms in reached)

    def roads(self) -> tuple[Road, ...]:
        """The ways home that are not as long as the ways there, of the buyers read."""
        return tuple(self._roads)

    def notes(self) -> tuple[str, ...]:
        """What was left out or taken as given, a sentence each."""
        return tuple(f"{sentence}: {', '.join(dict.fromkeys(names))}." for sentence, names in self._notes.items())

    def spoken_unit(self) -> str:
        """What most quotes were said in, lb or kg."""
        return "lb" if sum(unit in ("lb", "oz") for unit in self._units) * 2 > len(self._units) else "kg"

    def _note(self, sentence: str, name: str) -> None:
        self._notes.setdefault(sentence, []).append(name)

    def _reached(self, buyer: Traded) -> bool:
        here = is_reached(buyer.kind, buyer.km, buyer.at, self.home)
        if not here:
            self._note("No way known (km, or at with home), left out of the plan", buyer.buyer)
        return here

    def _buyer(self, said: Traded, heard: list[Quoted]) -> Buyer:
        driven = said.kind != "mail-in"
        point = said.at if driven and self.home is not None else None
        tiers = Counter(q.grade for q in heard if q.price is not None)
        quotes = tuple(self._quote(q, tiers[q.grade]) for q in heard if self._counts(said, q))
        if not quotes:
            self._note("No price heard, which is not a price of zero", said.buyer)
        if driven and said.back_km is not None:
            self._roads.append(Road(said.buyer, HOME, float(said.back_km), one_way=True))
        if not driven and not said.shipping:
            self._note("No postage given: counted as paid by the buyer", said.buyer)
        return Buyer(
            id=said.buyer,
            kind=said.kind,
            name=said.name,
            km=float(said.km) if driven and said.km is not None else None,
            at=None if point is None else (float(point[0]), float(point[1])),
            minutes=float(said.minutes),
            refuses=said.refuses,
            open=said.open if driven else (),
            shipping=tuple(_parcel(step) for step in said.shipping),
            quotes=quotes,
            ticket_fee=float(said.ticket_fee),
            ticket_share=float(said.ticket_share),
        )

    def _counts(self, buyer: Traded, quote: Quoted) -> bool:
        name = f"{buyer.buyer} {quote.grade}"
        if quote.price is None:
            return False
        if quote.grade not in shipped().grades:
            self._note("Quotes of a grade that is not in the catalogue, left out", name)
            return False
        if not takes(buyer, shipped().grades[quote.grade]):
            self._note("Quoted and refused by the same buyer, counted as refused", name)
            return False
        return True

    @lazily
    def _moves(self) -> Moves:
        """Asked for once: whether the ledger changed meanwhile is a message to the server for each price."""
        return moves_in(self.book)

    def _quote(self, said: Quoted, tiers: int) -> Quote:
        self._units.append(said.unit)
        age = (self.on - said.on).days
        if age > OLD_DAYS:
            self._note(f"Quotes of {said.buyer} older than {OLD_DAYS} days", f"{said.grade} ({age} days)")
        per_kg = float((said.price or Decimal(0)) / kg_per(said.unit))
        minimum, from_kg, most, piece = (
            float(Decimal(mg) / MG_PER_KG) for mg in (said.minimum_mg, said.from_mg, said.most_mg, said.piece_mg)
        )
        price = Estimate.exact(per_kg) if piece else price_today(self._moves, said.grade, per_kg, age)
        ends = ends_of(said)
        price = spread(price, ends) if ends else price
        quote = Quote(said.grade, price, said.on, minimum, from_kg, most or None, ends=ends)
        if tiers > 1 or not piece:  # in tiers a number of pieces counts by what one weighs
            many = said.most_pieces * piece or most
            return replace(quote, most_kg=min(most or many, many) or None)
        return replace(quote, piece_kg=piece, each=said.each, most_pieces=said.most_pieces or None)


def spread(price: Estimate, ends: tuple[float, float]) -> Estimate:
    """A price with the range that was said: as far as its ends or as its age makes it, whichever is further."""
    low, high = ends
    off = max(price.high - price.likely, price.likely - price.low, (high - low) / 2.0)
    return Estimate(price.likely - off, price.likely, price.likely + off)


def _parcel(step: SaidPostage) -> Postage:
    return Postage(float(Decimal(step.up_to_mg) / MG_PER_KG), float(step.cost))
