"""`--try` shows how a line would be read and what it would come to, and leaves the book as it was."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from assistant.conversation import Conversation
from assistant.hearing import heard
from engine import Book

TODAY = dt.date(2027, 7, 14)
Try = Callable[..., str]


@pytest.fixture
def tried(book: Book) -> Try:
    """The reply to the last of some lines, all said with --try."""

    def tried(*lines: str, width: int = 80) -> str:
        talk = Conversation(book, today=TODAY, width=width, dry=True)
        return [heard(talk, line).reply for line in lines][-1]

    return tried


def test_each_phrase_stands_with_its_words_and_what_they_mean(tried: Try) -> None:
    assert tried("harvested bed 5 radish 30 lb yesterday").split("\n")[:6] == [
        "Read, cost 0.40:",
        "  harvested",
        '    beds    "bed 5"      bed 5, no plot said',
        '    crop    "radish"     radish',
        '    amount  "30 lb"      30 lb',
        '    when    "yesterday"  Tue 13 Jul',
    ]


def test_what_would_be_written_is_said_as_the_record_would_be(tried: Try) -> None:
    assert "  would write:\n    Harvested radish from Terrace 5 on Tue 13 Jul: 30 lb." in tried(
        "harvested bed 5 radish 30 lb yesterday"
    )


def test_nothing_is_written(book: Book, tried: Try) -> None:
    before = book.facts()

    tried("harvested bed 5 radish 30 lb", "undo that", "make it 28", "add customer Blue Door")

    assert book.facts() == before


def test_a_question_that_would_be_asked_is_shown_and_can_be_answered(tried: Try) -> None:
    asked = tried("picked 8 lb radish")
    answered = tried("picked 8 lb radish", "brook 1")

    assert "would ask:\n    Which bed was 8 lb of radish harvested from: Brook 1, Brook 2 or Terrace 5?" in asked
    assert answered.startswith('Taken as the answer to "Which bed was 8 lb of radish harvested from')
    assert "would write:\n    Harvested radish from Brook 1: 8 lb." in answered


def test_a_spelling_that_was_repaired_shows_what_it_was_taken_for_and_the_cost(tried: Try) -> None:
    row = next(line for line in tried("harvested brook 1 radisch 8 lb").split("\n") if '"radisch"' in line)

    assert 'radish, taken for "radish" (' in row


def test_words_that_change_what_a_clause_counts_as_are_shown(tried: Try) -> None:
    reply = tried("did not weed brook 5")

    assert "    flag  not        it was not done" in reply
    assert "would write:\n    Noted for Brook 5: did not weed brook 5." in reply


def test_words_not_understood_are_shown(tried: Try) -> None:
    assert 'unread  "wibble"     not understood' in tried("weeded terrace 2 wibble")


def test_a_question_shows_what_it_was_taken_to_ask(tried: Try) -> None:
    assert "would answer:\n    free_beds date Tue 20 Jul" in tried("what's free next tuesday")


def test_a_correction_shows_what_is_there_now(tried: Try) -> None:
    reply = tried("the tomatoes for vale were 20 lb not 25")

    assert "would change:\n    quantity 20; was: Order of tomato to Vale Grocers for Tue 20 Jul: 25 lb." in reply


def test_undo_shows_what_would_be_taken_back(tried: Try) -> None:
    assert "would take back:\n    Price of radish: 3.00 per lb." in tried("undo that")


def test_the_runner_up_comes_with_its_cost_where_it_means_something_else(tried: Try) -> None:
    reply = tried("watered brook 2 40")
    first, runner_up = reply.split("Runner-up, cost ")

    assert float(first.removeprefix("Read, cost ").split(":")[0]) < float(runner_up.split(":")[0].split(",")[0])


def test_where_nothing_else_can_be_meant_that_is_said(tried: Try) -> None:
    assert tried("what is in the cooler").endswith("No other reading comes to anything else.")


@pytest.mark.parametrize("width", [40, 60, 80])
def test_it_is_never_wider_than_the_terminal(tried: Try, width: int) -> None:
    reply = tried("okay so we picked gate one tomatoes thirty eight pounds and sold 5 lb to the oven", width=width)

    assert max(map(len, reply.split("\n"))) <= width
