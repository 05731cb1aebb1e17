"""Events say which copy of the ledger recorded them, in what order they count, and which event made what they name.

New tables hold names and what scales asserted; a rebuild fills them afterwards.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def _text(name: str, *, key: bool = False) -> sa.Column[str]:
    return sa.Column(name, TEXT, nullable=False, primary_key=key)


def _event(*, key: bool = False) -> sa.Column[str]:
    return sa.Column("event", TEXT, sa.ForeignKey("event.id"), nullable=False, primary_key=key)


def _live() -> sa.Column[bool]:
    return sa.Column("live", sa.Boolean, nullable=False)


def _mg() -> sa.Column[int]:
    return sa.Column("mg", sa.BigInteger, nullable=False)


def upgrade() -> None:
    """Add three fields to the events, empty for those that are there, and make anew what follows from them."""
    for name, empty in (("device", ""), ("order", ""), ("refs", "{}")):
        op.add_column("event", sa.Column(name, TEXT, nullable=False, server_default=empty))
    op.execute('UPDATE event SET "order" = happened')
    op.create_index("event_device", "event", ["device", "order"])
    op.create_table("copy", _text("device", key=True), _text("place"))
    _things()
    _meaning()
    op.create_table("conflict", _text("about", key=True), _text("data"), sqlite_with_rowid=False)


def _things() -> None:
    op.create_table(
        "thing",
        _text("subject", key=True),
        _text("maker", key=True),
        _text("first"),
        _text("key"),
        sqlite_with_rowid=False,
    )
    op.create_index("thing_maker", "thing", ["maker"])
    op.create_index("thing_key", "thing", ["key"])
    op.create_table("alias", _event(key=True), _text("subject", key=True), _text("key"), sqlite_with_rowid=False)


def _meaning() -> None:
    for table in ("move", "fact", "word"):
        op.drop_table(table)
    op.create_table("move", _event(), _text("source"), _text("target"), _text("grade"), _mg(), _text("order"), _live())
    op.create_index("move_event", "move", ["event"])
    for end in ("source", "target"):
        op.create_index(f"move_{end}", "move", [end, "order"])
    op.create_table(
        "fact", _event(), _text("subject"), _text("name"), _text("value"), _text("happened"), _text("order"), _live()
    )
    op.create_index("fact_event", "fact", ["event"])
    op.create_index("fact_word", "fact", ["subject", "name", "order", "event"])
    op.create_table(
        "word",
        _text("subject", key=True),
        _text("name", key=True),
        _text("value"),
        _text("order"),
        _event(),
        sqlite_with_rowid=False,
    )
    op.create_index("word_name", "word", ["name", "subject"])
    op.create_table(
        "assertion",
        _event(key=True),
        _text("place"),
        _text("grade"),
        _mg(),
        _text("other"),
        _text("order"),
        _live(),
        sqlite_with_rowid=False,
    )
    op.create_index("assertion_place", "assertion", ["place", "grade", "order", "event"])
