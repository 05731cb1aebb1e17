"""The bins: what can hurt first, then what is in each, how old and how full it is, where it sells best."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from partway.catalogue import shipped
from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow
from partway.quantities import MG_PER_KG
from partway.reports.buyers.sheet import stock_of
from partway.things.estimate import Estimate
from partway.valuing.bin_age import DAYS, Spark, age, by_bin, spark
from partway.valuing.lots import AtBuyer, Lots, NextLot
from partway.valuing.price_book import Heard

NEAR = 0.8  # of a capacity (common practice, no source)


@dataclass(frozen=True, slots=True)
class Fill:
    """How full a bin is by the bulk density of its grade, which has a range: litres and shares low, likely, high.

    `holds_kg` is what fits in all, likely; `over` says that even the lowest is more than it holds.
    """

    capacity_l: float
    used_l: tuple[float, float, float]
    share: tuple[float, float, float]
    holds_kg: float
    source: str

    @property
    def near(self) -> bool:
        """Whether it is about full."""
        return self.share[1] >= NEAR

    @property
    def over(self) -> bool:
        """Whether it is down as more than it can hold."""
        return self.share[0] > 1.0

    @property
    def drawn(self) -> tuple[float, float, float]:
        """Parts of a hundred to draw: how far the likely fill reaches, where its range begins and how wide it is."""
        low, likely, high = (round(100.0 * min(1.0, share), 1) for share in self.share)
        return likely, low, round(high - low, 1)


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
    """One bin. `days` is the age of the oldest in it; None with `older` true where that is beyond the days looked at.

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
    bins, heard, stock = standing.bins(book), Heard.of(book, now.date()), stock_of(book)
    flows = by_bin(book.flows("bin:", now - dt.timedelta(days=DAYS + 1)))
    lines = []
    for one in bins.values():
        lots = lots_of(heard, one, stock)
        known = flows.get(one.id, [])
        lines.append(bin_line(heard, one, lots, age(known, one.id, one.mg, now), spark(known, one.id, one.mg, now)))
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


def lots_of(heard: Heard, one: BinNow, stock: dict[str, float]) -> Lots:
    """The lot that a bin is part of: all bins of its grade together."""
    kg = max(0, one.mg) / MG_PER_KG
    return Lots(heard, one.grade, kg, max(kg, stock.get(one.grade, 0.0)))


def bin_line(heard: Heard, one: BinNow, lots: Lots, days: int | None, drawn: Spark) -> BinLine:
    """One bin; `days` is its age as far as it was looked up."""
    grade = heard.grades.get(one.grade)
    at, ahead = lots.at_buyers, lots.next_lots()
    best = next((offer for offer in at if offer.best), None)
    return BinLine(
        bin=one.id,
        name=one.name,
        grade=one.grade,
        grade_name=grade.name if grade else one.grade,
        family=grade.family if grade else "",
        mass_kg=one.mg / MG_PER_KG,
        short=one.mg < 0,
        days=days if one.mg > 0 else None,
        older=one.mg > 0 and days is None,
        fill=fill_of(one, grade.density if grade else None, grade.source if grade else ""),
        best=best if one.mg > 0 else None,
        value=best.value if best and one.mg > 0 else None,
        next=ahead[0] if ahead and one.mg > 0 else None,
        hazards=tuple(hazard(name) for name in (grade.hazards if grade else ())),
        spark=drawn,
        conflict=one.conflict,
    )


def fill_of(one: BinNow, density: Estimate | None, source: str) -> Fill | None:
    """How full a bin is; None where its capacity, or the density of its grade, is not known."""
    if not one.capacity_l or density is None or density.low <= 0:
        return None
    capacity, kg = float(one.capacity_l), max(0, one.mg) / MG_PER_KG
    used = (kg / density.high, kg / density.likely, kg / density.low)
    share = (used[0] / capacity, used[1] / capacity, used[2] / capacity)
    return Fill(capacity, used, share, capacity * density.likely, source)


def hazard(name: str) -> Hazard:
    """The card of a hazard. No figure of how much may be kept is shipped: it depends on the place."""
    card = shipped().cautions.get(name)
    if card is None:
        return Hazard(name, name, "", "check your local code", "", "", "check your local code")
    return Hazard(card.id, card.name, card.hurts, card.first, card.never, card.licensed, card.rule)


def _hazards(lines: Iterable[BinLine]) -> tuple[tuple[Hazard, tuple[str, ...]], ...]:
    """Each hazard once, with the bins that hold it."""
    found: dict[Hazard, list[str]] = {}
    for line in lines:
        for one in line.hazards:
            found.setdefault(one, []).append(line.bin)
    return tuple((one, tuple(bins)) for one, bins in found.items())
