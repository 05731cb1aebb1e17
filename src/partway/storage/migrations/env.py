"""Alembic's way in. Only ever run by `storage.tables.upgrade`, which brings the connection and its transaction."""

from alembic import context

connection = context.config.attributes["connection"]
# The steps run inside the transaction that is already open, also on SQLite, which can undo a change of tables.
context.configure(connection=connection, transactional_ddl=True)
context.run_migrations()
