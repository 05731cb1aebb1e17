"""The sheet of grades and buyers: who pays what, how long ago they said so, and who pays best."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from partway.catalogue import shipped
from partway.ledger.book import Book
from partway.quantities import MG_PER_KG
from partway.valuing.price_book import SAME, Heard, Price, Stand, State


@dataclass(frozen=True, slots=True)
class Cell:
    """One buyer's word on one grade. `best` is the place among `prices` of the one nobody beats, None elsewhere."""

    buyer: str
    state: State
    prices: tuple[Price, ...]
    because: tuple[str, ...]
    on: str
    days: int | None
    best: int | None


@dataclass(frozen=True, slots=True)
class Row:
    """One grade, its cells in the order of the columns.

    The best is that of a lot of what is in stock, `for_stock`; else of the smallest lot that each buyer takes.
    `careful` names what can hurt, `unquoted` counts the buyers without a word on it.
    """

    grade: str
    name: str
    stock_kg: float
    for_stock: bool
    best: tuple[str, ...]
    careful: tuple[str, ...]
    unquoted: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Family:
    """Grades that belong together."""

    name: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """One buyer; `heard` is how many days ago it last named a price, None where it never did."""

    buyer: str
    name: str
    kind: str
    postage_per_kg: float
    quoted: int
    heard: int | None
    stale: int


@dataclass(frozen=True, slots=True)
class PriceSheet:
    """All of it. `hidden` counts grades of the catalogue that are neither in stock nor named by any buyer."""

    on: str
    columns: tuple[Column, ...]
    families: tuple[Family, ...]
    hidden: int

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows of all families."""
        return tuple(row for family in self.families for row in family.rows)


def report_sheet(book: Book, on: dt.date, family: str = "") -> PriceSheet:
    """The sheet as of a day: the grades in stock and those with a word on them; of one `family` all there are."""
    heard, stock = Heard.of(book, on), stock_of(book)
    unknown = sorted((heard.quoted | set(stock)) - set(heard.grades))
    wanted = [*heard.grades, *unknown]
    named = [grade for grade in wanted if grade in stock or grade in heard.quoted]
    shown = [grade for grade in heard.grades if heard.grades[grade].family == family] if family else named
    rows: dict[str, list[Row]] = {}
    for grade in shown:
        known = heard.grades.get(grade)
        rows.setdefault(known.family if known else "", []).append(_row(heard, grade, stock.get(grade, 0.0)))
    return PriceSheet(
        on=on.isoformat(),
        columns=_columns(heard, [row for family in rows.values() for row in family]),
        families=tuple(Family(name, tuple(rows[name])) for name in sorted(rows)),
        hidden=0 if family else len(wanted) - len(shown),
    )


def stock_of(book: Book) -> dict[str, float]:
    """Kilograms of each grade over all bins, where there is something."""
    sums: dict[str, int] = {}
    for (_, grade), mg in book.balances("bin:").items():
        sums[grade] = sums.get(grade, 0) + max(0, mg)
    return {grade: mg / MG_PER_KG for grade, mg in sums.items() if mg > 0}


def _row(heard: Heard, grade: str, stock_kg: float) -> Row:
    known = heard.grades.get(grade)
    stands = {buyer: heard.stand(buyer, grade) for buyer in heard.buyers}
    best, for_stock = best_of(heard, stands, stock_kg)
    return Row(
        grade=grade,
        name=known.name if known else grade,
        stock_kg=stock_kg,
        for_stock=for_stock,
        best=tuple(best),
        careful=tuple(hazard_name(name) for name in (known.hazards if known else ())),
        unquoted=sum(stand.state == "unquoted" for stand in stands.values()),
        cells=tuple(
            Cell(buyer, stand.state, stand.prices, stand.because, stand.on, stand.days, best.get(buyer))
            for buyer, stand in stands.items()
        ),
    )


def hazard_name(hazard: str) -> str:
    """What a hazard is called."""
    card = shipped().cautions.get(hazard)
    return card.name if card else hazard


def best_of(heard: Heard, stands: Mapping[str, Stand], kg: float) -> tuple[dict[str, int], bool]:
    """By buyer, the place of the price that no other beats for a lot of `kg` posted alone; ties are all best.

    Where the lot is too small for any price, or there is no lot, the smallest lots are compared: False.
    """
    reached = list(_offers(heard, stands, kg)) if kg > 0 else []
    offers = reached or list(_smallest(heard, stands))
    top = max((net for _, _, net in offers), default=0.0)
    best: dict[str, int] = {}
    for buyer, place, net in offers:
        if net > top - SAME:
            best.setdefault(buyer, place)
    return best, bool(reached)


def _offers(heard: Heard, stands: Mapping[str, Stand], kg: float) -> Iterable[tuple[str, int, float]]:
    """Buyer, place among its prices and net price per kg of those that the lot is large enough for."""
    for buyer, stand in stands.items():
        for place, price in enumerate(stand.prices):
            lot = heard.for_lot(buyer, price, kg)
            if lot.reached(kg):
                yield buyer, place, lot.net_per_kg


def _smallest(heard: Heard, stands: Mapping[str, Stand]) -> Iterable[tuple[str, int, float]]:
    """The same for the smallest lot that each buyer takes; one that takes any, in full parcels."""
    for buyer, stand in stands.items():
        if stand.prices:
            yield buyer, 0, heard.for_lot(buyer, stand.prices[0], 0.0).net_per_kg


def _columns(heard: Heard, rows: list[Row]) -> tuple[Column, ...]:
    columns = []
    for at, (buyer, terms) in enumerate(heard.buyers.items()):
        quoted = [row.cells[at] for row in rows if row.cells[at].state == "quoted"]
        days = [cell.days for cell in quoted if cell.days is not None]
        stale = sum(all(price.age == "stale" for price in cell.prices) for cell in quoted)
        postage = heard.postage(buyer)
        columns.append(
            Column(buyer, terms.name or buyer, terms.kind, postage, len(quoted), min(days, default=None), stale)
        )
    return tuple(columns)
