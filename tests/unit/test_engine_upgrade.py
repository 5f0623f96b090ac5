"""Books of every earlier schema come up to the newest one, whole, with a copy of what they were beside them."""

from __future__ import annotations

import datetime as dt
import sqlite3
import subprocess
import sys
from contextlib import closing
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from engine import upgrade
from engine.book import open_book
from engine.database import Database, url_of
from engine.errors import NewerBook
from engine.season import season_of
from engine.tables import SCHEMA, metadata

BOOKS = Path(__file__).parent.parent / "books"
TODAY = dt.date(2027, 6, 14)
EARLIER = range(1, SCHEMA)


def stored_book(schema: int, folder: Path) -> Path:
    path = folder / "farm.book"
    with closing(sqlite3.connect(path)) as book:
        book.executescript((BOOKS / f"schema_{schema}.sql").read_text("utf-8"))
    return path


def layout(path: Path) -> dict[str, Any]:
    """Columns, keys and indexes of each table, as the database tells them."""
    engine = sa.create_engine(f"sqlite:///{path}")
    inspector = sa.inspect(engine)
    found = {
        table: (
            [(column["name"], str(column["type"]), column["nullable"]) for column in inspector.get_columns(table)],
            inspector.get_pk_constraint(table)["constrained_columns"],
            sorted((key["constrained_columns"], key["referred_table"]) for key in inspector.get_foreign_keys(table)),
            sorted((index["name"], index["column_names"]) for index in inspector.get_indexes(table)),
            sorted(unique["column_names"] for unique in inspector.get_unique_constraints(table)),
        )
        for table in inspector.get_table_names()
    }
    engine.dispose()
    return found


def test_a_stored_book_of_every_earlier_schema_is_here() -> None:
    assert [schema for schema in EARLIER if not (BOOKS / f"schema_{schema}.sql").exists()] == []


@pytest.mark.parametrize("schema", EARLIER)
def test_a_book_of_an_earlier_schema_comes_up_whole(schema: int, tmp_path: Path) -> None:
    with open_book(stored_book(schema, tmp_path)) as book:
        assert book.verify() == ()
        assert book.season(TODAY) == season_of(book.facts(), TODAY)
        assert len(book.facts()) == 15
        assert [fact.event.date.day for fact in book.facts(kinds=("watered",), beds=("Brook 4",))] == [*range(6, 13)]


@pytest.mark.parametrize("schema", EARLIER)
def test_what_was_said_is_still_there_word_for_word(schema: int, tmp_path: Path) -> None:
    with open_book(stored_book(schema, tmp_path)) as book:
        season = book.season(TODAY)
        picked, sold = book.facts(kinds=("harvested", "sold"))
        undone = next(line for line in book.latest_lines(before=12) if line.said == "no, 30.5")

    assert picked.said == "picked brook 4 and 5, 31 lb of radish and tarped 2"
    assert (sold.said, sold.by) == ("sold harbour oven a half tote of radish", "Tomas")
    assert undone.facts[0].event.kind == "corrected"
    assert [(lot.picked, lot.left) for lot in season.lots] == [(Decimal("30.5"), Decimal("20.5"))]
    assert season.beds["Brook 2"].state == "covered"


@pytest.mark.parametrize("schema", EARLIER)
def test_the_book_as_it_was_is_kept_beside_it(schema: int, tmp_path: Path) -> None:
    path = stored_book(schema, tmp_path)

    open_book(path).close()

    copy = tmp_path / "farm-copies" / f"farm-schema-{schema}.book"
    assert copy.stat().st_mode & 0o777 == 0o600
    with closing(sqlite3.connect(copy)) as book:
        assert book.execute("select version_num from alembic_version").fetchall() == [(str(schema),)]
        assert book.execute("select count(*) from entries").fetchone() == (18,)


@pytest.mark.parametrize("schema", EARLIER)
def test_a_book_brought_up_is_laid_out_like_a_new_one(schema: int, tmp_path: Path) -> None:
    path = stored_book(schema, tmp_path)
    open_book(path).close()
    open_book(tmp_path / "new.book").close()

    assert layout(path) == layout(tmp_path / "new.book")


def test_the_steps_from_nothing_give_the_tables_that_the_program_uses(tmp_path: Path) -> None:
    """Alembic's own comparison of a migrated database with the metadata finds no difference."""
    database = Database(url_of(tmp_path / "steps.book"))
    upgrade.run_steps(database)

    with database.reading() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
    database.close()


def test_an_upgrade_that_fails_leaves_the_book_as_it_was(tmp_path: Path) -> None:
    path = stored_book(1, tmp_path)
    with closing(sqlite3.connect(path)) as book, book:
        book.execute("create table fact_beds_1 (in_the_way text)")
    before = layout(path)

    with pytest.raises(Exception, match="fact_beds_1"):
        open_book(path)

    assert layout(path) == before


def test_a_book_of_a_newer_version_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "farm.book"
    open_book(path).close()
    with closing(sqlite3.connect(path)) as book, book:
        book.execute("update alembic_version set version_num = '99'")
    before = path.read_bytes()

    with pytest.raises(NewerBook, match="newer version"):
        open_book(path)

    assert path.read_bytes() == before


def test_a_book_of_this_schema_opens_without_alembic(tmp_path: Path) -> None:
    script = (
        "import sys; from engine.book import open_book\n"
        f"open_book({str(tmp_path / 'farm.book')!r}).close(); open_book({str(tmp_path / 'farm.book')!r}).close()\n"
        "print(sorted({'alembic', 'mako', 'sqlalchemy.orm'} & set(sys.modules)))"
    )

    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"
