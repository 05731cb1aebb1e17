"""What a bin fetches at each buyer today, and how far it is from a lot that is taken or paid better."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from partway.reports.sheet_quotes import SAME, Heard, Price

HALF = 0.5  # of a lot: from here on it is named among the bins (our own choice)


@dataclass(frozen=True, slots=True)
class AtBuyer:
    """The bin at one buyer, as the grade it is or as a lower one.

    `value` at `net_per_kg`, postage taken off; None where the lot is `short_kg` below the least that is taken. `way`:
    whether it is known how to get there. `best`: nobody pays more for the lot there is; or, where nobody takes it, for
    the smallest that is taken.
    """

    buyer: str
    name: str
    kind: str
    grade: str
    grade_name: str
    price: Price
    value: float | None
    short_kg: float
    way: bool
    best: bool


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
    price: Price

    @property
    def near(self) -> bool:
        """Whether it is close enough to speak of wherever the bin is named."""
        return self.share >= HALF and self.adds > 0

    @property
    def drawn(self) -> float:
        """Parts of a hundred to draw."""
        return round(100.0 * self.share, 1)


@dataclass(frozen=True, slots=True)
class Turned:
    """A buyer that will not have the grade: it refuses `because` of a name, or does not take it any more."""

    buyer: str
    name: str
    state: str
    because: tuple[str, ...]
    days: int | None


@dataclass(frozen=True)
class Lots:
    """One lot, of all bins of its grade together: `lot_kg`; the worth of `kg` of it is reckoned."""

    heard: Heard
    grade: str
    kg: float
    lot_kg: float

    @cached_property
    def at_buyers(self) -> tuple[AtBuyer, ...]:
        """Every buyer that quotes the grade or one it may be sold as, best first; then those that want more."""
        found = [self._at(buyer, *offer) for buyer in self.heard.buyers for offer in self._best_of(buyer)]
        if any(one.price.net_per_kg >= 0 for one in found):  # nobody pays to be rid of what somebody takes
            found = [one for one in found if one.grade == self.grade or one.price.net_per_kg >= 0]
        taken = [one.price.net_per_kg for one in found if one.value is not None]
        top = max(taken or [one.price.net_per_kg for one in found], default=0.0)
        marked = [
            replace(one, best=one.price.net_per_kg > top - SAME and (one.value is not None) == bool(taken))
            for one in found
        ]
        return tuple(sorted(marked, key=lambda one: (one.value is None, -one.price.net_per_kg, one.buyer)))

    def next_lots(self) -> tuple[NextLot, ...]:
        """The next step at each buyer and grade above what is there, the one that adds most first."""
        here = max((one.price.net_per_kg for one in self.at_buyers if one.value is not None), default=None)
        found = []
        for buyer in self.heard.buyers:
            there = max((p.net_per_kg for _, p in self._prices[buyer] if p.least_kg <= self.lot_kg), default=None)
            ahead = [(grade, p) for grade, p in self._prices[buyer] if p.least_kg > self.lot_kg]
            for grade, price in _nearest(ahead):
                if there is None or price.net_per_kg > there:
                    found.append(self._next(buyer, grade, price, here, there))
        found = [lot for lot in found if lot.grade == self.grade or lot.adds > 0]
        return tuple(sorted(found, key=lambda lot: (-lot.adds, lot.missing_kg, lot.buyer)))

    def turned(self) -> tuple[Turned, ...]:
        """Buyers that refuse the grade or stopped taking it."""
        found = []
        for buyer, terms in self.heard.buyers.items():
            stand = self.heard.stand(buyer, self.grade)
            if stand.state in ("refused", "not taken"):
                found.append(Turned(buyer, terms.name or buyer, stand.state, stand.because, stand.days))
        return tuple(found)

    @cached_property
    def _prices(self) -> dict[str, list[tuple[str, Price]]]:
        """By buyer, the prices of the grade and of those it may be sold as."""
        grades = (self.grade, *self.heard.lower(self.grade))
        return {
            buyer: [(grade, price) for grade in grades for price in self.heard.stand(buyer, grade).prices]
            for buyer in self.heard.buyers
        }

    def _best_of(self, buyer: str) -> list[tuple[str, Price]]:
        """The best price the lot reaches there; else the one of the smallest lot that is taken."""
        prices = self._prices[buyer]
        reached = [offer for offer in prices if offer[1].least_kg <= self.lot_kg]
        if reached:
            return [max(reached, key=lambda offer: offer[1].net_per_kg)]
        return [min(prices, key=lambda offer: (offer[1].least_kg, -offer[1].net_per_kg))] if prices else []

    def _at(self, buyer: str, grade: str, price: Price) -> AtBuyer:
        terms = self.heard.buyers[buyer]
        short = max(0.0, price.least_kg - self.lot_kg)
        value = None if short > 0 else price.net_per_kg * self.kg
        way = terms.kind == "mail-in" or terms.km is not None or terms.at is not None
        return AtBuyer(
            buyer, terms.name or buyer, terms.kind, grade, self._named(grade), price, value, short, way, best=False
        )

    def _named(self, grade: str) -> str:
        return self.heard.grades[grade].name if grade in self.heard.grades else grade

    def _next(self, buyer: str, grade: str, price: Price, here: float | None, there: float | None) -> NextLot:
        return NextLot(
            buyer=buyer,
            name=self.heard.buyers[buyer].name or buyer,
            grade=grade,
            what="minimum" if there is None else "tier",
            least_kg=price.least_kg,
            missing_kg=price.least_kg - self.lot_kg,
            share=self.lot_kg / price.least_kg,
            adds=(price.net_per_kg - (here or 0.0)) * self.kg,
            adds_there=(price.net_per_kg - (there or 0.0)) * self.kg,
            price=price,
        )


def _nearest(ahead: list[tuple[str, Price]]) -> list[tuple[str, Price]]:
    """The nearest step, and of several at the same mass the best paid."""
    return [min(ahead, key=lambda offer: (offer[1].least_kg, -offer[1].net_per_kg))] if ahead else []
