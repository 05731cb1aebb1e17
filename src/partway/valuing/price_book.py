"""What each buyer says of each grade today: a price in its tiers, refused, not taken any more, or nothing at all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Literal, cast

from partway.catalogue import shipped
from partway.formulas.ticket_fees import left_of
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.codec import payload_kept
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Quoted, Traded
from partway.ledger.fold.standing import settings
from partway.planning.instance.market import Market
from partway.planning.instance.parcels import ForLot, for_lot, full_parcel_per_kg
from partway.quantities import MG_PER_KG, kg_per
from partway.things.ages import PriceAge, age_of
from partway.things.buyers import buyer_name, is_reached, refused_names
from partway.things.material import Grade
from partway.things.scenario import Postage

State = Literal["quoted", "refused", "not taken", "unquoted"]
SAME = 1e-9  # money per kg: prices closer than this are the same


@dataclass(frozen=True, slots=True)
class QuotedPrice:
    """One price that stands, for lots of at least `least_kg`.

    `most_kg` or `most_pieces` are all that is taken at one visit, `each` is what one piece brings by the piece.
    `price` per one `unit` as it was said, `per_kg` the same per kg, `net_per_kg` with the buyer's share of the
    ticket and a full parcel's postage taken off. What it comes to for a lot that is there: `PriceBook.for_lot`.
    `ends` are lowest and highest per kg where a range was said, of which the price is the middle.
    """

    price: Decimal
    unit: str
    per_kg: float
    net_per_kg: float
    on: str
    days: int
    age: PriceAge
    from_kg: float
    minimum_kg: float
    most_kg: float | None = None
    most_pieces: int = 0
    each: float | None = None
    ends: tuple[float, float] | None = None

    @property
    def least_kg(self) -> float:
        """The smallest lot that gets this price."""
        return max(self.from_kg, self.minimum_kg)


@dataclass(frozen=True, slots=True)
class Standing:
    """A buyer's word on one grade. `because` names what it refuses; `on` and `days` are of the word, where one is."""

    state: State
    prices: tuple[QuotedPrice, ...] = ()
    because: tuple[str, ...] = ()
    on: str = ""
    days: int | None = None


UNQUOTED = Standing("unquoted")


@dataclass(frozen=True)
class PriceBook:
    """Buyers and their last words, read from a book once: of each tier the last one heard by `on`, its day included.

    `later` are words dated after it, which do not count yet; `home` says that it is known where trips start.
    """

    on: dt.date
    buyers: Mapping[str, Traded]
    quotes: Mapping[tuple[str, str], tuple[Quoted, ...]]
    grades: Mapping[str, Grade]
    later: tuple[Quoted, ...] = ()
    home: bool = False

    @classmethod
    def of(cls, book: Book, on: dt.date) -> PriceBook:
        """What stands in a book on a day."""
        found: dict[tuple[str, str], list[Quoted]] = {}
        said, later = trading.quotes(book), []
        for quote in said:
            if quote.on <= on:
                found.setdefault((quote.buyer, quote.grade), []).append(quote)
            else:
                later.append(quote)
        for key in {(quote.buyer, quote.grade) for quote in later}:  # what they replace still counts
            found[key] = list(quoted_on(_words(book, *key), on).values())
        quotes = {key: tuple(sorted(of, key=lambda q: q.from_mg)) for key, of in sorted(found.items()) if of}
        return cls(on, trading.buyers(book), quotes, shipped().grades, tuple(later), "home" in settings(book))

    def name(self, buyer: str) -> str:
        """What a buyer is called."""
        terms = self.buyers.get(buyer)
        return buyer_name(buyer, terms.name if terms else "")

    def is_reached(self, buyer: str) -> bool:
        """Whether it is known how to get there."""
        terms = self.buyers[buyer]
        return is_reached(terms.kind, terms.km, terms.at, self.home or None)

    def standing(self, buyer: str, grade: str) -> Standing:
        """What a buyer says of a grade. A refusal outranks a price: the material would be turned away."""
        if (buyer, grade) not in self._standings:
            self._standings[buyer, grade] = self._standing(buyer, grade)
        return self._standings[buyer, grade]

    @cached_property
    def _standings(self) -> dict[tuple[str, str], Standing]:
        return {}

    def _standing(self, buyer: str, grade: str) -> Standing:
        said = self.quotes.get((buyer, grade), ())
        terms, known = self.buyers.get(buyer), self.grades.get(grade)
        refused = refused_names(terms, known) if terms and known else ()
        if refused:
            return Standing("refused", because=refused)
        if not said:
            return UNQUOTED
        newest = max(quote.on for quote in said)
        prices = tuple(self.price(quote) for quote in said if quote.price is not None)
        days = (self.on - newest).days
        return Standing("quoted" if prices else "not taken", prices, (), newest.isoformat(), days)

    def price(self, said: Quoted) -> QuotedPrice:
        """One quote as a price per kg."""
        price = said.price or Decimal(0)
        per_kg, days = float(price / kg_per(said.unit)), (self.on - said.on).days
        return QuotedPrice(
            price,
            said.unit,
            per_kg,
            self.left_of(said.buyer, per_kg) - self.postage(said.buyer),
            said.on.isoformat(),
            days,
            age_of(days),
            said.from_mg / MG_PER_KG,
            said.minimum_mg / MG_PER_KG,
            said.most_mg / MG_PER_KG if said.most_mg else None,
            said.most_pieces,
            per_kg * said.piece_mg / MG_PER_KG if said.each else None,
            ends_of(said),
        )

    def for_lot(self, buyer: str, price: QuotedPrice, kg: float) -> ForLot:
        """What a price comes to for a lot of `kg` posted alone, or of the least that gets it where that is more."""
        return for_lot(self.left_of(buyer, price.per_kg), self._shipping.get(buyer, ()), price.least_kg, kg)

    def left_of(self, buyer: str, per_kg: float) -> float:
        """What a price leaves once the buyer has kept back its share of the ticket."""
        return left_of(per_kg, float(self.buyers[buyer].ticket_share)) if buyer in self.buyers else per_kg

    def postage(self, buyer: str) -> float:
        """The least that mailing a kilogram can cost: the cheapest full parcel; nothing where one drives."""
        return full_parcel_per_kg(self._shipping.get(buyer, ()))

    @cached_property
    def _shipping(self) -> dict[str, tuple[Postage, ...]]:
        return {
            buyer: tuple(Postage(step.up_to_mg / MG_PER_KG, float(step.cost)) for step in terms.shipping)
            for buyer, terms in self.buyers.items()
        }

    @cached_property
    def quoted(self) -> frozenset[str]:
        """The grades somebody has a word on."""
        return frozenset(grade for _, grade in self.quotes)

    def lower(self, grade: str) -> tuple[str, ...]:
        """The grades with a word on them that a grade may also be sold as: never one that hides a hazard."""
        return tuple(sorted(self._market.below(grade))) if grade in self.grades else ()

    @cached_property
    def _market(self) -> Market:
        return Market(self.grades, dict.fromkeys(self.quoted, ()), 0.0, None)


def ends_of(said: Quoted) -> tuple[float, float] | None:
    """Lowest and highest per kg of a quote that is a range."""
    if said.low is None or said.high is None:
        return None
    return float(said.low / kg_per(said.unit)), float(said.high / kg_per(said.unit))


def quoted_on(said: Iterable[Quoted], day: dt.date) -> dict[int, Quoted]:
    """The last word on each tier that was heard by a day, of words in the order in which they count."""
    return {quote.from_mg: quote for quote in sorted(said, key=lambda quote: quote.on) if quote.on <= day}


def quote_for(
    book: Book, buyer: str, grade: str, mass_mg: int, day: dt.date, before: Event | None = None
) -> Quoted | None:
    """The quote in force for a lot on a day, and `before` its ticket was typed: of the tiers it reaches the highest.

    What counts on each tier is the last word heard by then, on that day or before. A word of later never counts, and
    one that withdrew the price leaves none.
    """
    last = quoted_on(_words(book, buyer, grade, before), day).values()
    reached = [q for q in last if q.price is not None and max(q.from_mg, q.minimum_mg) <= mass_mg]
    return max(reached, key=lambda quote: quote.from_mg, default=None)


def _words(book: Book, buyer: str, grade: str, before: Event | None = None) -> Iterator[Quoted]:
    """What a buyer said of a grade, before an event where one is named, in the order in which it counts."""
    for word in book.words((f"quote:{buyer}:{grade}:",), "heard"):
        if before is None or word.position < before.position:
            yield cast(Quoted, payload_kept("quoted", word.value, word.subject))
