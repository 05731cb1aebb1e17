"""How far a price may have moved since it was heard: a level that wanders, by how prices moved between quotes.

The logarithm of each buyer's price of a grade is a local level (formulas.statistics.local_level): what was heard last
is the level then, and each day since adds to its variance. No trend is taken: the price counted on stays the one
heard. How fast prices wander is learned from each pair of quotes of one buyer, grade and tier: first over all of
them, then of each grade in the light of that. Before any pair, a price moves by PRIOR_WANDER, worth PRIOR_WORTH pairs
(6 % a month: common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from partway.formulas.statistics.local_level import Level, on_day
from partway.formulas.statistics.normal_gamma import NORMAL_80, student_quantile
from partway.lazily import lazily
from partway.ledger.book import Book, Unread
from partway.quantities import kg_per
from partway.things.estimate import Estimate
from partway.valuing.learned.estimates import ENDS, USUAL
from partway.valuing.learned.log import Log, read_on

PRIOR_WANDER = 0.06**2 / 30.0  # variance of the logarithm that a day adds
PRIOR_WORTH = 10.0  # pairs of quotes
GRADE_WORTH = 10.0  # pairs that all grades together are worth against a grade's own
NOISE = 0.002**2  # variance of the logarithm of a price heard: it is said to the cent
MOST_OFF = 0.9  # of a price: no range reaches nothing

Pairs = Mapping[str, tuple[float, ...]]  # of each grade the squared steps for a day
Lot = tuple[str, str, int]  # buyer, grade, tier


@dataclass(frozen=True, eq=False)
class Moves:
    """How prices moved between quotes."""

    log: Log

    def wander(self, grade: str) -> tuple[float, float]:
        """Variance that a day adds to the logarithm of a grade's price, and how many pairs that is known from."""
        own = self.pairs.get(grade, ())
        return (GRADE_WORTH * self._over_all + math.fsum(own)) / (GRADE_WORTH + len(own)), GRADE_WORTH + len(own)

    @lazily
    def _over_all(self) -> float:
        every = [step for steps in self.pairs.values() for step in steps]
        return (PRIOR_WORTH * PRIOR_WANDER + math.fsum(every)) / (PRIOR_WORTH + len(every))

    @lazily
    def pairs(self) -> Pairs:
        """Of each grade (log of a price over the one before)^2 over the days between."""
        heard: dict[Lot, list[Unread]] = {}
        for event in self.log.counting:
            said = event.data
            if said["price"] is not None:
                heard.setdefault((said["buyer"], said["grade"], said["from_mg"]), []).append(event)
        found: dict[str, list[float]] = {}
        for (_, grade, _), quotes in heard.items():
            found.setdefault(grade, []).extend(_steps(quotes))
        return {grade: tuple(sorted(steps)) for grade, steps in sorted(found.items()) if steps}


def moves_in(book: Book) -> Moves:
    """How prices moved in a ledger."""
    return book.onward(_read)


def log_range(moves: Moves, grade: str, days: int) -> float:
    """Logarithm of how much more or less a price may be after some days: 80 of 100 lie within."""
    wander, freedom = moves.wander(grade)
    now = on_day(Level(0.0, 0.0, NOISE), float(days), wander)
    return student_quantile((1.0 + USUAL) / 2.0, freedom) * math.sqrt(now.variance)


def price_today(moves: Moves, grade: str, per_kg: float, days: int) -> Estimate:
    """A price heard some days ago with the range it may be in today; exact on the day itself.

    Its mean is the price heard: staleness makes no price better or worse, only less sure.
    """
    if days <= 0 or per_kg == 0.0:
        return Estimate.exact(per_kg)
    off = abs(per_kg) * min(MOST_OFF, log_range(moves, grade, days) * ENDS / NORMAL_80)
    low, high = per_kg - off, per_kg + off
    found = Estimate(low, per_kg, high)
    for _ in range(8):  # to the last digit, so that equal prices stay equal
        if found.mean == per_kg:
            break
        high = math.nextafter(high, math.inf if found.mean < per_kg else per_kg)
        found = Estimate(low, per_kg, high)
    return found


def _read(book: Book, before: Moves | None) -> Moves:
    now = read_on(book, before.log if before else None, ("quoted",))
    return before if before and now is before.log else Moves(now)


def _steps(quotes: list[Unread]) -> list[float]:
    """What each day between two prices added; of several on a day the last word counts."""
    by_day: dict[int, float] = {}
    for event in sorted(quotes, key=lambda event: event.position):
        price = Decimal(event.data["price"]) / kg_per(event.data["unit"])
        if price > 0:
            by_day[_day(event.data["on"])] = math.log(price)
    days = sorted(by_day)
    return [(by_day[b] - by_day[a]) ** 2 / (b - a) for a, b in pairwise(days)]


def _day(text: str) -> int:
    import datetime as dt

    return dt.date.fromisoformat(text).toordinal()
