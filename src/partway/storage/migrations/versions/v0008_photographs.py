"""A place for photographs, where they do not lie in a folder."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0006"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """An empty table: on a server it fills as photographs are taken, in a file it is that of a backup."""
    op.create_table(
        "photograph",
        sa.Column("digest", TEXT, primary_key=True, nullable=False),
        sa.Column("content", sa.LargeBinary, nullable=False),
    )
