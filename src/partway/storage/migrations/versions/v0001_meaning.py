"""What events mean, and the read models that follow: the first release. They are filled by a rebuild afterwards."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = "0000"

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
    """Make the tables that follow from the events."""
    op.create_index("event_kind", "event", ["kind", "id"])
    op.create_index("event_happened", "event", ["happened"])
    _meaning()
    _read_models()


def _meaning() -> None:
    op.create_table("about", _text("subject", key=True), _event(key=True), sqlite_with_rowid=False)
    op.create_table("correction", _text("target", key=True), _event(key=True), sqlite_with_rowid=False)
    op.create_table("move", _event(), _text("source"), _text("target"), _text("grade"), _mg(), _live())
    op.create_table("fact", _event(), _text("subject"), _text("name"), _text("value"), _text("happened"), _live())
    op.create_table("entry", _event(), _text("account"), _text("amount"), _text("tag"), _live())
    for table in ("move", "fact", "entry"):
        op.create_index(f"{table}_event", table, ["event"])
    op.create_index("fact_word", "fact", ["subject", "name", "happened", "event"])
    op.create_index("entry_account", "entry", ["account"])


def _read_models() -> None:
    op.create_table("balance", _text("place", key=True), _text("grade", key=True), _mg(), sqlite_with_rowid=False)
    op.create_table(
        "word",
        _text("subject", key=True),
        _text("name", key=True),
        _text("value"),
        _text("happened"),
        _event(),
        sqlite_with_rowid=False,
    )
    op.create_index("word_name", "word", ["name", "subject"])
    op.create_table("account", _text("name", key=True), _text("amount"), sqlite_with_rowid=False)
    op.create_table("voided", _event(key=True), sqlite_with_rowid=False)
