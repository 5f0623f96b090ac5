"""Every trouble of a database or disk is told in our own words; a fault of ours is never dressed up as one."""

from __future__ import annotations

import errno
import sqlite3
from pathlib import Path

import pytest
import sqlalchemy as sa

from engine import errors
from engine.database import Database, trouble, url_of


def of_sqlite(name: str) -> sqlite3.Error:
    error = sqlite3.OperationalError("as the library words it")
    error.sqlite_errorname = name
    return error


class OperationalError(Exception):
    """As the PostgreSQL driver raises it; `sqlstate` is None where the server was not reached."""

    def __init__(self, sqlstate: str | None) -> None:
        self.sqlstate = sqlstate


@pytest.mark.parametrize(
    ("error", "kind"),
    [
        (of_sqlite("SQLITE_FULL"), errors.DiskFull),
        (of_sqlite("SQLITE_READONLY_DBMOVED"), errors.ReadOnlyBook),
        (of_sqlite("SQLITE_BUSY_SNAPSHOT"), errors.BookBusy),
        (of_sqlite("SQLITE_NOTADB"), errors.NotABook),
        (of_sqlite("SQLITE_CORRUPT_INDEX"), errors.DamagedBook),
        (of_sqlite("SQLITE_IOERR_FSYNC"), errors.CannotWrite),
        (of_sqlite("SQLITE_CANTOPEN"), errors.NoAccess),
        (OSError(errno.ENOSPC, "no space"), errors.DiskFull),
        (OSError(errno.EROFS, "read-only"), errors.ReadOnlyBook),
        (PermissionError(errno.EACCES, "denied"), errors.NoAccess),
    ],
)
def test_troubles_of_a_file_have_their_names(error: Exception, kind: type[errors.BookError], tmp_path: Path) -> None:
    told = trouble(error, "farm.book", tmp_path / "farm.book")

    assert type(told) is kind
    assert "farm.book" in str(told)


@pytest.mark.parametrize(
    ("sqlstate", "kind"),
    [
        # PostgreSQL 15 documentation, appendix A: error codes.
        ("53100", errors.DiskFull),
        ("25006", errors.ReadOnlyBook),
        ("55P03", errors.BookBusy),
        ("40001", errors.BookBusy),
        ("28P01", errors.NoAccess),
        ("3D000", errors.NoAccess),
        (None, errors.NoAccess),
    ],
)
def test_troubles_of_a_server_have_their_names(sqlstate: str | None, kind: type[errors.BookError]) -> None:
    assert type(trouble(OperationalError(sqlstate), "the server", None)) is kind


@pytest.mark.parametrize(
    "error", [of_sqlite("SQLITE_ERROR"), of_sqlite("SQLITE_CONSTRAINT_UNIQUE"), ValueError("ours")]
)
def test_a_fault_of_this_program_is_no_trouble_of_the_book(error: Exception, tmp_path: Path) -> None:
    assert trouble(error, "farm.book", tmp_path / "farm.book") is None


def test_a_fault_of_this_program_comes_out_as_it_is(tmp_path: Path) -> None:
    database = Database(url_of(tmp_path / "farm.book"))

    with pytest.raises(sa.exc.OperationalError, match="no such table"), database.reading() as connection:
        connection.exec_driver_sql("select * from bookmarks")
    database.close()


def test_a_book_is_called_by_its_path_or_its_address_without_a_password(tmp_path: Path) -> None:
    database = Database(url_of(tmp_path / "farm.book"))

    assert database.name == str(tmp_path / "farm.book")
    database.close()
