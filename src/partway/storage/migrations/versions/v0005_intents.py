"""Events say what asked for them, so that what was carried out once is known for as long as the ledger is."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
ASKED = sa.text("intent > ''")


def upgrade() -> None:
    """Add the field, empty for the events that are there, with an index of those that have one."""
    op.add_column("event", sa.Column("intent", TEXT, nullable=False, server_default=""))
    op.create_index("event_intent", "event", ["intent"], sqlite_where=ASKED, postgresql_where=ASKED)
