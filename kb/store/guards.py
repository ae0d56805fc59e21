"""What is kept stays as it was kept: triggers that refuse a change, in the database itself.

A unit may be flagged as removed and a record may move to its next state; nothing else of
what was written changes and no row is deleted, whatever program has the store open.
"""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection, Table, inspect

from kb.store.rows import Base

MAY_CHANGE = {"units": "removed", "records": "state"}

_SAYS = "what is kept does not change"
_REFUSE = f"""
    CREATE OR REPLACE FUNCTION trialfit_refuse() RETURNS trigger LANGUAGE plpgsql AS
    $$ BEGIN RAISE EXCEPTION USING MESSAGE = '{_SAYS}: ' || TG_TABLE_NAME; END $$
"""


def put(connection: Connection) -> None:
    """Set the guards on every table, in the transaction of the connection."""
    lift(connection)
    server = connection.dialect.name == "postgresql"
    if server:
        connection.exec_driver_sql(_REFUSE)
    for table in Base.metadata.sorted_tables:
        does = (
            "FOR EACH ROW EXECUTE FUNCTION trialfit_refuse()"
            if server
            else f"BEGIN SELECT RAISE(ABORT, '{_SAYS}: {table.name}'); END"
        )
        for name, deed in _guards(connection, table):
            connection.exec_driver_sql(
                f"CREATE TRIGGER {name} BEFORE {deed} ON {table.name} {does}"
            )


def lift(connection: Connection) -> None:
    """Take the guards off, so that a migration may move what is kept."""
    standing = inspect(connection).get_table_names()
    for table in Base.metadata.sorted_tables:
        if table.name in standing:
            of = f" ON {table.name}" if connection.dialect.name == "postgresql" else ""
            for name, _ in _guards(connection, table):
                connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS {name}{of}")


def _guards(connection: Connection, table: Table) -> Iterator[tuple[str, str]]:
    quote = connection.dialect.identifier_preparer.quote
    fixed = [c.name for c in table.columns if c.name != MAY_CHANGE.get(table.name)]
    yield f"{table.name}_keep", f"UPDATE OF {', '.join(quote(name) for name in fixed)}"
    yield f"{table.name}_stay", "DELETE"
