"""Works out everything derived anew from the events alone.

It uses the plain fold of the ledger, not the increments of `derive`, so that each can be checked against the other.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sqlalchemy import Connection, delete, select

from partway.ledger.balance.conflict_search import conflicts_in, counted_in
from partway.ledger.events.shapes import time_text
from partway.ledger.fold.fold import State, check, fold
from partway.storage.tables import tables as t
from partway.storage.tables.rows import Row, event_from, money_text
from partway.storage.writing.conflict_rows import rows_of
from partway.storage.writing.derive import CHUNK, put, put_meaning
from partway.storage.writing.naming import alias_rows, thing_rows

Models = dict[str, list[tuple[Any, ...]]]


def rebuild(connection: Connection) -> None:
    """Empty and refill every table except that of the events. Raises LedgerUnsound if mass does not balance."""
    state = fold(event_from(row) for row in connection.execute(select(t.event)))
    check(state)
    for table in t.DERIVED:
        connection.execute(delete(table))
    _meaning(connection, state)
    models = _models(state)
    for table in t.READ_MODELS:
        put(connection, table, models[table.name])


def read_models(connection: Connection) -> Models:
    """The rows of the read models as they are, in order."""
    return {table.name: sorted([tuple(r) for r in connection.execute(select(table))]) for table in t.READ_MODELS}


def models_of(state: State) -> Models:
    """The rows the read models should have."""
    found = _models(state)
    names = {table.name: [column.name for column in table.columns] for table in t.READ_MODELS}
    return {name: sorted([tuple(row[c] for c in columns) for row in found[name]]) for name, columns in names.items()}


def _models(state: State) -> dict[str, list[Row]]:
    return {
        "balance": [{"place": place, "grade": grade, "mg": mg} for (place, grade), mg in state.balances.items()],
        "word": [
            {
                "subject": subject,
                "name": name,
                "value": word.value,
                "order": time_text(word.order),
                "event": str(word.event),
            }
            for (subject, name), word in state.facts.items()
        ],
        "account": [{"name": name, "amount": money_text(amount)} for name, amount in state.accounts.items()],
        "voided": [{"event": str(event_id)} for event_id in state.voided],
        "conflict": rows_of(conflicts_in(counted_in(state))),
    }


def _meaning(connection: Connection, state: State) -> None:
    corrections = ({"target": str(target), "event": str(by)} for by, target in state.corrections.items())
    put(connection, t.correction, corrections)
    put(connection, t.thing, thing_rows(state.things))
    void = {str(event_id) for event_id in state.voided}
    for part in _parts(sorted(state.events.items())):
        recorded = {str(event_id): event for event_id, event in part}
        put(connection, t.alias, alias_rows(state.things, recorded))
        events = {name: state.things.known(event) for name, event in recorded.items()}
        put_meaning(connection, events, {str(event_id): state.meanings[event_id] for event_id, _ in part}, void)


def _parts(items: list[Any]) -> Iterator[list[Any]]:
    for start in range(0, len(items), 10 * CHUNK):
        yield items[start : start + 10 * CHUNK]
