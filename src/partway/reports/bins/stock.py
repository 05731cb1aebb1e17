"""What is in the bins: mass, age, and where it sells best today."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.ledger.book import Book
from partway.ledger.days import day_of, start_of
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow
from partway.planning.instance.market import LotOffer, Market, lot_offers
from partway.things.scenario import Scenario

WINDOWS = (60, 365)  # days looked back for what went in, before all of the ledger is
KG = 1e-6  # of a milligram


@dataclass(frozen=True, slots=True)
class Best:
    """The best net price of a grade today; `as_grade` differs where it sells better as a lower grade.

    Prices are per kg in the workspace's currency; where `posted`, the postage of this lot alone is taken off. `days`
    since it was heard.
    `least_kg` is the smallest lot that gets it, `by_post` says that postage sets that mass. Where all bins of the grade
    together are `missing_kg` short of it, the price is what a larger lot reaches and the bin has no `value` yet.
    """

    buyer: str
    as_grade: str
    price_per_kg: float
    value: float | None
    days: int
    least_kg: float
    posted: bool
    by_post: bool
    missing_kg: float


@dataclass(frozen=True, slots=True)
class StockLine:
    """One bin. `days` is the age of the oldest that is in it, first in first out; None where it is empty.

    `conflict` says why its figures are in doubt.
    """

    bin: str
    name: str
    grade: str
    grade_name: str
    mass_kg: float
    days: int | None
    full: float | None
    best: Best | None
    hazards: tuple[str, ...]
    conflict: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Stock:
    """All bins, most valuable first; `value` at the best quotes for what is there.

    Bins that nobody quotes, or too small for any lot, count as nothing. `cautions` are of what is in the bins, and come
    first. `conflict` names the bins whose figures are in doubt.
    """

    cautions: tuple[CautionCard, ...]
    on: str
    currency: str
    unit: str
    lines: tuple[StockLine, ...]
    mass_kg: float
    value: float
    unquoted: tuple[str, ...]
    conflict: tuple[str, ...] = ()


def report_stock(book: Book, scenario: Scenario, zone: dt.tzinfo | None) -> Stock:
    """The bins of a book, priced at the quotes of the scenario made from it; ages in days of the zone."""
    market = Market.of(scenario)
    bins = list(standing.bins(book).values())
    lots: dict[str, float] = {}
    for now in bins:
        lots[now.grade] = lots.get(now.grade, 0.0) + max(0, now.mg) * KG
    lines = [_line(book, scenario, market, now, lots[now.grade], zone) for now in bins]
    lines.sort(key=lambda line: (-_value(line), -line.mass_kg, line.bin))
    return Stock(
        cautions=cards_by_hazard(scenario.cautions, [(line.grade, line.hazards) for line in lines if line.mass_kg > 0]),
        on=scenario.on.isoformat(),
        currency=scenario.currency,
        unit=scenario.unit,
        lines=tuple(lines),
        mass_kg=sum(line.mass_kg for line in lines),
        value=sum(map(_value, lines)),
        unquoted=tuple(line.bin for line in lines if line.mass_kg > 0 and line.best is None),
        conflict=tuple(line.bin for line in lines if line.conflict),
    )


def _value(line: StockLine) -> float:
    return line.best.value or 0.0 if line.best else 0.0


def _line(
    book: Book, scenario: Scenario, market: Market, now: BinNow, lot_kg: float, zone: dt.tzinfo | None
) -> StockLine:
    """One bin, part of the lot of all bins of its grade."""
    grade = scenario.grades.get(now.grade)
    kg = now.mg * KG
    offers = lot_offers(scenario, market, now.grade, lot_kg) if grade else ()
    return StockLine(
        bin=now.id,
        name=now.name,
        grade=now.grade,
        grade_name=grade.name if grade else now.grade,
        mass_kg=kg,
        days=_age(book, now, scenario.on, zone) if now.mg > 0 else None,
        full=full_share(now, grade.density.likely if grade else None),
        best=_best(offers[0], kg, lot_kg, scenario.on) if offers else None,
        hazards=grade.hazards if grade else (),
        conflict=now.conflict,
    )


def full_share(now: BinNow, density: float | None) -> float | None:
    """How full a bin is by bulk density (kg/L); None where its capacity is not known."""
    if not now.capacity_l or not density:
        return None
    return now.mg * KG / density / float(now.capacity_l)


def _best(offer: LotOffer, kg: float, lot_kg: float, on: dt.date) -> Best:
    lot = offer.lot
    reached = lot.reached(lot_kg)
    return Best(
        buyer=offer.buyer,
        as_grade=offer.grade,
        price_per_kg=lot.net_per_kg,
        value=lot.net_per_kg * kg if reached else None,
        days=(on - offer.quote.on).days,
        least_kg=lot.from_kg,
        posted=offer.posted,
        by_post=lot.by_post,
        missing_kg=0.0 if reached else lot.from_kg - lot_kg,
    )


def _age(book: Book, now: BinNow, on: dt.date, zone: dt.tzinfo | None) -> int | None:
    """Days since the oldest of what is still there went in: the last inflows that add up to it."""
    end = start_of(on + dt.timedelta(days=1), zone)
    for days in (*WINDOWS, None):
        since = None if days is None else end - dt.timedelta(days=days)
        oldest = _oldest(book, now, since)
        if oldest is not None:
            return max(0, (on - day_of(oldest, zone)).days)
    return None


def _oldest(book: Book, now: BinNow, since: dt.datetime | None) -> dt.datetime | None:
    place = f"bin:{now.id}"
    inflows = [(flow.happened, flow.move.mg) for flow in book.flows(place, since) if flow.move.target == place]
    left = now.mg
    for happened, mg in sorted(inflows, reverse=True):
        left -= mg
        if left <= 0:
            return happened
    return None
