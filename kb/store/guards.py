"""What is kept stays as it was kept: triggers that refuse a change, in the database itself.

A unit may be flagged as removed and a record may move to its next state; nothing else of
what was written changes and no row is deleted, whatever program has the store open. What is
not kept but in hand (drafts) is open.
"""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection, inspect

MAY_CHANGE = {"units": "removed", "records": "state"}
OPEN = ("drafts",)  # tables whose rows come and go

_SAYS = "what is kept does not change"
_REFUSE = f"""
    CREATE OR REPLACE FUNCTION trialfit_refuse() RETURNS trigger LANGUAGE plpgsql AS
    $$ BEGIN RAISE EXCEPTION USING MESSAGE = '{_SAYS}: ' || TG_TABLE_NAME; END $$
"""


def put(connection: Connection) -> None:
    """Set the guards on every table there is, in the transaction of the connection."""
    lift(connection)
    server = connection.dialect.name == "postgresql"
    if server:
        connection.exec_driver_sql(_REFUSE)
    for table, name, deed in _guards(connection):
        does = (
            "FOR EACH ROW EXECUTE FUNCTION trialfit_refuse()"
            if server
            else f"BEGIN SELECT RAISE(ABORT, '{_SAYS}: {table}'); END"
        )
        connection.exec_driver_sql(f"CREATE TRIGGER {name} BEFORE {deed} ON {table} {does}")


def lift(connection: Connection) -> None:
    """Take the guards off, so that a migration may move what is kept."""
    server = connection.dialect.name == "postgresql"
    for table, name, _ in _guards(connection):
        of = f" ON {table}" if server else ""
        connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS {name}{of}")


def _guards(connection: Connection) -> Iterator[tuple[str, str, str]]:
    """Table, name and deed of every guard."""
    standing = inspect(connection)
    quote = connection.dialect.identifier_preparer.quote
    for table in sorted(standing.get_table_names()):
        if table != "alembic_version" and table not in OPEN:
            columns = [column["name"] for column in standing.get_columns(table)]
            fixed = ", ".join(quote(name) for name in columns if name != MAY_CHANGE.get(table))
            yield table, f"{table}_keep", f"UPDATE OF {fixed}"
            yield table, f"{table}_stay", "DELETE"
