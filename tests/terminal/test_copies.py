"""The command's care for the book: a copy a day by itself, copies by hand, a move, a check, and the way back."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path

MONDAY = ("--today", "2027-06-14")


def book(program) -> Path:
    return program.home / "data" / "rowcall" / "book.db"


def copies(program) -> list[str]:
    return sorted(file.name for file in book(program).with_name("book-copies").glob("*"))


def test_the_first_use_of_a_day_copies_the_book_and_says_nothing_of_it(farm) -> None:
    """The day is the clock's: a notebook caught up on with --today must not push out copies of real days."""
    done = farm.run(*MONDAY, "watered brook 4")
    farm.run(*MONDAY, "watered brook 5")

    assert (done.returncode, done.stderr) == (0, "")
    assert len(copies(farm)) == 1
    assert abs((date.fromisoformat(copies(farm)[0][5:15]) - date.today()).days) <= 1


def test_no_copies_are_made_where_none_are_wanted_or_nothing_is_written(farm) -> None:
    farm.run(*MONDAY, "--copies", "0", "watered brook 4")
    farm.extra["ROWCALL_COPIES"] = "0"
    farm.run(*MONDAY, "watered brook 4")
    del farm.extra["ROWCALL_COPIES"]
    farm.run("--check")

    assert copies(farm) == []


def test_a_number_of_copies_that_is_none_is_refused(farm) -> None:
    wrong_option = farm.run("--copies", "many")
    farm.extra["ROWCALL_COPIES"] = "-1"
    wrong_setting = farm.run("recap")

    assert (wrong_option.returncode, wrong_setting.returncode) == (2, 2)
    assert "'many' is no number of copies" in wrong_option.stderr
    assert wrong_setting.stderr == "rowcall: ROWCALL_COPIES: '-1' is no number of copies.\n"


def test_a_copy_that_cannot_be_made_is_told_and_the_work_goes_on(farm) -> None:
    book(farm).with_name("book-copies").write_text("in the way")

    done = farm.run(*MONDAY, "watered brook 4")

    assert done.returncode == 0
    assert "Brook 4" in done.stdout
    assert done.stderr.startswith("rowcall: today's copy of the book was not made: ")
    assert done.stderr.count("\n") == 1


def test_a_book_is_moved_to_another_place_with_all_that_is_in_it(farm, place: str) -> None:
    farm.run(*MONDAY, "watered brook 4")

    moved = farm.run("--copy-to", place)
    again = farm.run("--copy-to", place)

    assert moved.returncode == 0, moved.stderr
    assert again.returncode == 2
    assert farm.run("--check", "--book", place).returncode == 0
    assert "Brook 4" in farm.run(*MONDAY, "--book", place, "when did i last water brook 4").stdout
    password = place.partition("ines:")[2].partition("@")[0]
    assert not password or password not in moved.stdout + moved.stderr + again.stdout + again.stderr


def test_a_fact_that_does_not_follow_from_what_was_said_is_found_by_the_check(farm) -> None:
    farm.run(*MONDAY, "watered brook 4")
    with closing(sqlite3.connect(book(farm))) as connection, connection:
        connection.execute("update facts set date = '2027-06-13' where kind = 'watered'")

    done = farm.run("--check")

    assert done.returncode == 1
    assert "1 fault found" in done.stdout


def test_a_spoilt_book_is_restored_from_a_copy_as_the_readme_says(farm) -> None:
    stick = farm.home / "stick.db"
    farm.run(*MONDAY, "watered brook 4")
    farm.run("--backup", str(stick))
    book(farm).write_bytes(b"\x00" * 5000)

    spoilt = farm.run("recap")
    shutil.copy(stick, book(farm))
    restored = farm.run("--check")

    assert spoilt.returncode == 2
    assert restored.stdout.endswith("book.db is sound.\n")
    assert "Brook 4" in farm.run(*MONDAY, "recap today").stdout
