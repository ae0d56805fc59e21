"""One reading of several may be chosen by hand."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "trialfit_0005"
down_revision = "trialfit_0004"
branch_labels = None
depends_on = None

COLUMN = "chosen BOOLEAN DEFAULT 0 NOT NULL"
CHECK = "CONSTRAINT dimensions_chosen_yes_no CHECK (chosen IN (0, 1))"


def upgrade() -> None:
    """Add the mark of the chosen reading; none is chosen yet."""
    if op.get_bind().dialect.name == "sqlite":
        _made_anew()
        return
    chosen: sa.Column[bool] = sa.Column(
        "chosen", sa.Boolean(), server_default=sa.false(), nullable=False
    )
    op.add_column("dimensions", chosen)


def _made_anew() -> None:
    """SQLite adds no named check to a table that is there, so the table is made anew."""
    held = "SELECT sql FROM sqlite_master WHERE type = 'table' AND name = 'dimensions'"
    columns, mark, checks = str(op.get_bind().scalar(sa.text(held))).partition("CONSTRAINT ")
    op.drop_index("dimensions_by_key_value", "dimensions")
    op.rename_table("dimensions", "dimensions_before")
    op.execute(f"{columns}{COLUMN}, \n\t{CHECK}, \n\t{mark}{checks}")
    op.execute("INSERT INTO dimensions SELECT *, 0 FROM dimensions_before")
    op.drop_table("dimensions_before")
    op.create_index("dimensions_by_key_value", "dimensions", ["key", "value"])
