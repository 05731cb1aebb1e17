"""Events say which copy of the ledger recorded them, in what order they count, and which event made what they name."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Add the three fields, empty for the events that are there."""
    op.add_column("event", sa.Column("device", TEXT, nullable=False, server_default=""))
    op.add_column("event", sa.Column("order", TEXT))
    op.add_column("event", sa.Column("refs", TEXT, nullable=False, server_default="{}"))
