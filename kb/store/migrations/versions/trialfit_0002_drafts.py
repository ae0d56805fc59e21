"""Half-entered work is kept."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "trialfit_0002"
down_revision = "trialfit_0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table of drafts."""
    op.create_table(
        "drafts",
        sa.Column("mark", sa.String(length=32), nullable=False),
        sa.Column("what", sa.String(length=12), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("touched_on", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("length(trim(mark)) > 0", name=op.f("drafts_mark_filled")),
        sa.CheckConstraint("length(mark) <= 32", name=op.f("drafts_mark_length")),
        sa.CheckConstraint("length(body) <= 1000000", name=op.f("drafts_body_length")),
        sa.CheckConstraint(
            "touched_on BETWEEN '1900-01-01' AND '2999-12-31'",
            name=op.f("drafts_touched_on_range"),
        ),
        sa.PrimaryKeyConstraint("mark", name=op.f("drafts_pk")),
    )
    op.create_index(op.f("drafts_by_touched_on"), "drafts", ["touched_on"], unique=False)
