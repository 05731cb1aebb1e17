"""The sheet of grades and buyers: who pays what, how long ago they said so, and who pays best."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal

from partway.catalogue.cards import shipped_cards
from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.valuing.best_prices import best_of
from partway.valuing.lots import stock_of
from partway.valuing.price_book import PriceBook, QuotedPrice, State


@dataclass(frozen=True, slots=True)
class Cell:
    """One buyer's word on one grade. `best` is the place among `prices` of the one nobody beats, None elsewhere."""

    buyer: str
    state: State
    prices: tuple[QuotedPrice, ...]
    because: tuple[str, ...]
    on: str
    days: int | None
    best: int | None


@dataclass(frozen=True, slots=True)
class GradeRow:
    """One grade, its cells in the order of the columns.

    The best is that of a lot of what is in stock, `for_stock`; else of the smallest lot that each buyer takes.
    `careful` names what can hurt, `unquoted` counts the buyers without a word on it, `note` is what decides whether a
    piece belongs to it.
    """

    grade: str
    name: str
    stock_kg: float
    for_stock: bool
    best: tuple[str, ...]
    careful: tuple[str, ...]
    unquoted: int
    cells: tuple[Cell, ...]
    note: str = ""

    @property
    def is_quoted(self) -> bool:
        """Whether anybody names a price."""
        return any(cell.state == "quoted" for cell in self.cells)


@dataclass(frozen=True, slots=True)
class GradeFamily:
    """Grades that belong together; those that are quoted first."""

    name: str
    rows: tuple[GradeRow, ...]

    @property
    def quoted(self) -> int:
        """How many of them somebody quotes."""
        return sum(row.is_quoted for row in self.rows)

    @property
    def in_stock(self) -> int:
        """How many of them are in a bin."""
        return sum(row.stock_kg > 0 for row in self.rows)


@dataclass(frozen=True, slots=True)
class BuyerColumn:
    """One buyer; `heard` is how many days ago it last named a price, None where it never did. Its prices are as
    they were said; `ticket_fee`, `ticket_share` and postage come off.
    """

    buyer: str
    name: str
    kind: str
    postage_per_kg: float
    quoted: int
    heard: int | None
    stale: int
    ticket_fee: Decimal = Decimal(0)
    ticket_share: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class PriceSheet:
    """All of it. `hidden` counts grades of the catalogue that are neither in stock nor named by any buyer, `others` are
    the families that have such grades alone.
    """

    on: str
    columns: tuple[BuyerColumn, ...]
    families: tuple[GradeFamily, ...]
    hidden: int
    others: tuple[str, ...] = ()

    @property
    def rows(self) -> tuple[GradeRow, ...]:
        """The rows of all families."""
        return tuple(row for family in self.families for row in family.rows)


def report_sheet(book: Book, on: dt.date, family: str = "", only: Collection[str] | None = None) -> PriceSheet:
    """The sheet as of a day: the grades in stock and those with a word on them; of one `family` all there are.

    `only` these grades, in stock or not, where some are asked for.
    """
    prices, stock = PriceBook.of(book, on), stock_of(standing.bins(book).values())
    unknown = sorted((prices.quoted | set(stock)) - set(prices.grades))
    wanted = [*prices.grades, *unknown]
    named = [grade for grade in wanted if grade in stock or grade in prices.quoted]
    shown = [grade for grade in prices.grades if prices.grades[grade].family == family] if family else named
    shown = shown if only is None else [grade for grade in wanted if grade in only]
    rows: dict[str, list[GradeRow]] = {}
    for grade in shown:
        known = prices.grades.get(grade)
        rows.setdefault(known.family if known else "", []).append(_row(prices, grade, stock.get(grade, 0.0)))
    return PriceSheet(
        on=on.isoformat(),
        columns=_columns(prices, [row for family in rows.values() for row in family]),
        families=tuple(GradeFamily(name, _quoted_first(rows[name])) for name in sorted(rows)),
        hidden=0 if family or only is not None else len(wanted) - len(shown),
        others=tuple(sorted({grade.family for grade in prices.grades.values()} - set(rows))) if shown == named else (),
    )


def _quoted_first(rows: list[GradeRow]) -> tuple[GradeRow, ...]:
    return tuple(sorted(rows, key=lambda row: not row.is_quoted))


def _row(prices: PriceBook, grade: str, stock_kg: float) -> GradeRow:
    known = prices.grades.get(grade)
    stands = {buyer: prices.standing(buyer, grade) for buyer in prices.buyers}
    best, for_stock = best_of(prices, stands, stock_kg)
    return GradeRow(
        grade=grade,
        name=known.name if known else grade,
        stock_kg=stock_kg,
        for_stock=for_stock,
        best=tuple(best),
        careful=tuple(card.name for card in shipped_cards(known.hazards if known else ())),
        unquoted=sum(stand.state == "unquoted" for stand in stands.values()),
        cells=tuple(
            Cell(buyer, stand.state, stand.prices, stand.because, stand.on, stand.days, best.get(buyer))
            for buyer, stand in stands.items()
        ),
        note=known.note if known else "",
    )


def _columns(prices: PriceBook, rows: list[GradeRow]) -> tuple[BuyerColumn, ...]:
    columns = []
    for at, (buyer, terms) in enumerate(prices.buyers.items()):
        quoted = [row.cells[at] for row in rows if row.cells[at].state == "quoted"]
        days = [cell.days for cell in quoted if cell.days is not None]
        stale = sum(all(price.age == "old" for price in cell.prices) for cell in quoted)
        postage = prices.postage(buyer)
        heard, fees = min(days, default=None), (terms.ticket_fee, terms.ticket_share)
        columns.append(BuyerColumn(buyer, prices.name(buyer), terms.kind, postage, len(quoted), heard, stale, *fees))
    return tuple(columns)
