"""Derived tables, for people with a spreadsheet. They are ignored when a package is read."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from partway.ledger.book import Book
from partway.ledger.events.codec import payload_kept
from partway.ledger.events.kinds import Quoted
from partway.ledger.events.shapes import decimal_text
from partway.storage.exchange.columns import Column, Json, Table

MINUTES = "minutes:"
Rows = Iterator[list[Json]]


def _table(name: str, about: str, key: tuple[str, ...], *columns: Column) -> Table:
    return Table(f"derived-{name}", columns, key, about)


BALANCES = _table(
    "balances",
    "Where how much of what grade is now: find:ID, bin:ID, buyer:ID, people, residue, loss; outside is what came in.",
    ("place", "grade"),
    Column("place", "string"),
    Column("grade", "string"),
    Column("mass_mg", "integer"),
)
QUOTES = _table(
    "quotes",
    "The latest price heard of each buyer, grade and tier; an empty price: no longer taken.",
    ("buyer", "grade", "from_mg"),
    Column("buyer", "string"),
    Column("grade", "string"),
    Column("from_mg", "integer"),
    Column("price", "number", nullable=True),
    Column("unit", "string"),
    Column("on", "date"),
    Column("minimum_mg", "integer"),
    Column("said", "string"),
    Column("most_mg", "integer"),
    Column("most_pieces", "integer"),
    Column("piece_mg", "integer"),
    Column("each", "boolean"),
    Column("low", "number", nullable=True),
    Column("high", "number", nullable=True),
)
MONEY = _table(
    "money",
    "Money by account, in above zero and out below, in the workspace's currency (set.csv, the name currency).",
    ("account",),
    Column("account", "string"),
    Column("amount", "number"),
)
HOURS = _table(
    "minutes",
    "Minutes worked, by activity.",
    ("activity",),
    Column("activity", "string"),
    Column("minutes", "number"),
)
VOIDED = _table("voided", "Events that were corrected and do not count.", ("event",), Column("event", "uuid"))


def _balances(book: Book) -> Rows:
    return ([place, grade, mg] for (place, grade), mg in sorted(book.balances().items()))


def _quotes(book: Book) -> Rows:
    for (subject, _), value in sorted(book.facts("quote:", "heard").items()):
        heard = payload_kept("quoted", value, subject)
        if isinstance(heard, Quoted):
            price, *ends = (None if one is None else decimal_text(one) for one in (heard.price, heard.low, heard.high))
            tier: list[Json] = [heard.buyer, heard.grade, heard.from_mg]
            word: list[Json] = [price, heard.unit, heard.on.isoformat(), heard.minimum_mg, heard.said]
            yield [*tier, *word, heard.most_mg, heard.most_pieces, heard.piece_mg, heard.each, *ends]


def _money(book: Book) -> Rows:
    return ([name, _plain(amount)] for name, amount in _accounts(book) if not name.startswith(MINUTES))


def _hours(book: Book) -> Rows:
    return ([name[len(MINUTES) :], _plain(sum_)] for name, sum_ in _accounts(book) if name.startswith(MINUTES))


def _accounts(book: Book) -> list[tuple[str, Decimal]]:
    return sorted(book.accounts().items())


def _plain(amount: Decimal) -> str:
    return f"{amount:f}"


def _voided(book: Book) -> Rows:
    return ([str(event_id)] for event_id in sorted(book.voided()))


DERIVED: dict[Table, Callable[[Book], Rows]] = {
    BALANCES: _balances,
    QUOTES: _quotes,
    MONEY: _money,
    HOURS: _hours,
    VOIDED: _voided,
}
