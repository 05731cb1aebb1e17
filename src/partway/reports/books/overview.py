"""How everything stands: what can hurt first, then what waits, what is full, whose price is old, what is owed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from partway.catalogue import Catalogue
from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.catalogue.named import hazards_of
from partway.ledger import trading
from partway.ledger.balance.sheet import sheet, tips_in
from partway.ledger.book import Book
from partway.ledger.days import days_between
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow, FindNow
from partway.reports.books.conflicts import ConflictLine, in_doubt, report_conflicts
from partway.reports.what.place_cards import to_fill_in
from partway.things.ages import NOTICE_DAYS
from partway.things.scenario import Scenario
from partway.things.traits import said_kind
from partway.valuing.ends.diverted import Ends, ends_so_far
from partway.valuing.fill import NEAR, near_full
from partway.valuing.known import estimates_of
from partway.valuing.left import before
from partway.valuing.lots import Lots, stock_of
from partway.valuing.price_book import PriceBook

KG = 1e-6  # of a milligram


@dataclass(frozen=True, slots=True)
class Waiting:
    """A find that waits, `count` of it whole still; `mass_kg` None where it was not weighed.

    `conflict` says why its figures are in doubt.
    """

    find: str
    kind: str
    name: str
    count: int
    works: str
    mass_kg: float | None
    days: int
    note: str
    conflict: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Due:
    """A bin near something: `what` is full, minimum or tier; `share` of it is there, above 1 for past it.

    `conflict` says why what is in the bins named is in doubt.
    """

    bin: str
    grade: str
    what: str
    share: float
    mass_kg: float
    buyer: str = ""
    least_kg: float = 0.0
    conflict: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Stale:
    """The best quote of a grade in stock is too old to count on; `days` None where nobody ever quoted it."""

    grade: str
    mass_kg: float
    buyer: str
    days: int | None
    conflict: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Unpaid:
    """A ticket of which something is still owed."""

    ticket: str
    buyer: str
    total: Decimal
    open: Decimal


@dataclass(frozen=True, slots=True)
class Handled:
    """Kilograms of the whole ledger; `diverted_share` is of all that has left, None before anything has.

    `conflict` where some of them are in doubt.
    """

    in_kg: float
    diverted_kg: float
    diverted_share: float | None
    tipped_kg: float
    residue_kg: float
    stock_kg: float
    loss_kg: float
    conflict: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Overview:
    """How everything stands on a day; cautions come first. `place_cards` are to be filled in, or looked up again."""

    on: str
    currency: str
    unit: str
    cautions: tuple[CautionCard, ...]
    place_cards: tuple[str, ...]
    waiting: tuple[Waiting, ...]
    bins: tuple[Due, ...]
    stale: tuple[Stale, ...]
    unpaid: tuple[Unpaid, ...]
    handled: Handled
    notes: tuple[str, ...]


def report_overview(
    book: Book, scenario: Scenario, now: dt.datetime, waiting: Mapping[str, FindNow] | None = None
) -> Overview:
    """How everything stands at a moment, at the quotes of the scenario made from the book.

    `waiting` are the finds that are not closed, where they were read already.
    """
    there = standing.finds(book) if waiting is None else waiting
    finds = _left(book, there)
    bins = [b for b in standing.bins(book).values() if b.mg > 0]
    conflicts = report_conflicts(book, scenario.units, now.tzinfo)
    prices, stock, known = PriceBook.of(book, now.date()), stock_of(bins), estimates_of(book)
    return Overview(
        on=scenario.on.isoformat(),
        currency=scenario.currency,
        unit=scenario.unit,
        cautions=cautions_there(scenario, known, there.values(), bins),
        place_cards=to_fill_in(book, now.date()),
        waiting=tuple(sorted((_waiting(known, f, now) for f in finds), key=lambda w: -w.days)),
        bins=tuple(sorted(_due(prices, bins, stock), key=lambda due: -due.share)),
        stale=tuple(stale_prices(prices, bins, stock)),
        unpaid=tuple(Unpaid(owed.id, owed.buyer, owed.total, owed.open) for owed in trading.owed(book).values()),
        handled=_handled(ends_so_far(sheet(book.summed(), tips_in(book.facts("buyer:")))), conflicts),
        notes=scenario.notes,
    )


def cautions_there(
    scenario: Scenario, known: Catalogue, finds: Iterable[FindNow], bins: Iterable[BinNow]
) -> tuple[CautionCard, ...]:
    """The cards of all that is there: of the finds that wait, and of what is in the bins."""
    kinds = {find.kind for find in finds if known.knows(find.kind)}
    by_kind = [(kind, hazards_of(known.anatomy(kind), scenario.grades)) for kind in sorted(kinds)]
    grades = {b.grade for b in bins if b.grade in scenario.grades}
    return cards_by_hazard(scenario.cautions, [*by_kind, *((g, scenario.grades[g].hazards) for g in sorted(grades))])


def _left(book: Book, waiting: Mapping[str, FindNow]) -> list[FindNow]:
    """Finds with as many of each as are whole still; the rest of one that was opened counts as one."""
    touched, voided = book.subjects(("opened", "sold"), standing.OPEN) if waiting else frozenset(), book.voided()
    known = estimates_of(book)
    return [
        replace(now, count=max(1, before(book, now, voided).whole))
        if now.count > 1 and f"find:{now.id}" in touched and known.knows(now.kind)
        else now
        for now in waiting.values()
    ]


def _waiting(known: Catalogue, find: FindNow, now: dt.datetime) -> Waiting:
    name = known.anatomy(find.kind).name if known.knows(find.kind) else said_kind(find.kind)
    days = days_between(find.found, now, now.tzinfo)
    mass_kg = find.mg * KG or None
    return Waiting(find.id, find.kind, name, find.count, find.works, mass_kg, days, find.note, find.conflict)


def _due(prices: PriceBook, bins: Sequence[BinNow], stock: Mapping[str, float]) -> Iterable[Due]:
    for now, fill in near_full(bins, prices.grades):
        yield Due(now.id, now.grade, "full", fill.share[1], now.mg * KG, conflict=now.conflict)
    for grade_id, kg in stock.items():
        yield from _lots(prices, grade_id, kg, [b for b in bins if b.grade == grade_id])


def _lots(prices: PriceBook, grade: str, kg: float, bins: list[BinNow]) -> Iterable[Due]:
    """Minimum lots and tiers that the stock of a grade is near, or just past."""
    for buyer in prices.buyers:
        for price in prices.standing(buyer, grade).prices:
            for what, least in (("minimum", price.minimum_kg), ("tier", price.from_kg)):
                if least > 0 and kg / least >= NEAR:
                    names = " ".join(b.id for b in bins)
                    yield Due(names, grade, what, kg / least, kg, buyer, least, _doubts(bins))


def _doubts(bins: Iterable[BinNow]) -> tuple[str, ...]:
    """Why what is in these bins together is in doubt."""
    return tuple(dict.fromkeys(code for b in bins for code in b.conflict))


def stale_prices(prices: PriceBook, bins: Sequence[BinNow], stock: Mapping[str, float]) -> list[Stale]:
    """Grades in stock whose best quote, also as a lower grade, is old or not there; the heaviest first."""
    found = []
    for grade in dict.fromkeys(b.grade for b in bins if b.grade in prices.grades):
        kg = stock.get(grade, 0.0)
        best = Lots(prices, grade, kg, kg).best
        if best is None or best.price.days > NOTICE_DAYS:
            doubts = _doubts(b for b in bins if b.grade == grade)
            found.append(Stale(grade, kg, best.buyer if best else "", best.price.days if best else None, doubts))
    return sorted(found, key=lambda stale: -stale.mass_kg)


def _handled(ends: Ends, conflicts: Iterable[ConflictLine]) -> Handled:
    """The sums; whatever find or bin is in conflict is in them."""
    tipped, residue, stock, lost = (mg * KG for mg in (ends.tipped, ends.residue, ends.stock, ends.lost))
    return Handled(ends.came * KG, ends.diverted * KG, ends.share, tipped, residue, stock, lost, in_doubt(conflicts))
