"""The shop's own sheet is kept, every version of it."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "trialfit_0004"
down_revision = "trialfit_0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table of shop sheets."""
    op.create_table(
        "shops",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sheet", sa.Text(), nullable=False),
        sa.Column("kept_by", sa.Text(), nullable=False),
        sa.Column("kept_on", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("length(sheet) <= 1000000", name=op.f("shops_sheet_length")),
        sa.CheckConstraint(
            "kept_on BETWEEN '1900-01-01' AND '2999-12-31'", name=op.f("shops_kept_on_range")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("shops_pk")),
    )
