"""Upgrades the tables of an older ledger, in one transaction, after a copy was made beside it."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

from sqlalchemy import Connection, Engine, inspect

from partway.storage.connections import REFUSAL, reading, use_log, writing
from partway.storage.exchange.atomic_files import private
from partway.storage.migrations import HEAD, REVISIONS
from partway.storage.refusals import BadLedger, in_words

APPLICATION_ID = 0x70617274  # "part", in the header of the file (sqlite.org, "PRAGMA application_id")
VERSION_TABLE = "alembic_version"
VERSION = "SELECT version_num FROM alembic_version"


def bring_up_to_date(
    engine: Engine, where: str, after: Callable[[Connection], None], *, keep_copy: bool = True
) -> None:
    """Make the tables of a new ledger, or upgrade those of an older one; `after` runs last in the same transaction.

    An older SQLite ledger is copied beside itself first, unless `keep_copy` is false. Raises BadLedger, with everything
    as it was, for a ledger of a newer partway, something that is no ledger, or a database that refuses.
    """
    with reading(engine, where) as connection:
        current = form(connection, where) == HEAD
    if REFUSAL not in engine.get_execution_options():
        with in_words(where):
            use_log(engine)
    if current:
        return
    with writing(engine, where) as connection:
        before = form(connection, where)
        if before == HEAD:  # somebody else was quicker
            return
        if before is not None and keep_copy and engine.dialect.name == "sqlite":
            keep_beside(connection, where, before)
        _run_steps(connection)
        after(connection)


def form(connection: Connection, where: str) -> str | None:
    """The revision of the tables, None where there are none yet. Raises BadLedger for what is no ledger of ours."""
    if connection.dialect.name == "sqlite":
        mark = connection.exec_driver_sql("PRAGMA application_id").scalar_one()
        tables = {str(name) for (name,) in connection.exec_driver_sql("SELECT name FROM sqlite_master")}
        if mark not in {0, APPLICATION_ID} or (tables and mark != APPLICATION_ID):
            raise BadLedger("a database of another program", "a partway ledger", where)
    else:
        tables = set(inspect(connection).get_table_names())
    if VERSION_TABLE not in tables:
        if "event" in tables:
            raise BadLedger("a database with tables of another program", "an empty database or a partway ledger", where)
        return None
    revision = connection.exec_driver_sql(VERSION).scalar()
    if revision not in REVISIONS:
        raise BadLedger(
            f"a ledger written by a newer partway (form {revision})",
            f"a form up to {HEAD}; install the newer version to open it",
            where,
        )
    return str(revision)


def still_ours(connection: Connection, where: str) -> None:
    """Raises BadLedger where a newer partway changed the tables since the ledger was opened."""
    revision = connection.exec_driver_sql(VERSION).scalar()
    if revision != HEAD:
        raise BadLedger(f"a ledger that became form {revision} while it was open", f"form {HEAD}", where)


def keep_beside(connection: Connection, where: str, revision: str) -> Path:
    """A copy of a SQLite ledger beside it, named after its form; the file it went to."""
    source = Path(str(connection.engine.url.database))
    target = source.with_name(f"{source.name}.form-{revision}")
    count = 1
    while target.exists():
        count += 1
        target = source.with_name(f"{source.name}.form-{revision}-{count}")
    with in_words(where):
        private(target)
        # Another connection: it sees what was there before this transaction, and nobody else can write meanwhile.
        original, copy = sqlite3.connect(source), sqlite3.connect(target)
        try:
            original.backup(copy)
        finally:
            original.close()
            copy.close()
    return target


def _run_steps(connection: Connection) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", "partway:storage/migrations")
    config.set_main_option("path_separator", "os")
    command.upgrade(config, HEAD)
    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
