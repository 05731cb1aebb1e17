"""The tables of a ledger. Rows of `event` are never changed or removed; the read models are derived from them.

Masses are whole milligrams. Money is exact decimal text, never a binary number. Times are text of one width in UTC, so
that they sort as they are; ids are UUIDs as text, which sort by the time of typing. Text compares byte by byte on every
database, whatever its language settings.
"""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    text,
)

ANYWHERE = Text().with_variant(Text(collation="C"), "postgresql")
metadata = MetaData()


def _event_id(*, primary_key: bool = False) -> Column[str]:
    return Column("event", ANYWHERE, ForeignKey("event.id"), nullable=False, primary_key=primary_key)


def _text(name: str, *, primary_key: bool = False) -> Column[str]:
    return Column(name, ANYWHERE, nullable=False, primary_key=primary_key)


# What happened. `data` is the payload as canonical JSON (ledger.events.codec).
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
    # Of schema 1, `device` is empty and `order` the same as `happened`. `refs` is canonical JSON.
    Column("device", ANYWHERE, nullable=False, server_default=""),
    Column("order", ANYWHERE, nullable=False, server_default=""),
    Column("refs", ANYWHERE, nullable=False, server_default="{}"),
    Column("intent", ANYWHERE, nullable=False, server_default=""),  # empty where nothing is known to have asked for it
    Index("event_kind", "kind", "id"),
    Index("event_happened", "happened"),
    Index("event_device", "device", "order"),
    Index("event_intent", "intent", sqlite_where=text("intent > ''"), postgresql_where=text("intent > ''")),
    sqlite_with_rowid=False,
)

# Which copy of the ledger this is, and where it was when it drew its mark: a copy made by other means draws its own.
copy = Table("copy", metadata, _text("device", primary_key=True), _text("place"))

# Finds, bins, hauls and tickets by what the event `first` called them; `maker` is empty for what schema 1 calls so.
# `key` is what they go by here (ledger.fold.things), and `alias` has it for each event that uses another name.
thing = Table(
    "thing",
    metadata,
    _text("subject", primary_key=True),
    _text("maker", primary_key=True),
    _text("first"),
    _text("key"),
    Index("thing_maker", "maker"),
    Index("thing_key", "key"),
    sqlite_with_rowid=False,
)
alias = Table(
    "alias",
    metadata,
    _event_id(primary_key=True),
    _text("subject", primary_key=True),
    _text("key"),
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
    _text("order"),
    Column("live", Boolean, nullable=False),
    Index("move_event", "event"),
    Index("move_source", "source", "order"),
    Index("move_target", "target", "order"),
)
# What scales said. The movement that one comes to is in `move`, and changes when an older event arrives.
assertion = Table(
    "assertion",
    metadata,
    _event_id(primary_key=True),
    _text("place"),
    _text("grade"),
    Column("mg", BigInteger, nullable=False),
    _text("other"),
    _text("order"),
    Column("live", Boolean, nullable=False),
    Index("assertion_place", "place", "grade", "order", "event"),
    sqlite_with_rowid=False,
)
fact = Table(
    "fact",
    metadata,
    _event_id(),
    _text("subject"),
    _text("name"),
    _text("value"),
    _text("happened"),
    _text("order"),
    Column("live", Boolean, nullable=False),
    Index("fact_event", "event"),
    Index("fact_word", "subject", "name", "order", "event"),
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
    _text("order"),
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
# What cannot all be true (ledger.balance.conflicts), by what it is about; canonical JSON. Mostly empty.
conflict = Table("conflict", metadata, _text("about", primary_key=True), _text("data"), sqlite_with_rowid=False)

# In an order they can be emptied in.
DERIVED = (conflict, voided, account, word, balance, entry, fact, assertion, move, correction, about, alias, thing)
READ_MODELS = (conflict, voided, account, word, balance)

# What was saved under a key that the sender chose, and the answer to it as JSON (storage.writing.answered).
answered = Table(
    "answered",
    metadata,
    _text("key", primary_key=True),
    _text("digest"),
    _text("answer"),
    _text("at"),
    sqlite_with_rowid=False,
)

# Keys of phones and other devices (storage.writing.device_keys): a digest each, never the key. `seen` is empty while a
# key was not used, `ended` while it opens. `person` is who events say typed, `role` what they may (ledger.roles).
device_key = Table(
    "device_key",
    metadata,
    _text("digest", primary_key=True),
    _text("name"),
    _text("made"),
    _text("seen"),
    _text("ended"),
    Column("person", ANYWHERE, nullable=False, server_default=""),
    Column("role", ANYWHERE, nullable=False, server_default="owner"),
    sqlite_with_rowid=False,
)
# With which device an event was typed, by the name of its key; nothing for what was typed at the machine itself. It
# stays in this copy of the ledger, as the keys do.
typed_with = Table("typed_with", metadata, _event_id(primary_key=True), _text("device"), sqlite_with_rowid=False)

# Photographs by their digest (storage.photographs): on a server, and in a backup. Beside a SQLite ledger that is in use
# they lie in a folder, and nothing is here.
photograph = Table(
    "photograph",
    metadata,
    _text("digest", primary_key=True),
    Column("content", LargeBinary, nullable=False),
)
