"""What each grade fetches today, before any haul is planned.

One price for each grade, with the buyer's share of the ticket off; by mail, net of the postage of a full parcel. A flat
fee of the ticket is of the visit, as the drive is, and of no kilogram. A lot that is already there is priced with the
parcels it needs itself (`lot_offers`). Unquoted is not zero: a grade nobody quotes has no price at all, and only then
is it worth nothing kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from partway.formulas.ticket_fees import left_of
from partway.planning.instance.parcels import ForLot, for_lot, full_parcel_per_kg
from partway.planning.instance.room import kept_for, room_of
from partway.things.buyers import takes
from partway.things.defaults import KEPT_SHARE
from partway.things.estimate import Estimate
from partway.things.limits.room import Room
from partway.things.material import Grade
from partway.things.scenario import Buyer, Quote, Scenario


def postage_per_kg(buyer: Buyer) -> float:
    """The least a kilogram can cost to mail: the cheapest full parcel. Zero for anyone else."""
    return full_parcel_per_kg(buyer.shipping)


def left_of_quote(buyer: Buyer, quote: Quote) -> Estimate:
    """What a quoted price leaves per kg once the buyer has kept back its share of the ticket."""
    mean = quote.price.mean
    left = left_of(mean, buyer.ticket_share)
    return quote.price if left == mean else quote.price.scaled(1.0 - buyer.ticket_share)


@dataclass(frozen=True, slots=True)
class Offer:
    """A buyer's best net price per kg for one grade, over all lot sizes, posted in full parcels."""

    buyer: str
    grade: str
    price: float
    quote: Quote


@dataclass(frozen=True, slots=True)
class LotOffer:
    """What one quote pays for a lot of one mass, sold as `grade`; `posted`: the sender pays for the parcels."""

    buyer: str
    grade: str
    quote: Quote
    lot: ForLot
    posted: bool


@dataclass(frozen=True)
class Market:
    """Prices of one scenario, read once."""

    grades: Mapping[str, Grade]
    offers: Mapping[str, tuple[Offer, ...]]
    keep_factor: float | None
    room: Room | None

    @classmethod
    def of(cls, scenario: Scenario) -> Market:
        """Every offer that a refusal does not void, best first."""
        offers: dict[str, list[Offer]] = {}
        for buyer in scenario.buyers:
            best: dict[str, Offer] = {}
            postage = postage_per_kg(buyer)
            for quote in buyer.quotes:
                if takes(buyer, scenario.grades[quote.grade]):
                    price = left_of_quote(buyer, quote).mean - postage
                    if quote.grade not in best or price > best[quote.grade].price:
                        best[quote.grade] = Offer(buyer.id, quote.grade, price, quote)
            for offer in best.values():
                offers.setdefault(offer.grade, []).append(offer)
        ranked = {g: tuple(sorted(os, key=lambda o: -o.price)) for g, os in offers.items()}
        return cls(scenario.grades, ranked, scenario.keep_factor, scenario.room or room_of(scenario))

    def downgrades(self, grade: str) -> tuple[str, ...]:
        """Grades this one may also be sold as: those that keep its hazards and lead to some quote."""
        hazards = set(self.grades[grade].hazards)
        return tuple(
            lower
            for lower in self.grades[grade].downgrades
            if hazards <= set(self.grades[lower].hazards) and self.leads_to_quote[lower]
        )

    @cached_property
    def leads_to_quote(self) -> dict[str, bool]:
        """Of each grade whether somebody quotes it, or what it may be sold as."""
        known: dict[str, bool] = {}

        def leads(grade: str) -> bool:
            if grade not in known:
                known[grade] = grade in self.offers  # settles self-reference before recursing
                known[grade] = known[grade] or any(leads(g) for g in self.grades[grade].downgrades)
            return known[grade]

        for grade in self.grades:
            leads(grade)
        return known

    def below(self, grade: str) -> frozenset[str]:
        """Every other grade this one may end up sold as."""
        direct = self.downgrades(grade)
        return frozenset(direct).union(*(self.below(lower) for lower in direct))

    def best(self, grade: str) -> Offer | None:
        """The best offer for a grade or anything it may be sold as; None if nobody quotes any."""
        found = [self.offers[grade][0]] if grade in self.offers else []
        found += [offer for g in self.downgrades(grade) if (offer := self.best(g)) is not None]
        return max(found, key=lambda offer: offer.price, default=None)

    def kept_price(self, grade: str) -> float:
        """What a kilogram is worth kept: what it brings another day, less what keeping it costs.

        It goes to whoever leaves most of it then. What nobody quotes brings nothing and takes room all the same. A
        grade that may be sold as another is worth at least what that one is worth kept. With a keep factor, that share
        of the best net price.
        """
        if grade not in self._kept:
            ways = [self._kept_for(offer) for offer in self.offers.get(grade, ())]
            own = max(ways) if ways else -self.room_price(grade)
            self._kept[grade] = max([own, *(self.kept_price(g) for g in self.downgrades(grade))])
        return self._kept[grade]

    def _kept_for(self, offer: Offer) -> float:
        return kept_worth(offer.price, self.keep_factor) - self.room_for(offer)

    def room_for(self, offer: Offer) -> float:
        """What it costs to keep a kilogram until it goes to this buyer."""
        return 0.0 if self.room is None else kept_for(self.room, offer.buyer, self.grades[offer.grade].density.mean)

    def room_price(self, grade: str) -> float:
        """What it costs to keep a kilogram of a grade for whoever it is kept for; where nobody takes it, for the
        nearest buyer of all: it stands in the way until then.
        """
        if self.room is None:
            return 0.0
        if grade in self.offers:
            return self.room_for(max(self.offers[grade], key=self._kept_for))
        density = self.grades[grade].density.mean
        return min(kept_for(self.room, buyer, density) for buyer, _ in self.room.trips)

    @cached_property
    def _kept(self) -> dict[str, float]:
        return {}

    def value(self, grade: str) -> float:
        """The better of selling a kilogram at the best net price today and keeping it."""
        offer = self.best(grade)
        kept = self.kept_price(grade)
        return kept if offer is None else max(kept, offer.price)


def kept_worth(price: float, keep_factor: float | None) -> float:
    """What a price is worth another day: a little less; what has to be paid has to be paid in full."""
    return min(price, KEPT_SHARE * price) if keep_factor is None else keep_factor * price


def lot_offers(scenario: Scenario, market: Market, grade: str, kg: float) -> tuple[LotOffer, ...]:
    """Every quote for a lot of `kg`, also as a lower grade: first those it is large enough for, best first.

    Then the others, by what a larger lot would bring. By mail, the lot is posted alone.
    """
    grades = {grade, *market.below(grade)}
    offers = [
        LotOffer(
            buyer.id,
            quote.grade,
            quote,
            for_lot(left_of_quote(buyer, quote).mean, buyer.shipping, quote.least_kg, kg),
            bool(buyer.shipping),
        )
        for buyer in scenario.buyers
        for quote in buyer.quotes
        if quote.grade in grades and takes(buyer, scenario.grades[quote.grade])
    ]
    return tuple(sorted(offers, key=lambda offer: (not offer.lot.reached(kg), -offer.lot.net_per_kg)))
