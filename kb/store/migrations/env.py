"""Run by Alembic: applies the steps on the connection it is handed, or drafts a new one."""

from __future__ import annotations

from alembic import context
from sqlalchemy import Connection

from kb.store.place import default_url, open_store
from kb.store.rows import Base


def run(connection: Connection) -> None:
    """Apply or compare on one connection; its transaction belongs to whoever opened it."""
    context.configure(
        connection=connection,
        target_metadata=Base.metadata,
        render_as_batch=True,  # SQLite changes a column by making the table anew
        transactional_ddl=True,
    )
    with context.begin_transaction():
        context.run_migrations()


handed = context.config.attributes.get("connection")
if handed is not None:
    run(handed)
else:  # from Alembic's own command line: draft against the store of this machine
    with open_store(default_url()) as store, store.engine.begin() as own:
        run(own)
