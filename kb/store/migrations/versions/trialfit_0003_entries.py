"""What is written to a kept design afterwards."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "trialfit_0003"
down_revision = "trialfit_0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table of entries."""
    op.create_table(
        "entries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("record_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=8), nullable=False),
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("figure", sa.Double(), nullable=True),
        sa.Column("entered_by", sa.Text(), nullable=False),
        sa.Column("entered_on", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "kind IN ('state', 'built', 'note', 'change', 'spent', 'file')",
            name=op.f("entries_kind_known"),
        ),
        sa.CheckConstraint("length(key) <= 200", name=op.f("entries_key_length")),
        sa.CheckConstraint("length(text) <= 100000", name=op.f("entries_text_length")),
        sa.CheckConstraint(
            "figure BETWEEN -1000000000000 AND 1000000000000", name=op.f("entries_figure_range")
        ),
        sa.CheckConstraint(
            "entered_on BETWEEN '1900-01-01' AND '2999-12-31'",
            name=op.f("entries_entered_on_range"),
        ),
        sa.ForeignKeyConstraint(
            ["record_id"], ["records.id"], name=op.f("entries_record_id_of_records")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("entries_pk")),
    )
    op.create_index(op.f("entries_by_record_id_kind"), "entries", ["record_id", "kind"])
