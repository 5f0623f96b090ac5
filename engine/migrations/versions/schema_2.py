"""A bed's years lie together in the order of their days, and lines are found by who said them."""

import sqlalchemy as sa
from alembic import op

revision, down_revision = "2", "1"


def upgrade() -> None:
    op.create_index("ix_lines_by_line", "lines", ["by", "line"])
    op.execute(
        "create table fact_beds_1 as select beds.bed, beds.date, beds.entry, facts.kind"
        " from fact_beds as beds join facts on facts.entry = beds.entry"
    )
    op.drop_table("fact_beds")
    op.create_table(
        "fact_beds",
        sa.Column("bed", sa.Text, nullable=False),
        sa.Column("date", sa.Date, nullable=False),
        sa.Column("entry", sa.Integer, autoincrement=False, nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.PrimaryKeyConstraint("bed", "date", "entry", name="pk_fact_beds"),
        sa.ForeignKeyConstraint(["entry"], ["facts.entry"], name="fk_fact_beds_entry", ondelete="CASCADE"),
        sqlite_with_rowid=False,
    )
    op.execute("insert into fact_beds (bed, date, entry, kind) select bed, date, entry, kind from fact_beds_1")
    op.drop_table("fact_beds_1")
    op.create_index("ix_fact_beds_entry", "fact_beds", ["entry"])
