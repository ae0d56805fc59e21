"""Run by Alembic: applies the steps, or compares for a new one, on the connection handed to it."""

from __future__ import annotations

from alembic import context

from kb.store.rows import Base

context.configure(
    connection=context.config.attributes["connection"],  # its transaction is whose it came from
    target_metadata=Base.metadata,
    render_as_batch=True,  # SQLite changes a column by making the table anew
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
