"""Care for a whole book, in a file and on a server: checked against its entries, copied, moved."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from engine import errors
from engine.book import Book, open_book

sys.path.insert(0, str(Path(__file__).parent))

from sayings import PICKED, correct, new_book, say, tamper  # lies beside its tests, outside any package


@pytest.fixture
def book(place: str) -> Iterator[Book]:
    with new_book(place) as opened:
        yield opened


def test_verify_finds_a_fact_that_does_not_follow_from_the_entries(book: Book, place: str) -> None:
    tamper(place, "update facts set date = '2027-05-21' where entry = 2")

    assert [(finding.what, finding.about) for finding in book.verify()] == [("fact", "entry 2")]
    book.rebuild()
    assert book.verify() == ()


def test_verify_finds_a_fact_too_many(book: Book, place: str) -> None:
    say(book, "picked", PICKED)
    tamper(place, "update entries set kind = 'undone', replaces = 2, record = '{}' where entry = 3")

    assert {finding.what for finding in book.verify()} == {"fact"}


def test_a_backup_is_a_book_of_its_owners(book: Book, tmp_path: Path) -> None:
    copy = book.backup(tmp_path / "copy.book")

    assert copy.stat().st_mode & 0o777 == 0o600
    with open_book(copy, create=False) as other:
        assert other.facts() == book.facts()


def test_a_backup_takes_no_others_place(book: Book, tmp_path: Path) -> None:
    (tmp_path / "copy.book").write_text("mine")

    with pytest.raises(errors.WouldReplace):
        book.backup(tmp_path / "copy.book")

    assert (tmp_path / "copy.book").read_text() == "mine"
    assert book.backup(tmp_path / "copy.book", replace=True).stat().st_size > 4096
    assert [file.name for file in tmp_path.glob("*.part")] == []


def test_a_backup_to_where_nothing_can_be_written_is_told(book: Book, tmp_path: Path) -> None:
    with pytest.raises(errors.BookError):
        book.backup(tmp_path / "no such folder" / "copy.book")


def test_a_book_is_copied_whole_to_another_place_and_only_to_an_empty_one(book: Book, tmp_path: Path) -> None:
    picked = say(book, "picked 4", PICKED)[0]
    correct(book, picked.entry, quantity=28)
    where = f"sqlite:///{tmp_path / 'moved.book'}"

    book.copy_to(where)

    with open_book(where, create=False) as moved:
        assert moved.facts() == book.facts()
        assert list(moved.latest_lines()) == list(book.latest_lines())
        assert moved.verify() == ()
    with pytest.raises(errors.WouldReplace):
        book.copy_to(where)


def test_verify_finds_a_record_that_cannot_be_read(book: Book, place: str) -> None:
    tamper(place, "update entries set record = 'spilt tea' where entry = 2")

    assert {finding.what for finding in book.verify()} == {"damaged"}
