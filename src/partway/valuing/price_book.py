"""What each buyer says of each grade today: a price in its tiers, refused, not taken any more, or nothing at all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Literal

from partway.catalogue import shipped
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.kinds import Quoted, Traded
from partway.planning.instance.market import Market
from partway.planning.instance.parcels import ForLot, for_lot, full_parcel_per_kg
from partway.quantities import MG_PER_KG, kg_per
from partway.things.material import Grade
from partway.things.scenario import Postage

State = Literal["quoted", "refused", "not taken", "unquoted"]
Age = Literal["fresh", "old", "stale"]
FRESH_DAYS = 14  # up to here a price is as good as today's (common practice, no source)
OLD_DAYS = 30  # beyond it a price is only a memory of one (common practice, no source)
SAME = 1e-9  # money per kg: prices closer than this are the same


@dataclass(frozen=True, slots=True)
class Price:
    """One price that stands, for lots of at least `least_kg`.

    `price` per one `unit` as it was said, `per_kg` the same per kg, `net_per_kg` with a full parcel's postage
    taken off. What it comes to for a lot that is there: `Heard.for_lot`.
    """

    price: Decimal
    unit: str
    per_kg: float
    net_per_kg: float
    on: str
    days: int
    age: Age
    from_kg: float
    minimum_kg: float

    @property
    def least_kg(self) -> float:
        """The smallest lot that gets this price."""
        return max(self.from_kg, self.minimum_kg)


@dataclass(frozen=True, slots=True)
class Stand:
    """A buyer's word on one grade. `because` names what it refuses; `on` and `days` are of the word, where one is."""

    state: State
    prices: tuple[Price, ...] = ()
    because: tuple[str, ...] = ()
    on: str = ""
    days: int | None = None


UNQUOTED = Stand("unquoted")


@dataclass(frozen=True)
class Heard:
    """Buyers and their last words, read from a book once; words dated after `on` are not heard yet."""

    on: dt.date
    buyers: Mapping[str, Traded]
    quotes: Mapping[tuple[str, str], tuple[Quoted, ...]]
    grades: Mapping[str, Grade]

    @classmethod
    def of(cls, book: Book, on: dt.date, buyer: str = "") -> Heard:
        """What stands in a book, of one buyer where it is named."""
        found: dict[tuple[str, str], list[Quoted]] = {}
        for quote in trading.quotes(book, buyer):
            if quote.on <= on:
                found.setdefault((quote.buyer, quote.grade), []).append(quote)
        quotes = {key: tuple(sorted(said, key=lambda q: q.from_mg)) for key, said in found.items()}
        return cls(on, trading.buyers(book), quotes, shipped().grades)

    def stand(self, buyer: str, grade: str) -> Stand:
        """What a buyer says of a grade. A refusal outranks a price: the material would be turned away."""
        if (buyer, grade) not in self._stands:
            self._stands[buyer, grade] = self._stand(buyer, grade)
        return self._stands[buyer, grade]

    @cached_property
    def _stands(self) -> dict[tuple[str, str], Stand]:
        return {}

    def _stand(self, buyer: str, grade: str) -> Stand:
        said = self.quotes.get((buyer, grade), ())
        refused = refusing(self.buyers.get(buyer), self.grades.get(grade))
        if refused:
            return Stand("refused", because=refused)
        if not said:
            return UNQUOTED
        newest = max(quote.on for quote in said)
        prices = tuple(self.price(quote) for quote in said if quote.price is not None)
        days = (self.on - newest).days
        return Stand("quoted" if prices else "not taken", prices, (), newest.isoformat(), days)

    def price(self, said: Quoted) -> Price:
        """One quote as a price per kg."""
        price = said.price or Decimal(0)
        per_kg, days = float(price / kg_per(said.unit)), (self.on - said.on).days
        return Price(
            price,
            said.unit,
            per_kg,
            per_kg - self.postage(said.buyer),
            said.on.isoformat(),
            days,
            age_of(days),
            said.from_mg / MG_PER_KG,
            said.minimum_mg / MG_PER_KG,
        )

    def for_lot(self, buyer: str, price: Price, kg: float) -> ForLot:
        """What a price comes to for a lot of `kg` posted alone, or of the least that gets it where that is more."""
        return for_lot(price.per_kg, self._shipping.get(buyer, ()), price.least_kg, kg)

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
        return Market(self.grades, dict.fromkeys(self.quoted, ()), 0.0)


def refusing(buyer: Traded | None, grade: Grade | None) -> tuple[str, ...]:
    """Why a buyer turns a grade away: the names that say so."""
    if buyer is None or grade is None:
        return ()
    return tuple(sorted({grade.id, grade.family, *grade.hazards} & set(buyer.refuses)))


def age_of(days: int) -> Age:
    """How far a price of so many days ago is to be trusted."""
    return "fresh" if days <= FRESH_DAYS else "old" if days <= OLD_DAYS else "stale"
