"""Copies beside the book: one a day, the oldest let go, none lost to a damaged book, restored by putting it back."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from engine import errors
from engine.book import Book, open_book
from engine.events import Watered

NOW = dt.datetime(2027, 6, 14, 18, 30, tzinfo=dt.UTC)
MONDAY = NOW.date()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "farm.book"


@pytest.fixture
def book(path: Path) -> Iterator[Book]:
    with open_book(path) as opened:
        water(opened)
        yield opened


def water(book: Book) -> None:
    with book.change("watered brook 4", "Ines", NOW) as change:
        change.add(Watered(date=MONDAY, beds=("Brook 4",)))


def day(number: int) -> dt.date:
    return MONDAY + dt.timedelta(number)


def beside(path: Path) -> list[str]:
    return sorted(file.name for file in path.with_name("farm-copies").glob("*"))


def lines_in(copy: Path) -> int:
    with open_book(copy, create=False) as book:
        assert book.verify() == ()
        return len(book.facts())


def test_the_first_use_of_a_day_leaves_a_copy(book: Book, path: Path) -> None:
    copy = book.copy_of_day(MONDAY)

    assert copy == path.with_name("farm-copies") / "farm-2027-06-14.book"
    assert copy.stat().st_mode & 0o777 == 0o600
    assert copy.parent.stat().st_mode & 0o777 == 0o700
    assert lines_in(copy) == 1


def test_the_second_use_of_a_day_leaves_none(book: Book, path: Path) -> None:
    book.copy_of_day(MONDAY)
    water(book)

    assert book.copy_of_day(MONDAY) is None
    assert lines_in(path.with_name("farm-copies") / "farm-2027-06-14.book") == 1


def test_days_on_which_nothing_was_added_push_no_copy_out(book: Book, path: Path) -> None:
    book.copy_of_day(MONDAY)

    assert [book.copy_of_day(day(number)) for number in range(1, 5)] == [None] * 4
    water(book)
    assert book.copy_of_day(day(5)) is not None
    assert beside(path) == ["farm-2027-06-14.book", "farm-2027-06-19.book"]


def test_of_many_days_the_newest_copies_are_kept(book: Book, path: Path) -> None:
    for number in range(9):
        water(book)
        book.copy_of_day(day(number), 3)

    assert beside(path) == [f"farm-2027-06-{date}.book" for date in (20, 21, 22)]


def test_an_empty_book_and_a_grower_who_wants_no_copies_get_none(path: Path, tmp_path: Path) -> None:
    with open_book(path) as book:
        assert book.copy_of_day(MONDAY) is None
        water(book)
        assert book.copy_of_day(MONDAY, 0) is None
    assert not path.with_name("farm-copies").exists()


def test_what_others_put_beside_the_copies_stays(book: Book, path: Path) -> None:
    folder = path.with_name("farm-copies")
    folder.mkdir()
    for name in ("farm-2027-01-01.txt", "mine.book", "farm-2027.book", "farm-asked-2027-01-01.book"):
        (folder / name).write_text("mine")
    for number in range(3):
        water(book)
        book.copy_of_day(day(number), 1)

    assert beside(path) == [
        "farm-2027-01-01.txt", "farm-2027-06-16.book", "farm-2027.book", "farm-asked-2027-01-01.book", "mine.book",
    ]  # fmt: skip


def test_copies_that_were_asked_for_are_all_kept(book: Book, path: Path) -> None:
    for number in range(3):
        book.copy_asked_for(MONDAY)
        book.copy_of_day(day(number), 1)
        water(book)

    assert [name for name in beside(path) if "asked" in name] == [
        "farm-asked-2027-06-14-2.book", "farm-asked-2027-06-14-3.book", "farm-asked-2027-06-14.book",
    ]  # fmt: skip


def test_a_copy_that_was_killed_in_the_middle_is_swept_away_in_time(book: Book, path: Path) -> None:
    book.copy_of_day(MONDAY)
    folder = path.with_name("farm-copies")
    old, fresh = folder / ".farm-2027-06-15.book.x.part", folder / ".farm-2027-06-16.book.y.part"
    old.touch()
    fresh.touch()
    os.utime(old, (0, 0))
    water(book)

    book.copy_of_day(day(1))

    assert not old.exists()
    assert fresh.exists()


def test_a_copy_lies_in_one_file_and_can_be_read_where_nothing_can_be_written(book: Book, tmp_path: Path) -> None:
    copy = book.copy_asked_for(MONDAY)

    assert list(copy.parent.iterdir()) == [copy]
    with closing(sqlite3.connect(f"{copy.as_uri()}?mode=ro&immutable=1", uri=True)) as connection:
        assert connection.execute("pragma journal_mode").fetchone() == ("delete",)
        assert connection.execute("select count(*) from entries").fetchone() == (1,)


def spoilt(path: Path) -> None:
    """The rows of the facts overwritten where they lie; the header, and so the opening, is sound."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("pragma wal_checkpoint(truncate)").close()
        (page,) = connection.execute("select rootpage from sqlite_master where name = 'ix_facts_date_entry'").fetchone()
        (size,) = connection.execute("pragma page_size").fetchone()
    with path.open("rb+") as file:
        file.seek((page - 1) * size)
        file.write(b"\x0a" + os.urandom(size - 1))


def test_a_damaged_book_pushes_no_sound_copy_out(path: Path) -> None:
    with open_book(path) as book:
        water(book)
        book.copy_of_day(MONDAY, 1)
        water(book)
    spoilt(path)

    with open_book(path) as book, pytest.raises(errors.DamagedBook, match="farm-copies"):
        book.copy_of_day(day(1), 1)

    assert beside(path) == ["farm-2027-06-14.book"]


def test_a_book_is_restored_by_putting_a_copy_in_its_place(path: Path) -> None:
    """The steps of the README."""
    with open_book(path) as book:
        water(book)
        copy = book.copy_of_day(MONDAY)
        assert copy is not None
        water(book)
    spoilt(path)
    for beside_it in ("-wal", "-shm"):
        Path(f"{path}{beside_it}").unlink(missing_ok=True)

    shutil.copy(copy, path)

    assert lines_in(path) == 1
    with open_book(path) as book:
        water(book)
    assert lines_in(path) == 2


def test_where_no_copy_can_be_made_it_is_told(book: Book, path: Path) -> None:
    path.with_name("farm-copies").write_text("in the way")

    with pytest.raises(errors.BookError):
        book.copy_of_day(MONDAY)
    with pytest.raises(errors.BookError):
        book.copy_asked_for(MONDAY)
