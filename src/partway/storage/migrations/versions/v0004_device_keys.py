"""Keys of phones and other devices, which open the app from elsewhere on the network."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Make the table of keys, empty."""
    op.create_table(
        "device_key",
        sa.Column("digest", TEXT, primary_key=True, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("made", TEXT, nullable=False),
        sa.Column("seen", TEXT, nullable=False),
        sa.Column("ended", TEXT, nullable=False),
        sqlite_with_rowid=False,
    )
