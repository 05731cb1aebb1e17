"""The bins in short, as `partway stock` and the JSON of the same name have them: made of what the page shows."""

from __future__ import annotations

from dataclasses import dataclass

from partway.catalogue import shipped
from partway.catalogue.cards import CautionCard, card
from partway.reports.bins.all import BinLine, Bins
from partway.valuing.lots import AtBuyer


@dataclass(frozen=True, slots=True)
class Best:
    """The best net price of a grade today; `as_grade` differs where it sells better as a lower grade.

    Prices are per kg in the workspace's currency, the buyer's `ticket_share` off; where `posted`, the postage of
    this lot alone is off, too. The flat `ticket_fee` of each ticket is in no bin's worth. `days` since it was
    heard. `least_kg` is the smallest lot that gets it, `by_post` says that postage sets that mass. Where all bins
    of the grade together are `missing_kg` short of it, the price is what a larger lot reaches and the bin has no
    `value` yet.
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
    ticket_fee: float = 0.0
    ticket_share: float = 0.0


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


def listed(bins: Bins, currency: str, unit: str) -> Stock:
    """The same bins in short."""
    return Stock(
        cautions=_cautions(bins),
        on=bins.on,
        currency=currency,
        unit=unit,
        lines=tuple(_line(line) for line in bins.lines),
        mass_kg=bins.mass_kg,
        value=bins.value,
        unquoted=tuple(line.bin for line in bins.lines if line.mass_kg > 0 and line.best is None),
        conflict=bins.conflict,
    )


def _cautions(bins: Bins) -> tuple[CautionCard, ...]:
    """What can hurt, each once, with the grades in the bins that it comes from."""
    grade_of = {line.bin: line.grade for line in bins.lines}
    cards = shipped().cautions
    return tuple(
        card(cards, hazard.id, dict.fromkeys(grade_of[name] for name in names)) for hazard, names in bins.hazards
    )


def _line(line: BinLine) -> StockLine:
    return StockLine(
        bin=line.bin,
        name=line.name,
        grade=line.grade,
        grade_name=line.grade_name,
        mass_kg=line.mass_kg,
        days=line.days,
        full=line.fill.share[1] if line.fill else None,
        best=_best(line.best, line.value) if line.best else None,
        hazards=tuple(hazard.id for hazard in line.hazards),
        conflict=line.conflict,
    )


def _best(at: AtBuyer, value: float | None) -> Best:
    return Best(
        buyer=at.buyer,
        as_grade=at.grade,
        price_per_kg=at.net_per_kg,
        value=value,
        days=at.price.days,
        least_kg=at.least_kg,
        posted=at.posted,
        by_post=at.by_post,
        missing_kg=at.short_kg,
        ticket_fee=float(at.ticket_fee),
        ticket_share=float(at.ticket_share),
    )
