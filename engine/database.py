"""The way to the database: SQLite in a file of its owner's, or PostgreSQL; its troubles told in our own errors."""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError

from engine.errors import (
    BookBusy,
    BookError,
    CannotWrite,
    DamagedBook,
    DiskFull,
    NoAccess,
    NoBook,
    NotABook,
    ReadOnlyBook,
)

MAGIC = b"SQLite format 3\x00"
PATIENCE = 20  # seconds to wait for somebody else's transaction; ours last milliseconds
QUEUE = 0x526F7743  # the lock at which writers of a book on PostgreSQL wait for each other
NO_ROOM = (errno.ENOSPC, errno.EDQUOT)
ROOM = 256 * 1024  # bytes below which a failed write is put down to a full disk
PRAGMAS = (
    "journal_mode = WAL",
    "synchronous = FULL",
    "foreign_keys = ON",
    "temp_store = MEMORY",
    "cache_size = -16000",  # kibibytes
)


class Database:
    """A database that is open for reading and writing; `name` is what a person may see of it, without a password."""

    def __init__(self, url: sa.URL) -> None:
        self.path = Path(url.database) if url.get_backend_name() == "sqlite" and url.database else None
        self.name = str(self.path) if self.path else url.render_as_string(hide_password=True)
        self._engine = _engine(url)
        if self.path:
            self._reads, self._writes = self._engine, self._engine.execution_options(writing=True)
        else:
            self._reads = self._engine.execution_options(isolation_level="REPEATABLE READ")
            self._writes = self._engine.execution_options(isolation_level="READ COMMITTED")
        self._watch: sqlite3.Connection | None = None  # for looks too short for more ceremony

    @contextmanager
    def reading(self) -> Iterator[sa.Connection]:
        """One look at the book: all that is read in it is of the same moment."""
        with self.telling(), self._reads.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[sa.Connection]:
        """One change: on disk when the block ends, or nothing of it. One writer at a time."""
        with self.telling(), self._writes.begin() as connection:
            if self.path is None:  # SQLite lets in one writer by itself; here they queue
                connection.execute(sa.text(f"set local lock_timeout = '{PATIENCE}s'"))
                connection.execute(sa.select(sa.func.pg_advisory_xact_lock(QUEUE)))
            yield connection

    def newest_line(self) -> int | None:
        """The number of the latest line, 0 where there is none; None for a server, where it would cost a journey."""
        if self.path is None:
            return None
        with self.telling():
            if self._watch is None:
                self._watch = sqlite3.connect(self.path, timeout=PATIENCE, check_same_thread=False)
            ((number,),) = self._watch.execute("SELECT max(line) FROM lines").fetchall()
            return number or 0

    @contextmanager
    def telling(self) -> Iterator[None]:
        """Troubles of the database come out as our own errors."""
        try:
            yield
        except (DBAPIError, sqlite3.Error, OSError) as error:
            cause = error.orig if isinstance(error, DBAPIError) else error
            told = trouble(cause, self.name, self.path)
            if told is None:
                raise
            raise told from error

    def close(self) -> None:
        """Let go of the database."""
        if self._watch is not None:
            self._watch.close()
            self._watch = None
        self._engine.dispose()


def url_of(where: str | Path) -> sa.URL:
    """The address of a book: a path, or a URL of SQLite or PostgreSQL; raises NotABook for another."""
    if isinstance(where, str) and "://" in where:
        try:
            url = sa.make_url(where)
        except ArgumentError as error:
            raise NotABook("That is no address of a farm book.") from error
        if url.get_backend_name() not in ("sqlite", "postgresql"):
            raise NotABook(f"A farm book is kept by SQLite or PostgreSQL, not by {url.get_backend_name()}.")
        return url
    return sa.URL.create("sqlite", database=str(Path(where).expanduser().absolute()))


def look_at(path: Path, *, create: bool) -> bool:
    """Whether there is anything in the book file yet; a new one is made for its owner alone.

    Raises a CannotOpen or ReadOnlyBook, and leaves whatever is there as it was.
    """
    if path.is_dir():
        raise NotABook(f"{path} is a folder; a farm book is a file.")
    if not path.exists():
        if not create:
            raise NoBook(f"There is no farm book at {path}.")
        _make(path)
        return False
    _may_write(path)
    with path.open("rb") as file:
        start = file.read(len(MAGIC))
    if start and start != MAGIC:
        raise NotABook(f"{path} is not a farm book.")
    return bool(start)


def _make(path: Path) -> None:
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    except FileExistsError:
        return  # somebody else was faster; theirs is as good
    except OSError as error:
        raise trouble(error, str(path), path) or error from error


def _may_write(path: Path) -> None:
    if not path.is_file():
        raise NotABook(f"{path} is not a farm book.")
    if not os.access(path, os.R_OK):
        raise NoAccess(f"The farm book {path} may not be read by you.")
    by_nobody = not path.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH)
    if by_nobody or not os.access(path, os.W_OK) or not os.access(path.parent, os.W_OK):
        raise ReadOnlyBook(f"The farm book {path} is read-only, so nothing can be written in it.")


def _engine(url: sa.URL) -> sa.Engine:
    if url.get_backend_name() != "sqlite":
        try:
            return sa.create_engine(url, pool_pre_ping=True)
        except (ImportError, NoSuchModuleError) as error:
            raise NoAccess("The program that talks to PostgreSQL is missing; install rowcall[postgres].") from error
    engine = sa.create_engine(url, connect_args={"timeout": PATIENCE})
    sa.event.listen(engine, "connect", _set_up)
    sa.event.listen(engine, "begin", _begin)
    return engine


def _set_up(connection: Any, record: object) -> None:
    connection.isolation_level = None  # we say BEGIN ourselves: sqlite3 would begin too late for a consistent look
    try:
        for pragma in PRAGMAS:
            connection.execute(f"PRAGMA {pragma}").close()
    except sqlite3.Error:
        connection.close()  # nobody else would: it is in no pool yet
        raise


def _begin(connection: sa.Connection) -> None:
    writing = connection.get_execution_options().get("writing", False)
    driver = connection.connection.driver_connection  # at once: this comes before nearly every statement
    assert driver is not None
    driver.execute("BEGIN IMMEDIATE" if writing else "BEGIN").close()


def trouble(error: BaseException | None, name: str, path: Path | None) -> BookError | None:
    """What a failure of the database or disk means to the person; None for one that is a fault of this program."""
    code = str(getattr(error, "sqlite_errorname", None) or getattr(error, "sqlstate", None) or "")
    number = getattr(error, "errno", None)
    if code.startswith("SQLITE_FULL") or code == "53100" or number in NO_ROOM or _is_full(code, path):
        return DiskFull(f"The disk is full, so nothing was written in the farm book {name}.")
    if code.startswith("SQLITE_READONLY") or code == "25006" or number == errno.EROFS:
        return ReadOnlyBook(f"The farm book {name} is read-only, so nothing can be written in it.")
    if code.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")) or code in ("55P03", "40001", "40P01"):
        return BookBusy(f"Somebody else is writing in the farm book {name}; nothing was written, try again.")
    if code.startswith("SQLITE_NOTADB"):
        return NotABook(f"{name} is not a farm book.")
    if code.startswith("SQLITE_CORRUPT"):
        return DamagedBook(f"The farm book {name} is damaged; go back to a copy of it.")
    if code.startswith("SQLITE_IOERR"):
        return CannotWrite(f"The disk failed with the farm book {name}; nothing was written.")
    if code.startswith(("SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH")) or isinstance(error, OSError):
        return NoAccess(f"The farm book {name} cannot be opened.")
    if type(error).__name__ == "OperationalError" and path is None and code[:2] in ("", "08", "28", "3D", "57"):
        return NoAccess(f"The server of the farm book {name} does not answer, or does not let you in.")
    return None


def _is_full(code: str, path: Path | None) -> bool:
    """SQLite tells a full disk in several ways; where it failed to write at all, look at the disk."""
    if path is None or not code.startswith(("SQLITE_IOERR", "SQLITE_CANTOPEN")):
        return False
    with suppress(OSError):
        return shutil.disk_usage(path.parent).free < ROOM
    return False
