"""The tables of a year's books, as every form of file writes them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from partway.distances import distance_number
from partway.reports.books.told.year import YearBooks

Cell = str | int | Decimal | dt.date | None


@dataclass(frozen=True, slots=True)
class YearTable:
    """One table: its file's name, its title on a sheet, its columns, its rows; `money` are columns of amounts."""

    name: str
    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    money: tuple[int, ...] = ()


def tables_of(books: YearBooks) -> tuple[YearTable, ...]:
    """All tables; each sum is the report's own."""
    return (
        YearTable("money", "Money", MONEY, tuple(_money(books)), (4,)),
        YearTable("categories", "Categories", CATEGORIES, tuple(_categories(books)), (2,)),
        YearTable("open", "Open items", OPEN, tuple(_open(books)), (3, 4, 5)),
        YearTable("mileage", "Mileage", _columns(books.distance), tuple(_mileage(books))),
        YearTable("places", "Places, estimated", _of_places(books.distance), tuple(_places(books)), (5, 6, 7, 8, 9)),
        YearTable("notes", "Notes", ("note",), tuple((note,) for note in books.notes)),
    )


MONEY = ("day", "category", "party", "about", "amount", "currency", "recorded by")
CATEGORIES = ("category", "lines", "amount", "currency")
OPEN = ("day", "ticket", "buyer", "total", "received", "open", "currency")


def _money(books: YearBooks) -> Iterator[tuple[Cell, ...]]:
    for one in books.lines:
        yield one.day, one.category, one.party, one.about, one.amount, books.currency, one.who


def _categories(books: YearBooks) -> Iterator[tuple[Cell, ...]]:
    for one in books.categories:
        yield one.category, one.lines, one.amount, books.currency
    yield "All of it", len(books.lines), books.net, books.currency


def _open(books: YearBooks) -> Iterator[tuple[Cell, ...]]:
    for one in books.open:
        yield one.day, one.ticket, one.buyer, one.total, one.received, one.open, books.currency


def _columns(distance: str) -> tuple[str, ...]:
    return ("day", "purpose", "where", distance, "minutes", "recorded by")


def _mileage(books: YearBooks) -> Iterator[tuple[Cell, ...]]:
    for one in books.drives:
        far = None if one.km is None else _far(one.km, books.distance)
        yield one.day, one.purpose, one.where, far, one.minutes, one.who
    yield None, "All of it", "", _far(books.km, books.distance), None, ""


def _of_places(distance: str) -> tuple[str, ...]:
    return (
        "where",
        "rounds",
        "finds",
        distance,
        "minutes",
        "brought",
        "waiting",
        "fuel",
        "left",
        "an hour",
        "currency",
    )


def _places(books: YearBooks) -> Iterator[tuple[Cell, ...]]:
    """What rounds brought, place by place: worked out at today's prices, so without a sum."""
    for one in books.places:
        money = (one.brought, one.waiting, one.fuel, one.net, one.per_hour)
        far = _far(one.km, books.distance)
        yield one.place, one.rounds, one.finds, far, one.minutes, *map(_cents, money), books.currency


def _cents(amount: float | None) -> Decimal | None:
    return None if amount is None else Decimal(amount).quantize(Decimal("0.01"))


def _far(km: Decimal, distance: str) -> Decimal:
    """In the workspace's unit, as it was typed: to the last decimal that was kept."""
    return Decimal(distance_number(km, distance))
