"""The first step: units with their parts, dimensions and facts, and kept designs."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "trialfit_0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make every table of the first edition."""
    op.create_table(
        "units",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("name_key", sa.String(length=200), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column(
            "removed",
            sa.Boolean(create_constraint=True, name="removed_yes_no"),
            server_default=sa.false(),
            nullable=False,
        ),
        sa.Column("made_on", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.Text(), nullable=False),
        sa.Column("rotation", sa.String(length=3), nullable=True),
        sa.Column("drive", sa.String(length=12), nullable=True),
        sa.Column("torque_nmm", sa.Double(), nullable=True),
        sa.Column("max_speed_rpm", sa.Double(), nullable=True),
        sa.CheckConstraint(
            "drive IN ('crank flange', 'flywheel', 'converter', 'shaft', 'flange')",
            name=op.f("units_drive_known"),
        ),
        sa.CheckConstraint(
            "kind IN ('engine', 'gearbox', 'flywheel', 'clutch', 'flexplate')",
            name=op.f("units_kind_known"),
        ),
        sa.CheckConstraint(
            "made_on BETWEEN '1900-01-01' AND '2999-12-31'", name=op.f("units_made_on_range")
        ),
        sa.CheckConstraint("rotation IN ('ccw', 'cw')", name=op.f("units_rotation_known")),
        sa.CheckConstraint("length(name) <= 200", name=op.f("units_name_length")),
        sa.CheckConstraint("length(trim(name)) > 0", name=op.f("units_name_filled")),
        sa.CheckConstraint("length(trim(name_key)) > 0", name=op.f("units_name_key_filled")),
        sa.CheckConstraint(
            "max_speed_rpm > 0 AND max_speed_rpm < 1e12", name=op.f("units_max_speed_rpm_range")
        ),
        sa.CheckConstraint("name_key = lower(name_key)", name=op.f("units_name_key_lower")),
        sa.CheckConstraint(
            "revision BETWEEN 1 AND 1000000 AND revision = round(revision)",
            name=op.f("units_revision_range"),
        ),
        sa.CheckConstraint(
            "torque_nmm > 0 AND torque_nmm < 1e12", name=op.f("units_torque_nmm_range")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("units_pk")),
        sa.UniqueConstraint(
            "kind", "name_key", "revision", name=op.f("units_kind_name_key_revision_once")
        ),
    )
    op.create_table(
        "circles",
        sa.Column("unit_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("start", sa.Double(), nullable=False),
        sa.Column("thread", sa.String(length=20), nullable=True),
        sa.Column("bolt", sa.String(length=20), nullable=True),
        sa.Column("grade", sa.Text(), nullable=True),
        sa.Column(
            "through", sa.Boolean(create_constraint=True, name="through_yes_no"), nullable=True
        ),
        sa.CheckConstraint(
            "substr(key, length(key) - 5) = 'circle'", name=op.f("circles_key_known")
        ),
        sa.CheckConstraint(
            "count BETWEEN 1 AND 1000 AND count = round(count)", name=op.f("circles_count_range")
        ),
        sa.CheckConstraint("start BETWEEN -100000 AND 100000", name=op.f("circles_start_range")),
        sa.ForeignKeyConstraint(["unit_id"], ["units.id"], name=op.f("circles_unit_id_of_units")),
        sa.PrimaryKeyConstraint("unit_id", "key", name=op.f("circles_pk")),
    )
    op.create_index(op.f("circles_by_count"), "circles", ["count"])
    op.create_table(
        "dimensions",
        sa.Column("unit_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("reading", sa.Integer(), nullable=False),
        sa.Column("value", sa.Double(), nullable=False),
        sa.Column("below", sa.Double(), nullable=True),
        sa.Column("above", sa.Double(), nullable=True),
        sa.Column(
            "limits", sa.Boolean(create_constraint=True, name="limits_yes_no"), nullable=False
        ),
        sa.Column("unit", sa.String(length=2), nullable=False),
        sa.Column("typed", sa.Text(), nullable=False),
        sa.Column("how", sa.Text(), nullable=False),
        sa.Column("read_by", sa.Text(), nullable=False),
        sa.Column("read_on", sa.Date(), nullable=True),
        sa.Column("source", sa.String(length=9), nullable=False),
        sa.CheckConstraint(
            "read_on BETWEEN '1900-01-01' AND '2999-12-31'", name=op.f("dimensions_read_on_range")
        ),
        sa.CheckConstraint(
            "source IN ('measured', 'drawing', 'standard', 'catalogue', 'guess')",
            name=op.f("dimensions_source_known"),
        ),
        sa.CheckConstraint("unit IN ('in', 'mm')", name=op.f("dimensions_unit_known")),
        sa.CheckConstraint(
            "(below IS NULL) = (above IS NULL)", name=op.f("dimensions_within_whole")
        ),
        sa.CheckConstraint("above BETWEEN 0 AND 100000", name=op.f("dimensions_above_range")),
        sa.CheckConstraint("below BETWEEN 0 AND 100000", name=op.f("dimensions_below_range")),
        sa.CheckConstraint("length(trim(key)) > 0", name=op.f("dimensions_key_filled")),
        sa.CheckConstraint(
            "reading BETWEEN 1 AND 1000 AND reading = round(reading)",
            name=op.f("dimensions_reading_range"),
        ),
        sa.CheckConstraint("value BETWEEN -100000 AND 100000", name=op.f("dimensions_value_range")),
        sa.ForeignKeyConstraint(
            ["unit_id"], ["units.id"], name=op.f("dimensions_unit_id_of_units")
        ),
        sa.PrimaryKeyConstraint("unit_id", "key", "reading", name=op.f("dimensions_pk")),
    )
    op.create_index(op.f("dimensions_by_key_value"), "dimensions", ["key", "value"])
    op.create_table(
        "dowels",
        sa.Column("unit_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("mark", sa.Text(), nullable=True),
        sa.Column(
            "hollow", sa.Boolean(create_constraint=True, name="hollow_yes_no"), nullable=True
        ),
        sa.CheckConstraint("replace(key, 'dowels[', '') <> key", name=op.f("dowels_key_known")),
        sa.ForeignKeyConstraint(["unit_id"], ["units.id"], name=op.f("dowels_unit_id_of_units")),
        sa.PrimaryKeyConstraint("unit_id", "key", name=op.f("dowels_pk")),
    )
    op.create_table(
        "drives",
        sa.Column("unit_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("kind", sa.String(length=12), nullable=True),
        sa.CheckConstraint(
            "key IN ('drive', 'converter', 'driven', 'shaft')", name=op.f("drives_key_known")
        ),
        sa.CheckConstraint(
            "kind IN ('crank flange', 'flywheel', 'flange')", name=op.f("drives_kind_known")
        ),
        sa.ForeignKeyConstraint(["unit_id"], ["units.id"], name=op.f("drives_unit_id_of_units")),
        sa.PrimaryKeyConstraint("unit_id", "key", name=op.f("drives_pk")),
    )
    op.create_table(
        "faces",
        sa.Column("unit_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("material", sa.Text(), nullable=True),
        sa.Column(
            "cast_in", sa.Boolean(create_constraint=True, name="cast_in_yes_no"), nullable=True
        ),
        sa.CheckConstraint("substr(key, length(key) - 3) = 'face'", name=op.f("faces_key_known")),
        sa.ForeignKeyConstraint(["unit_id"], ["units.id"], name=op.f("faces_unit_id_of_units")),
        sa.PrimaryKeyConstraint("unit_id", "key", name=op.f("faces_pk")),
    )
    op.create_table(
        "facts",
        sa.Column("unit_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("kind", sa.String(length=8), nullable=False),
        sa.Column("text", sa.Text(), nullable=True),
        sa.Column("number", sa.Double(), nullable=True),
        sa.CheckConstraint(
            "kind = 'part' OR text IS NOT NULL OR number IS NOT NULL",
            name=op.f("facts_says_something"),
        ),
        sa.CheckConstraint(
            "kind IN ('part', 'text', 'word', 'thread', 'number', 'count', 'angle', 'yes_no', 'torque', 'mass', 'rise', 'speed')",
            name=op.f("facts_kind_known"),
        ),
        sa.CheckConstraint("length(trim(key)) > 0", name=op.f("facts_key_filled")),
        sa.CheckConstraint(
            "number BETWEEN -1000000000000 AND 1000000000000", name=op.f("facts_number_range")
        ),
        sa.ForeignKeyConstraint(["unit_id"], ["units.id"], name=op.f("facts_unit_id_of_units")),
        sa.PrimaryKeyConstraint("unit_id", "key", name=op.f("facts_pk")),
    )
    op.create_index(op.f("facts_by_key"), "facts", ["key"])
    op.create_table(
        "holes",
        sa.Column("unit_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("mark", sa.Text(), nullable=True),
        sa.Column("thread", sa.String(length=20), nullable=True),
        sa.Column("bolt", sa.String(length=20), nullable=True),
        sa.Column("grade", sa.Text(), nullable=True),
        sa.Column(
            "through", sa.Boolean(create_constraint=True, name="through_yes_no"), nullable=True
        ),
        sa.CheckConstraint("replace(key, 'holes[', '') <> key", name=op.f("holes_key_known")),
        sa.ForeignKeyConstraint(["unit_id"], ["units.id"], name=op.f("holes_unit_id_of_units")),
        sa.PrimaryKeyConstraint("unit_id", "key", name=op.f("holes_pk")),
    )
    op.create_index(op.f("holes_by_thread"), "holes", ["thread"])
    op.create_table(
        "registers",
        sa.Column("unit_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("form", sa.String(length=6), nullable=False),
        sa.CheckConstraint("form IN ('spigot', 'bore')", name=op.f("registers_form_known")),
        sa.CheckConstraint(
            "substr(key, length(key) - 7) = 'register'", name=op.f("registers_key_known")
        ),
        sa.ForeignKeyConstraint(["unit_id"], ["units.id"], name=op.f("registers_unit_id_of_units")),
        sa.PrimaryKeyConstraint("unit_id", "key", name=op.f("registers_pk")),
    )
    op.create_table(
        "records",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("issue", sa.String(length=3), nullable=False),
        sa.Column("state", sa.String(length=8), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("engine", sa.Text(), nullable=False),
        sa.Column("gearbox", sa.Text(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("verdict", sa.String(length=14), nullable=False),
        sa.Column("stage", sa.String(length=5), nullable=False),
        sa.Column("plate", sa.Double(), nullable=True),
        sa.Column("spacer", sa.Double(), nullable=True),
        sa.Column("torque_nmm", sa.Double(), nullable=True),
        sa.Column("made_on", sa.Date(), nullable=False),
        sa.Column("made_by", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.CheckConstraint(
            "issue = upper(issue) AND issue >= 'A'", name=op.f("records_issue_letters")
        ),
        sa.CheckConstraint(
            "made_on BETWEEN '1900-01-01' AND '2999-12-31'", name=op.f("records_made_on_range")
        ),
        sa.CheckConstraint("stage IN ('quote', 'cut', 'start')", name=op.f("records_stage_known")),
        sa.CheckConstraint(
            "state IN ('estimate', 'agreed', 'made', 'fitted', 'closed')",
            name=op.f("records_state_known"),
        ),
        sa.CheckConstraint(
            "verdict IN ('goes', 'goes with work', 'measure first', 'does not go')",
            name=op.f("records_verdict_known"),
        ),
        sa.CheckConstraint("length(digest) = 64", name=op.f("records_digest_length")),
        sa.CheckConstraint("length(issue) <= 3", name=op.f("records_issue_length")),
        sa.CheckConstraint("length(trim(document)) > 0", name=op.f("records_document_filled")),
        sa.CheckConstraint(
            "number BETWEEN 1 AND 100000000 AND number = round(number)",
            name=op.f("records_number_range"),
        ),
        sa.CheckConstraint("plate BETWEEN 0 AND 100000", name=op.f("records_plate_range")),
        sa.CheckConstraint("spacer BETWEEN 0 AND 100000", name=op.f("records_spacer_range")),
        sa.CheckConstraint(
            "torque_nmm > 0 AND torque_nmm < 1e12", name=op.f("records_torque_nmm_range")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("records_pk")),
        sa.UniqueConstraint("number", "issue", name=op.f("records_number_issue_once")),
    )
