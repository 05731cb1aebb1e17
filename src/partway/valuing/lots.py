"""What a bin fetches at each buyer today, and how far it is from a lot that is taken or paid better."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property

from partway.ledger.fold.standing import BinNow
from partway.planning.instance.parcels import ForLot
from partway.quantities import MG_PER_KG
from partway.valuing.price_book import SAME, PriceBook, QuotedPrice

HALF = 0.5  # of a lot: from here on it is named among the bins (our own choice)


@dataclass(frozen=True, slots=True)
class AtBuyer:
    """The bin at one buyer, as the grade it is or as a lower one.

    `value` at `net_per_kg`, the buyer's share of the ticket and the postage of this lot alone taken off; None where the
    lot is `short_kg` below `least_kg`, the least that is taken or, where `by_post`, pays its parcels: the net price is
    then what a larger lot reaches. `posted`: its parcels are paid for. `way`: whether it is known how to get there.
    `best`: nobody pays more for the lot there is; or, where it is too small for all, for the smallest that is taken.
    `ticket_share` is in the net price, the flat `ticket_fee` in none: it is of the visit, as the drive is, and is said
    beside.
    """

    buyer: str
    name: str
    kind: str
    grade: str
    grade_name: str
    price: QuotedPrice
    net_per_kg: float
    value: float | None
    least_kg: float
    posted: bool
    by_post: bool
    short_kg: float
    way: bool
    best: bool
    ticket_fee: Decimal = Decimal(0)
    ticket_share: Decimal = Decimal(0)

    @property
    def after(self) -> tuple[str, ...]:
        """What is off the net price, by name."""
        share = ("its share of the ticket",) if self.ticket_share and self.price.per_kg > 0 else ()
        return (*share, "postage") if self.posted else share


@dataclass(frozen=True, slots=True)
class NextLot:
    """A mass from which a buyer takes a grade at all (`minimum`), or pays another price (`tier`).

    `share` of it is there and `missing_kg` is not. `adds` is what the price from there on would add to the worth of
    what is there now, over the best price it reaches today; below 0 where somebody pays more today.
    `adds_there` is the same over what this buyer pays today, nothing where it takes nothing yet.
    """

    buyer: str
    name: str
    grade: str
    what: str
    least_kg: float
    missing_kg: float
    share: float
    adds: float
    adds_there: float
    net_per_kg: float

    @property
    def near(self) -> bool:
        """Whether it is close enough to speak of wherever the bin is named."""
        return self.share >= HALF and self.adds > 0

    @property
    def drawn(self) -> float:
        """Parts of a hundred to draw."""
        return round(100.0 * self.share, 1)


@dataclass(frozen=True, slots=True)
class Refusal:
    """A buyer that will not have the grade: it refuses `because` of a name, or does not take it any more."""

    buyer: str
    name: str
    state: str
    because: tuple[str, ...]
    days: int | None


@dataclass(frozen=True, slots=True)
class _Offer:
    """One price of one buyer, for the grade or a lower one, and what it comes to for the lot."""

    grade: str
    price: QuotedPrice
    lot: ForLot


@dataclass(frozen=True)
class Lots:
    """One lot, of all bins of its grade together: `lot_kg`; the worth of `kg` of it is reckoned."""

    prices: PriceBook
    grade: str
    kg: float
    lot_kg: float

    @cached_property
    def at_buyers(self) -> tuple[AtBuyer, ...]:
        """Every buyer that quotes the grade or one it may be sold as, best first; then those that want more."""
        found = [self._at(buyer, offer) for buyer in self.prices.buyers for offer in self._best_of(buyer)]
        if any(one.net_per_kg >= 0 for one in found):  # nobody pays to be rid of what somebody takes
            found = [one for one in found if one.grade == self.grade or one.net_per_kg >= 0]
        taken = [one.net_per_kg for one in found if one.value is not None]
        top = max(taken or [one.net_per_kg for one in found], default=0.0)
        marked = [
            replace(one, best=one.net_per_kg > top - SAME and (one.value is not None) == bool(taken)) for one in found
        ]
        return tuple(sorted(marked, key=lambda one: (one.value is None, -one.net_per_kg, one.buyer)))

    @property
    def best(self) -> AtBuyer | None:
        """Where nobody pays more for the lot there is, or for the smallest that is taken; its `value` is the bin's."""
        return next((one for one in self.at_buyers if one.best), None)

    def next_lots(self) -> tuple[NextLot, ...]:
        """The next step at each buyer and grade above what is there, the one that adds most first."""
        here = max((one.net_per_kg for one in self.at_buyers if one.value is not None), default=None)
        found: list[NextLot] = []
        for buyer in self.prices.buyers:
            there = max((o.lot.net_per_kg for o in self._offers[buyer] if o.lot.reached(self.lot_kg)), default=None)
            ahead = [offer for offer in self._offers[buyer] if offer.price.least_kg > self.lot_kg]
            found += [
                self._next(buyer, offer, here, there)
                for offer in _nearest(ahead)
                if there is None or offer.lot.net_per_kg > there
            ]
        found = [lot for lot in found if lot.grade == self.grade or lot.adds > 0]
        return tuple(sorted(found, key=lambda lot: (-lot.adds, lot.missing_kg, lot.buyer)))

    def turned(self) -> tuple[Refusal, ...]:
        """Buyers that refuse the grade or stopped taking it."""
        found = []
        for buyer in self.prices.buyers:
            stand = self.prices.standing(buyer, self.grade)
            if stand.state in ("refused", "not taken"):
                found.append(Refusal(buyer, self.prices.name(buyer), stand.state, stand.because, stand.days))
        return tuple(found)

    @cached_property
    def _offers(self) -> dict[str, list[_Offer]]:
        """By buyer, the prices of the grade and of those it may be sold as."""
        grades = (self.grade, *self.prices.lower(self.grade))
        return {
            buyer: [
                _Offer(grade, price, self.prices.for_lot(buyer, price, self.lot_kg))
                for grade in grades
                for price in self.prices.standing(buyer, grade).prices
            ]
            for buyer in self.prices.buyers
        }

    def _best_of(self, buyer: str) -> list[_Offer]:
        """The best price the lot reaches there; else the one of the smallest lot that is taken."""
        offers = self._offers[buyer]
        reached = [offer for offer in offers if offer.lot.reached(self.lot_kg)]
        if reached:
            return [max(reached, key=lambda offer: offer.lot.net_per_kg)]
        return [min(offers, key=lambda offer: (offer.lot.from_kg, -offer.lot.net_per_kg))] if offers else []

    def _at(self, buyer: str, offer: _Offer) -> AtBuyer:
        lot = offer.lot
        reached = lot.reached(self.lot_kg)
        return AtBuyer(
            buyer=buyer,
            name=self.prices.name(buyer),
            kind=self.prices.buyers[buyer].kind,
            grade=offer.grade,
            grade_name=self._named(offer.grade),
            price=offer.price,
            net_per_kg=lot.net_per_kg,
            value=lot.net_per_kg * self.kg if reached else None,
            least_kg=lot.from_kg,
            posted=bool(self.prices.buyers[buyer].shipping),
            by_post=lot.by_post,
            short_kg=0.0 if reached else lot.from_kg - self.lot_kg,
            way=self.prices.is_reached(buyer),
            best=False,
            ticket_fee=self.prices.buyers[buyer].ticket_fee,
            ticket_share=self.prices.buyers[buyer].ticket_share,
        )

    def _named(self, grade: str) -> str:
        return self.prices.grades[grade].name if grade in self.prices.grades else grade

    def _next(self, buyer: str, offer: _Offer, here: float | None, there: float | None) -> NextLot:
        least, net = offer.price.least_kg, offer.lot.net_per_kg
        return NextLot(
            buyer=buyer,
            name=self.prices.name(buyer),
            grade=offer.grade,
            what="minimum" if there is None else "tier",
            least_kg=least,
            missing_kg=least - self.lot_kg,
            share=self.lot_kg / least,
            adds=(net - (here or 0.0)) * self.kg,
            adds_there=(net - (there or 0.0)) * self.kg,
            net_per_kg=net,
        )


def _nearest(ahead: list[_Offer]) -> list[_Offer]:
    """The nearest step, and of several at the same mass the best paid."""
    return [min(ahead, key=lambda offer: (offer.price.least_kg, -offer.lot.net_per_kg))] if ahead else []


def stock_of(bins: Iterable[BinNow]) -> dict[str, float]:
    """Kilograms of each grade over all its bins, as these show them; a bin that is short counts as empty."""
    sums: dict[str, int] = {}
    for one in bins:
        sums[one.grade] = sums.get(one.grade, 0) + max(0, one.mg)
    return {grade: mg / MG_PER_KG for grade, mg in sums.items() if mg > 0}


def lots_of(prices: PriceBook, one: BinNow, stock: Mapping[str, float]) -> Lots:
    """The lot that a bin is part of: all bins of its grade together."""
    kg = max(0, one.mg) / MG_PER_KG
    return Lots(prices, one.grade, kg, stock.get(one.grade, kg))
