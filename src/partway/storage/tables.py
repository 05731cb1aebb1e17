"""The tables of a ledger. `event` and what hangs on it are only ever added to; the read models follow from them.

Masses are whole milligrams. Money is exact decimal text, never a binary number. Times are text of one width in UTC, so
that they sort as they are; ids are UUIDs as text, which sort by the time of typing. Text compares byte by byte on every
database, whatever its language settings.
"""

from __future__ import annotations

from sqlalchemy import BigInteger, Boolean, Column, ForeignKey, Index, Integer, MetaData, Table, Text

ANYWHERE = Text().with_variant(Text(collation="C"), "postgresql")
metadata = MetaData()


def _event_id(*, primary_key: bool = False) -> Column[str]:
    return Column("event", ANYWHERE, ForeignKey("event.id"), nullable=False, primary_key=primary_key)


def _text(name: str, *, primary_key: bool = False) -> Column[str]:
    return Column(name, ANYWHERE, nullable=False, primary_key=primary_key)


# What happened. `data` is the payload as canonical JSON (ledger.codec).
event = Table(
    "event",
    metadata,
    _text("id", primary_key=True),
    _text("kind"),
    _text("who"),
    _text("happened"),
    _text("typed"),
    Column("schema", Integer, nullable=False),
    _text("data"),
    # Empty for schema 1. `order` is only there where it differs from `happened`; `refs` is canonical JSON.
    Column("device", ANYWHERE, nullable=False, server_default=""),
    Column("order", ANYWHERE),
    Column("refs", ANYWHERE, nullable=False, server_default="{}"),
    Index("event_kind", "kind", "id"),
    Index("event_happened", "happened"),
    sqlite_with_rowid=False,
)

# What each event is about, and what it means, one row each. `live` is false while the event is voided.
about = Table(
    "about",
    metadata,
    _text("subject", primary_key=True),
    _event_id(primary_key=True),
    sqlite_with_rowid=False,
)
correction = Table(
    "correction",
    metadata,
    _text("target", primary_key=True),  # no foreign key: a correction may arrive before what it corrects
    _event_id(primary_key=True),
    sqlite_with_rowid=False,
)
move = Table(
    "move",
    metadata,
    _event_id(),
    _text("source"),
    _text("target"),
    _text("grade"),
    Column("mg", BigInteger, nullable=False),
    Column("live", Boolean, nullable=False),
    Index("move_event", "event"),
)
fact = Table(
    "fact",
    metadata,
    _event_id(),
    _text("subject"),
    _text("name"),
    _text("value"),
    _text("happened"),
    Column("live", Boolean, nullable=False),
    Index("fact_event", "event"),
    Index("fact_word", "subject", "name", "happened", "event"),
)
entry = Table(
    "entry",
    metadata,
    _event_id(),
    _text("account"),
    _text("amount"),
    _text("tag"),
    Column("live", Boolean, nullable=False),
    Index("entry_event", "event"),
    Index("entry_account", "account"),
)

# Read models: what `partway today` and the plan start from. `rebuild` makes them anew from the events alone.
balance = Table(
    "balance",
    metadata,
    _text("place", primary_key=True),
    _text("grade", primary_key=True),
    Column("mg", BigInteger, nullable=False),
    sqlite_with_rowid=False,
)
word = Table(
    "word",
    metadata,
    _text("subject", primary_key=True),
    _text("name", primary_key=True),
    _text("value"),
    _text("happened"),
    _event_id(),
    Index("word_name", "name", "subject"),
    sqlite_with_rowid=False,
)
account = Table(
    "account",
    metadata,
    _text("name", primary_key=True),
    _text("amount"),
    sqlite_with_rowid=False,
)
voided = Table("voided", metadata, _event_id(primary_key=True), sqlite_with_rowid=False)

DERIVED = (voided, account, word, balance, entry, fact, move, correction, about)  # in an order they can be emptied in
READ_MODELS = (voided, account, word, balance)
