"""The schema of a book: made new in one go, or brought up step by step by the migrations beside this file."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import sqlalchemy as sa

from engine.copies import KEPT, copy_before_upgrade
from engine.database import Database, look_at, trouble
from engine.errors import NewerBook, NotABook
from engine.tables import SCHEMA, alembic_version, meta, metadata

MIGRATIONS = Path(__file__).parent / "migrations"
APPLICATION = 0x526F7743  # "RowC" in the header of a SQLite file, for whoever asks what kind of file it is


def make_ready(database: Database, *, create: bool, copies: int = KEPT) -> None:
    """See to it that the database is a book of this schema; raises a CannotOpen, and then nothing was harmed.

    Before an upgrade the book is copied beside itself, and of such copies so many are kept, at least one.
    """
    if database.path is not None and look_at(database.path, create=create):
        _is_ours(database.path, database.name)
    with database.reading() as connection:
        schema = schema_of(connection, database.name)
    if schema is None:
        with database.writing() as connection:
            if schema_of(connection, database.name) is None:  # nobody made it in the meantime
                make(connection)
    elif schema > SCHEMA:
        raise NewerBook(f"The farm book {database.name} was written by a newer version of rowcall; get that version.")
    elif schema < SCHEMA:
        bring_up(database, schema, copies)


def schema_of(connection: sa.Connection, name: str) -> int | None:
    """The number of the book's schema, None where there is nothing at all; raises NotABook for another database."""
    tables = set(sa.inspect(connection).get_table_names())
    if not tables:
        return None
    if not {"alembic_version", "meta", "entries"} <= tables:
        raise NotABook(f"{name} is a database, but not a farm book.")
    number = connection.scalar(sa.select(alembic_version.c.version_num))
    if number is None or not number.isdigit():
        raise NotABook(f"{name} is a database, but not a farm book.")
    return int(number)


def make(connection: sa.Connection) -> None:
    """All tables of the newest schema, stamped with its number."""
    metadata.create_all(connection)
    connection.execute(alembic_version.insert().values(version_num=str(SCHEMA)))
    connection.execute(meta.insert().values(name="schema_made", value=str(SCHEMA)))
    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION}")


def bring_up(database: Database, schema: int, copies: int) -> None:
    """The missing steps, all or none, after a copy of the book was put beside it."""
    if database.path is not None:
        with database.telling():
            copy_before_upgrade(database.path, schema, copies)
    run_steps(database)


def run_steps(database: Database) -> None:
    """The steps in migrations/ that the database has not taken yet, in one transaction."""
    from alembic import command  # here: a quarter of a second that only an upgrade should cost
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    with database.writing() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "head")


def _is_ours(path: Path, name: str) -> None:
    """Look into a SQLite file without changing a byte of it: another program's database stays as it is."""
    connection = sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)
    try:
        tables = {row[0] for row in connection.execute("select name from sqlite_master where type = 'table'")}
    except sqlite3.DatabaseError as error:
        raise trouble(error, name, path) or NotABook(f"{name} is not a farm book.") from error
    finally:
        connection.close()
    if tables and not {"alembic_version", "meta", "entries"} <= tables:
        raise NotABook(f"{name} is a database, but not a farm book.")
