"""Whose each device is and in which role, and with which device each event was typed."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Keys that are there become devices of an owner, who goes by the device's name as their events do."""
    op.add_column("device_key", sa.Column("person", TEXT, nullable=False, server_default=""))
    op.add_column("device_key", sa.Column("role", TEXT, nullable=False, server_default="owner"))
    op.execute("UPDATE device_key SET person = name")
    op.create_table(
        "typed_with",
        sa.Column("event", TEXT, sa.ForeignKey("event.id"), primary_key=True, nullable=False),
        sa.Column("device", TEXT, nullable=False),
        sqlite_with_rowid=False,
    )
