"""The bins: what can hurt first, then what is in each, how old and how full it is, where it sells best."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from partway.catalogue import shipped
from partway.catalogue.cards import card
from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow
from partway.quantities import MG_PER_KG
from partway.reports.bins.spark import Spark, spark
from partway.valuing.bin_age import DAYS, ages_of_bins, by_bin, history
from partway.valuing.fill import Fill, fill_of
from partway.valuing.lots import AtBuyer, Lots, NextLot, lots_of, stock_of
from partway.valuing.price_book import PriceBook


@dataclass(frozen=True, slots=True)
class Hazard:
    """What can hurt about a grade, and what is known of how much may be kept.

    `rule` is what the caution card says of rules; `limit` a figure with its source, None where none is known.
    """

    id: str
    name: str
    hurts: str
    first: str
    never: str
    licensed: str
    rule: str
    limit: str | None = None


@dataclass(frozen=True, slots=True)
class BinLine:
    """One bin. `days` is the age of the oldest in it; None with `older` true where the ledger cannot tell.

    `value` at the best price its lot reaches, None where nobody takes it; `next` the lot that would add most;
    `conflict` says why its figures are in doubt.
    """

    bin: str
    name: str
    grade: str
    grade_name: str
    family: str
    mass_kg: float
    short: bool
    days: int | None
    older: bool
    fill: Fill | None
    best: AtBuyer | None
    value: float | None
    next: NextLot | None
    hazards: tuple[Hazard, ...]
    spark: Spark
    conflict: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Bins:
    """All bins, most valuable first, empty ones last. `value` counts what nobody takes as nothing: see `unpriced`.

    `conflict` names the bins whose figures are in doubt.
    """

    on: str
    days: int
    hazards: tuple[tuple[Hazard, tuple[str, ...]], ...]
    lines: tuple[BinLine, ...]
    mass_kg: float
    value: float
    unpriced: tuple[str, ...]
    conflict: tuple[str, ...] = ()


def report_bins(book: Book, now: dt.datetime) -> Bins:
    """All bins at a moment."""
    bins, prices = standing.bins(book), PriceBook.of(book, now.date())
    stock = stock_of(bins.values())
    flows = by_bin(book.flows("bin:", now - dt.timedelta(days=DAYS + 1)))
    ages = ages_of_bins(book, bins.values(), flows, now)
    lines = []
    for one in bins.values():
        drawn = spark(history(flows.get(one.id, []), one.id, one.mg, now))
        lines.append(bin_line(one, lots_of(prices, one, stock), ages.get(one.id), drawn))
    lines.sort(key=lambda line: (line.mass_kg <= 0, -(line.value or 0.0), -line.mass_kg, line.bin))
    return Bins(
        on=now.date().isoformat(),
        days=DAYS,
        hazards=_hazards(line for line in lines if line.mass_kg > 0),
        lines=tuple(lines),
        mass_kg=sum(line.mass_kg for line in lines),
        value=sum(line.value or 0.0 for line in lines),
        unpriced=tuple(line.bin for line in lines if line.mass_kg > 0 and line.value is None),
        conflict=tuple(line.bin for line in lines if line.conflict),
    )


def bin_line(one: BinNow, lots: Lots, days: int | None, drawn: Spark) -> BinLine:
    """One bin; `days` is the age of what is in it."""
    grade, best, ahead = lots.prices.grades.get(one.grade), lots.best, lots.next_lots()
    return BinLine(
        bin=one.id,
        name=one.name,
        grade=one.grade,
        grade_name=grade.name if grade else one.grade,
        family=grade.family if grade else "",
        mass_kg=one.mg / MG_PER_KG,
        short=one.mg < 0,
        days=days,
        older=one.mg > 0 and days is None,
        fill=fill_of(one, grade.density if grade else None, grade.source if grade else ""),
        best=best if one.mg > 0 else None,
        value=best.value if best and one.mg > 0 else None,
        next=ahead[0] if ahead and one.mg > 0 else None,
        hazards=tuple(hazard(name) for name in (grade.hazards if grade else ())),
        spark=drawn,
        conflict=one.conflict,
    )


def hazard(name: str) -> Hazard:
    """The card of a hazard. No figure of how much may be kept is shipped: it depends on the place."""
    one = card(shipped().cautions, name)
    return Hazard(one.id, one.name, one.hurts, one.first, one.never, one.licensed, one.rule)


def _hazards(lines: Iterable[BinLine]) -> tuple[tuple[Hazard, tuple[str, ...]], ...]:
    """Each hazard once, with the bins that hold it."""
    found: dict[Hazard, list[str]] = {}
    for line in lines:
        for one in line.hazards:
            found.setdefault(one, []).append(line.bin)
    return tuple((one, tuple(bins)) for one, bins in found.items())
