"""The first schema: the log of lines and entries, and the three tables that follow from it."""

import sqlalchemy as sa
from alembic import op

revision, down_revision = "1", None


def upgrade() -> None:
    op.create_table(
        "meta",
        sa.Column("name", sa.String(40), nullable=False),
        sa.Column("value", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_meta"),
    )
    op.create_table(
        "lines",
        sa.Column("line", sa.Integer, autoincrement=False, nullable=False),
        sa.Column("said", sa.Text, nullable=False),
        sa.Column("by", sa.Text),
        sa.Column("at", sa.DateTime, nullable=False),
        sa.Column("version", sa.String(40), nullable=False),
        sa.Column("key", sa.String(64)),
        sa.Column("touches", sa.Date),
        sa.Column("registers", sa.Boolean, nullable=False),
        sa.PrimaryKeyConstraint("line", name="pk_lines"),
        sa.UniqueConstraint("key", name="uq_lines_key"),
    )
    op.create_table(
        "entries",
        sa.Column("entry", sa.Integer, autoincrement=False, nullable=False),
        sa.Column("line", sa.Integer, nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("date", sa.Date, nullable=False),
        sa.Column("record", sa.Text, nullable=False),
        sa.Column("replaces", sa.Integer),
        sa.PrimaryKeyConstraint("entry", name="pk_entries"),
        sa.ForeignKeyConstraint(["line"], ["lines.line"], name="fk_entries_line"),
        sa.ForeignKeyConstraint(["replaces"], ["entries.entry"], name="fk_entries_replaces"),
    )
    op.create_index("ix_entries_line", "entries", ["line"])
    op.create_index("ix_entries_replaces", "entries", ["replaces"])
    op.create_table(
        "facts",
        sa.Column("entry", sa.Integer, autoincrement=False, nullable=False),
        sa.Column("date", sa.Date, nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("crop", sa.Text),
        sa.Column("customer", sa.Text),
        sa.Column("record", sa.Text),
        sa.PrimaryKeyConstraint("entry", name="pk_facts"),
        sa.ForeignKeyConstraint(["entry"], ["entries.entry"], name="fk_facts_entry"),
    )
    op.create_index("ix_facts_date_entry", "facts", ["date", "entry"])
    for column in ("kind", "crop", "customer"):
        op.create_index(f"ix_facts_{column}_date", "facts", [column, "date"])
    op.create_table(
        "fact_beds",
        sa.Column("entry", sa.Integer, autoincrement=False, nullable=False),
        sa.Column("bed", sa.Text, nullable=False),
        sa.Column("date", sa.Date, nullable=False),
        sa.PrimaryKeyConstraint("entry", "bed", name="pk_fact_beds"),
        sa.ForeignKeyConstraint(["entry"], ["facts.entry"], name="fk_fact_beds_entry", ondelete="CASCADE"),
    )
    op.create_index("ix_fact_beds_bed_date", "fact_beds", ["bed", "date"])
    op.create_table(
        "checkpoints",
        sa.Column("day", sa.Date, nullable=False),
        sa.Column("rules", sa.String(64), nullable=False),
        sa.Column("season", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("day", name="pk_checkpoints"),
    )
