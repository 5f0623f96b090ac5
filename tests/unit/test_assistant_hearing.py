"""The one path of a line: what is far too long is refused at once, wherever it comes from, in lines that fit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.conversation import Conversation
from assistant.hearing import heard, too_long
from assistant.reading import Reading
from engine.book import Book, open_book

TODAY = dt.date(2027, 6, 14)
LONG = {"characters": "watered brook 4 " * 5000, "words": "bed 4 " * 400}


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with open_book(tmp_path / "farm.book") as opened:
        yield opened


@pytest.mark.parametrize("what", LONG)
def test_a_line_that_is_too_long_is_refused_in_lines_that_fit_the_terminal(book: Book, what: str) -> None:
    turn = heard(Conversation(book, today=TODAY, width=60), LONG[what])

    assert not turn.understood
    assert what in turn.reply
    assert max(map(len, turn.reply.split("\n"))) <= 60


@pytest.mark.parametrize("what", LONG)
def test_a_line_of_notes_that_is_too_long_is_refused_and_the_next_one_read(
    book: Book, tmp_path: Path, what: str
) -> None:  # fmt: skip
    notes = tmp_path / "notes.txt"
    notes.write_text(f"{LONG[what]}\nadd customer Harbour Oven\n")

    turns = [turn for _, turn in Reading(book, lambda day: Conversation(book, today=day), TODAY).read(notes)]

    assert [turn is not None and turn.understood for turn in turns] == [False, True]


def test_what_cannot_be_seen_makes_no_line_too_long() -> None:
    assert too_long("watered brook 4" + "\u200b" * 2000) is None
