"""The tables of a farm book. `lines` and `entries` are the book and are only ever added to; the rest follows from them.

A line is one line of input and one transaction; its entries are what it said. `facts` are the entries as they stand
after corrections and undoing, and `fact_beds` their beds; `checkpoints` are seasons worked out before. These three may
be emptied at any time and are rebuilt from the entries.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from sqlalchemy import (
    Boolean,
    Column,
    Date,
    DateTime,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    TypeDecorator,
)
from sqlalchemy.engine import Dialect

SCHEMA = 2  # the number of the newest step in migrations/


class Utc(TypeDecorator[dt.datetime]):
    """A moment in UTC; stored without its zone, given back with it."""

    impl = DateTime
    cache_ok = True

    def process_bind_param(self, value: dt.datetime | None, dialect: Dialect) -> dt.datetime | None:
        return value.astimezone(dt.UTC).replace(tzinfo=None) if value else None

    def process_result_value(self, value: Any, dialect: Dialect) -> dt.datetime | None:
        return value.replace(tzinfo=dt.UTC) if value else None


metadata = MetaData(
    naming_convention={"ix": "ix_%(table_name)s_%(column_0_N_name)s", "fk": "fk_%(table_name)s_%(column_0_name)s",
                       "pk": "pk_%(table_name)s", "uq": "uq_%(table_name)s_%(column_0_name)s"}
)  # fmt: skip

alembic_version = Table("alembic_version", metadata, Column("version_num", String(32), primary_key=True))

meta = Table("meta", metadata, Column("name", String(40), primary_key=True), Column("value", Text, nullable=False))

lines = Table(
    "lines",
    metadata,
    Column("line", Integer, primary_key=True, autoincrement=False),
    Column("said", Text, nullable=False),
    Column("by", Text),
    Column("at", Utc, nullable=False),
    Column("version", String(40), nullable=False),
    Column("key", String(64), unique=True),  # of a line of a notes file, so that it is never stored twice
    Column("touches", Date),  # the first day whose season this line may have changed
    Column("registers", Boolean, nullable=False),  # whether it changed a name or a setting
    Index(None, "by", "line"),
)

entries = Table(
    "entries",
    metadata,
    Column("entry", Integer, primary_key=True, autoincrement=False),
    Column("line", ForeignKey("lines.line"), nullable=False, index=True),
    Column("kind", String(20), nullable=False),
    Column("date", Date, nullable=False),
    Column("record", Text, nullable=False),  # JSON of the event's fields
    Column("replaces", ForeignKey("entries.entry"), index=True),  # the entry that is corrected or undone
)

facts = Table(
    "facts",
    metadata,
    Column("entry", ForeignKey("entries.entry"), primary_key=True, autoincrement=False),
    Column("date", Date, nullable=False),
    Column("kind", String(20), nullable=False),
    Column("crop", Text),
    Column("customer", Text),
    Column("record", Text),  # only where it differs from that of the entry
    Index(None, "date", "entry"),
    Index(None, "kind", "date"),
    Index(None, "crop", "date"),
    Index(None, "customer", "date"),
)

fact_beds = Table(
    "fact_beds",
    metadata,
    Column("bed", Text, primary_key=True),
    Column("date", Date, primary_key=True),
    Column("entry", ForeignKey("facts.entry", ondelete="CASCADE"), primary_key=True, autoincrement=False, index=True),
    Column("kind", String(20), nullable=False),
    sqlite_with_rowid=False,  # a bed's years lie together in the order of their days: "when did I last weed bed 4"
)

checkpoints = Table(
    "checkpoints",
    metadata,
    Column("day", Date, primary_key=True),
    Column("rules", String(64), nullable=False),  # by which version of the fold it was made
    Column("season", LargeBinary, nullable=False),  # JSON, packed
)
