"""Copies of a book in a folder beside it: one a day, one before each change of its schema; the oldest are let go.

A copy is one file, readable by its owner alone, and takes its name only when it is whole and on disk. Only files with
the names that are given here are ever removed, and only in that folder.
"""

from __future__ import annotations

import datetime as dt
import os
import re
import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path

from engine.errors import DamagedBook

KEPT = 7  # copies of each sort, unless the grower wants another number
LEFT_BEHIND = 3600  # seconds after which an unfinished copy is nobody's any more


def folder_of(book: Path) -> Path:
    """Where the copies of a book are: farm.book -> farm-copies."""
    return book.with_name(f"{book.stem}-copies")


def copy_of_day(book: Path, day: dt.date, newest_line: int, keep: int) -> Path | None:
    """The first copy of a day; None where there is one, or where the latest copy holds every line of the book already.

    Raises DamagedBook, and then keeps all earlier copies; OSError and sqlite3.Error as they come.
    """
    copy = _named(book, day.isoformat())
    if keep <= 0 or newest_line == 0 or copy.exists():
        return None
    earlier = _of_sort(book, DAILY)
    if earlier and _newest_line(earlier[-1]) == newest_line:
        return None
    _into_folder(book, copy)
    _is_whole(copy, book)
    for surplus in _of_sort(book, DAILY)[:-keep]:
        surplus.unlink(missing_ok=True)
    _sweep(copy)
    return copy


def copy_before_upgrade(book: Path, schema: int, keep: int) -> Path:
    """A copy of a book as it is before its schema is changed."""
    copy = _into_folder(book, _free(book, f"schema-{schema}"))
    for surplus in sorted(_of_sort(book, UPGRADE), key=lambda file: file.stat().st_mtime_ns)[: -max(keep, 1)]:
        surplus.unlink(missing_ok=True)
    return copy


def copy_asked_for(book: Path, day: dt.date) -> Path:
    """A copy that somebody asked for: it is never let go."""
    return _into_folder(book, _free(book, f"asked-{day.isoformat()}"))


def written_whole(path: Path, write: Callable[[Path], None]) -> Path:
    """A file that is written under another name and takes its own when it is on disk; of its owner alone."""
    number, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    part = Path(name)
    try:
        os.close(number)
        write(part)
        with part.open("rb+") as file:
            os.fsync(file.fileno())
        os.replace(part, path)
        _folder_to_disk(path.parent)
    finally:
        for left in (part, Path(f"{part}-wal"), Path(f"{part}-shm"), Path(f"{part}-journal")):
            left.unlink(missing_ok=True)
    return path


def copy_file(book: Path, copy: Path) -> None:
    """All pages of a SQLite book as they are at one moment, also while others write in it, in one file."""
    with closing(sqlite3.connect(book)) as source, closing(sqlite3.connect(copy)) as target:
        source.backup(target)
    in_one_file(copy)


def in_one_file(copy: Path) -> None:
    """A book that waits in no journal beside it: it can be read from where nothing can be written."""
    with closing(sqlite3.connect(copy)) as target:
        target.execute("PRAGMA journal_mode = DELETE").close()


DAILY = r"\d{4}-\d\d-\d\d"
UPGRADE = r"schema-\d+(-\d+)?"


def _into_folder(book: Path, copy: Path) -> Path:
    copy.parent.mkdir(mode=0o700, exist_ok=True)
    return written_whole(copy, lambda part: copy_file(book, part))


def _named(book: Path, what: str) -> Path:
    return folder_of(book) / f"{book.stem}-{what}{book.suffix}"


def _free(book: Path, what: str) -> Path:
    """A name that is not taken yet."""
    copy, number = _named(book, what), 1
    while copy.exists():
        number += 1
        copy = _named(book, f"{what}-{number}")
    return copy


def _of_sort(book: Path, sort: str) -> list[Path]:
    """The copies of one sort, in the order of their names."""
    name = re.compile(rf"{re.escape(book.stem)}-{sort}{re.escape(book.suffix)}")
    return sorted(file for file in folder_of(book).glob("*") if name.fullmatch(file.name))


def _newest_line(copy: Path) -> int | None:
    """The last line in a copy; None where it cannot be read."""
    with suppress(sqlite3.Error), closing(sqlite3.connect(f"{copy.as_uri()}?mode=ro", uri=True)) as connection:
        (line,) = connection.execute("select max(line) from lines").fetchone()
        return int(line or 0)
    return None


def _is_whole(copy: Path, book: Path) -> None:
    """A copy of a damaged book is no copy: it must not push out one that is sound."""
    with closing(sqlite3.connect(f"{copy.as_uri()}?mode=ro", uri=True)) as connection:
        try:
            sound = connection.execute("PRAGMA quick_check(1)").fetchall() == [("ok",)]
        except sqlite3.DatabaseError:
            sound = False
    if not sound:
        copy.unlink(missing_ok=True)
        raise DamagedBook(f"The farm book {book} is damaged; go back to a copy of it, in {copy.parent}.")


def _sweep(copy: Path) -> None:
    """Throw away what copies that were killed in the middle have left behind."""
    now = copy.stat().st_mtime
    for part in copy.parent.glob(".*.part*"):
        with suppress(OSError):
            if now - part.stat().st_mtime > LEFT_BEHIND:
                part.unlink()


def _folder_to_disk(folder: Path) -> None:
    """Have the file's name on disk too, where the system can do that."""
    with suppress(OSError):
        number = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(number)
        finally:
            os.close(number)
