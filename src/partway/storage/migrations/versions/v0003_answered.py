"""What was saved under a key, and how that was answered: the same request sent again saves nothing more."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Make the table of answers, empty."""
    op.create_table(
        "answered",
        sa.Column("key", TEXT, primary_key=True, nullable=False),
        sa.Column("digest", TEXT, nullable=False),
        sa.Column("answer", TEXT, nullable=False),
        sa.Column("at", TEXT, nullable=False),
        sqlite_with_rowid=False,
    )
