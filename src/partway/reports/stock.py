"""What is in the bins: mass, age, and where it sells best today."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from partway.ledger import standing
from partway.ledger.book import Book
from partway.ledger.meaning import effects_of
from partway.ledger.standing import BinNow
from partway.planning.market import Market, Offer, postage_per_kg, takes
from partway.reports.cautions import caution_lines
from partway.reports.plan import CautionLine
from partway.things.scenario import Scenario

WINDOWS = (60, 365)  # days looked back for what went in, before all of the ledger is
KG = 1e-6  # of a milligram


@dataclass(frozen=True, slots=True)
class Best:
    """The best net price of a grade today; `as_grade` differs where it sells better as a lower grade.

    Prices are per kg in the workspace's currency, postage taken off; `days` since it was heard.
    """

    buyer: str
    as_grade: str
    price_per_kg: float
    value: float
    days: int
    least_kg: float


@dataclass(frozen=True, slots=True)
class StockLine:
    """One bin. `days` is the age of the oldest that is in it, first in first out; None where it is empty."""

    bin: str
    name: str
    grade: str
    grade_name: str
    mass_kg: float
    days: int | None
    full: float | None
    best: Best | None
    hazards: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stock:
    """All bins, most valuable first; `value` at the best quotes, bins that nobody quotes counted as nothing.

    `cautions` are of what is in them, and come first.
    """

    cautions: tuple[CautionLine, ...]
    on: str
    currency: str
    unit: str
    lines: tuple[StockLine, ...]
    mass_kg: float
    value: float
    unquoted: tuple[str, ...]


def report_stock(book: Book, scenario: Scenario) -> Stock:
    """The bins of a book, priced at the quotes of the scenario made from it."""
    market = Market.of(scenario)
    lines = [stock_line(book, scenario, market, now) for now in standing.bins(book).values()]
    lines.sort(key=lambda line: (-(line.best.value if line.best else 0.0), -line.mass_kg, line.bin))
    return Stock(
        cautions=caution_lines(scenario, [(line.grade, line.hazards) for line in lines if line.mass_kg > 0]),
        on=scenario.on.isoformat(),
        currency=scenario.currency,
        unit=scenario.unit,
        lines=tuple(lines),
        mass_kg=sum(line.mass_kg for line in lines),
        value=sum(line.best.value for line in lines if line.best),
        unquoted=tuple(line.bin for line in lines if line.mass_kg > 0 and line.best is None),
    )


def stock_line(book: Book, scenario: Scenario, market: Market, now: BinNow, aged: bool = True) -> StockLine:
    """One bin; `aged` looks up how old its content is."""
    grade = scenario.grades.get(now.grade)
    kg = now.mg * KG
    offer = best_offer(scenario, market, now.grade, kg) if grade else None
    return StockLine(
        bin=now.id,
        name=now.name,
        grade=now.grade,
        grade_name=grade.name if grade else now.grade,
        mass_kg=kg,
        days=_age(book, now, scenario.on) if aged and now.mg > 0 else None,
        full=full_share(now, grade.density.likely if grade else None),
        best=None if offer is None else _best(offer, kg, scenario.on),
        hazards=grade.hazards if grade else (),
    )


def best_offer(scenario: Scenario, market: Market, grade: str, kg: float) -> Offer | None:
    """The best net price that a lot of `kg` reaches, also as a lower grade; else the best for a larger lot."""
    grades = {grade, *market.below(grade)}
    offers = [
        Offer(buyer.id, quote.grade, quote.price.mean - postage_per_kg(buyer), quote)
        for buyer in scenario.buyers
        for quote in buyer.quotes
        if quote.grade in grades
        and max(quote.minimum_kg, quote.from_kg) <= kg
        and takes(buyer, scenario.grades[quote.grade])
    ]
    return max(offers, key=lambda offer: offer.price, default=None) or market.best(grade)


def full_share(now: BinNow, density: float | None) -> float | None:
    """How full a bin is by bulk density (kg/L); None where its capacity is not known."""
    if not now.capacity_l or not density:
        return None
    return now.mg * KG / density / float(now.capacity_l)


def _best(offer: Offer, kg: float, on: dt.date) -> Best:
    quote = offer.quote
    least = max(quote.minimum_kg, quote.from_kg)
    return Best(offer.buyer, offer.grade, offer.price, offer.price * kg, (on - quote.on).days, least)


def _age(book: Book, now: BinNow, on: dt.date) -> int | None:
    """Days since the oldest of what is still there went in: the last inflows that add up to it."""
    end = dt.datetime.combine(on + dt.timedelta(days=1), dt.time(), dt.UTC)
    for days in (*WINDOWS, None):
        since = None if days is None else end - dt.timedelta(days=days)
        oldest = _oldest(book, now, since)
        if oldest is not None:
            return max(0, (on - oldest.date()).days)
    return None


def _oldest(book: Book, now: BinNow, since: dt.datetime | None) -> dt.datetime | None:
    voided, place = book.voided(), f"bin:{now.id}"
    inflows = [
        (event.happened, move.mg)
        for event in book.events(subject=place, since=since)
        if event.id not in voided
        for move in effects_of(event).moves
        if move.target == place
    ]
    left = now.mg
    for happened, mg in sorted(inflows, reverse=True):
        left -= mg
        if left <= 0:
            return happened
    return None
