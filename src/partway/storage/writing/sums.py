"""Collects the change of several events to the read models, and writes it in a few statements."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from typing import Any

from sqlalchemy import Connection, bindparam, delete, insert, select, tuple_

from partway.ledger.balance.asserting import Key, lines_of
from partway.ledger.events.effects import Effects
from partway.ledger.events.event import Event
from partway.ledger.events.meaning import EXACT, postings
from partway.storage.tables import tables as t
from partway.storage.tables.rows import money_text, position_text

ZERO = Decimal(0)
Field = tuple[str, str]  # subject, name
Said = tuple[str, str, str]  # order, event, value
Position = tuple[str, str]  # order, event

NO_MASS = delete(t.balance).where(t.balance.c.mg == 0)
NO_MONEY = delete(t.account).where(t.account.c.amount == "0")
SUMS = select(t.account.c.name, t.account.c.amount).where(t.account.c.name.in_(bindparam("names", expanding=True)))


@dataclass(slots=True)
class Change:
    """A change of the read models: sums to add to balances and accounts, new facts, facts to look up again.

    `touched`: finds and bins with the positions at which they changed, so that later recounts are settled again.
    """

    balances: dict[tuple[str, str], int] = field(default_factory=dict)
    accounts: dict[str, Decimal] = field(default_factory=dict)
    said: dict[Field, Said] = field(default_factory=dict)
    ask: set[Field] = field(default_factory=set)
    touched: dict[Key, set[Position]] = field(default_factory=dict)

    def add(self, effects: Effects, times: int) -> None:
        """Add the masses and money of an event, `times` 1, or -1 to take it back."""
        for key, mg in postings(effects.moves).items():
            self.balances[key] = self.balances.get(key, 0) + times * mg
        for entry in effects.entries:
            self.accounts[entry.account] = _plus(
                self.accounts.get(entry.account, ZERO), EXACT.multiply(entry.amount, Decimal(times))
            )

    def say(self, effects: Effects, event: Event) -> None:
        """Add the facts of a new event that counts; the latest of each field is kept."""
        for fact in effects.facts:
            key, said = (fact.subject, fact.name), (*position_text(event), fact.value)
            self.said[key] = max(self.said.get(key, said), said)

    def touch(self, effects: Effects, event: Event) -> None:
        """Note the finds and bins that an event touches."""
        for key in lines_of(event, effects):
            self.touched.setdefault(key, set()).add(position_text(event))


def apply(connection: Connection, change: Change) -> None:
    """Writes a change into the read models."""
    _balances(connection, {key: mg for key, mg in change.balances.items() if mg})
    _accounts(connection, change.accounts)
    _words(connection, change.said)
    for subject, name in sorted(change.ask):
        _look_up(connection, subject, name)


def _plus(one: Decimal, other: Decimal) -> Decimal:
    return EXACT.add(one, other)


def _upsert(dialect: str, table: Any) -> Any:
    """An INSERT that can update a row that is already there; each database has its own."""
    if dialect == "sqlite":
        from sqlalchemy.dialects import sqlite

        return sqlite.insert(table)
    from sqlalchemy.dialects import postgresql

    return postgresql.insert(table)


@cache
def _into_balance(dialect: str) -> Any:
    into = _upsert(dialect, t.balance)
    return into.on_conflict_do_update(
        index_elements=[t.balance.c.place, t.balance.c.grade],
        set_={"mg": t.balance.c.mg + into.excluded.mg},
    )


@cache
def _into_account(dialect: str) -> Any:
    into = _upsert(dialect, t.account)
    return into.on_conflict_do_update(index_elements=[t.account.c.name], set_={"amount": into.excluded.amount})


@cache
def _into_word(dialect: str) -> Any:
    into = _upsert(dialect, t.word)
    new, old = into.excluded, t.word.c
    return into.on_conflict_do_update(
        index_elements=[old.subject, old.name],
        set_={"value": new.value, "order": new.order, "event": new.event},
        where=tuple_(new.order, new.event) > tuple_(old.order, old.event),
    )


def _balances(connection: Connection, changes: dict[tuple[str, str], int]) -> None:
    if not changes:
        return
    rows = [{"place": place, "grade": grade, "mg": mg} for (place, grade), mg in sorted(changes.items())]
    connection.execute(_into_balance(connection.dialect.name), rows)
    connection.execute(NO_MASS)


def _accounts(connection: Connection, changes: dict[str, Decimal]) -> None:
    if not changes:
        return
    found = connection.execute(SUMS, {"names": sorted(changes)})
    sums = {name: Decimal(amount) for name, amount in found}
    rows = [{"name": n, "amount": money_text(_plus(amount, sums.get(n, ZERO)))} for n, amount in changes.items()]
    connection.execute(_into_account(connection.dialect.name), rows)
    connection.execute(NO_MONEY)


def _words(connection: Connection, said: dict[Field, Said]) -> None:
    if not said:
        return
    connection.execute(_into_word(connection.dialect.name), [_word(key, word) for key, word in sorted(said.items())])


def _word(key: Field, said: Said) -> dict[str, str]:
    return dict(zip(("subject", "name", "order", "event", "value"), (*key, *said), strict=True))


def _look_up(connection: Connection, subject: str, name: str) -> None:
    """Look up the latest value of a field, after an event stopped or started counting."""
    fact, word = t.fact.c, t.word.c
    query = (
        select(fact.order, fact.event, fact.value)
        .where(fact.subject == subject, fact.name == name, fact.live)
        .order_by(fact.order.desc(), fact.event.desc(), fact.value.desc())
        .limit(1)
    )
    connection.execute(delete(t.word).where(word.subject == subject, word.name == name))
    if last := connection.execute(query).one_or_none():
        connection.execute(insert(t.word).values(_word((subject, name), (last.order, last.event, last.value))))
