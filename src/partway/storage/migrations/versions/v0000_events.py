"""What happened: one table."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0000"
down_revision = None

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Make the table of events."""
    op.create_table(
        "event",
        sa.Column("id", TEXT, primary_key=True, nullable=False),
        sa.Column("kind", TEXT, nullable=False),
        sa.Column("who", TEXT, nullable=False),
        sa.Column("happened", TEXT, nullable=False),
        sa.Column("typed", TEXT, nullable=False),
        sa.Column("schema", sa.Integer, nullable=False),
        sa.Column("data", TEXT, nullable=False),
        sqlite_with_rowid=False,
    )
