"""Promises of the talk: what is open, what is written and when, what can be taken back, what is said of it."""

from __future__ import annotations

import datetime as dt
import re
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy.exc import DBAPIError

from assistant.conversation import Conversation
from engine import Book, open_book

TODAY = dt.date(2027, 7, 14)
FIELD_WORK = ("harvested", "cleared", "weeded", "sold", "sown")
Said = Callable[[], list[str]]


@pytest.fixture
def talk(book: Book) -> Conversation:
    return Conversation(book, today=TODAY)


@pytest.fixture
def done_today(book: Book) -> Said:
    """What the book holds of today's field work, as kinds."""
    return lambda: [fact.event.kind for fact in book.facts(TODAY, TODAY, kinds=FIELD_WORK)]


# ---- writing --------------------------------------------------------------------------------------------------------


def test_a_record_is_in_the_book_before_the_reply_is_returned(talk: Conversation, larkspur_copy: Path) -> None:
    talk.hear("harvested brook 1 radish 28 lb")

    with open_book(larkspur_copy) as another:
        assert [fact.said for fact in another.facts(TODAY, kinds=FIELD_WORK)] == ["harvested brook 1 radish 28 lb"]


def test_a_harvest_is_said_back_with_the_code_for_its_crate(talk: Conversation) -> None:
    (line,) = talk.hear("harvested brook 1 radish 28 lb").reply.splitlines()
    code = line.rpartition("lot ")[2].rstrip(".")
    (answer,) = talk.hear(f"trace lot {code}").answers

    assert line == f"Harvested radish from Brook 1: 28 lb, lot {code}."
    assert [(lot["code"], lot["crop"]) for lot in answer["result"]["lots"]] == [(code, "radish")]


def test_beds_that_share_a_line_have_a_code_each(talk: Conversation) -> None:
    reply = talk.hear("harvested brook 1 radish 10 lb and terrace 5 radish 10 lb").reply

    assert re.search(r"lots ..-\w+ and ..-\w+\.$", reply.splitlines()[0])


def test_a_line_is_one_transaction(talk: Conversation, done_today: Said, larkspur_copy: Path) -> None:
    """The disk refuses the second of two records: the first is not kept either, and the line can be said again."""
    with closing(sqlite3.connect(larkspur_copy)) as disk:
        disk.execute(
            "create trigger full before insert on facts when new.kind = 'cleared'"
            " begin select raise(abort, 'disk is full'); end"
        )
    with pytest.raises(DBAPIError, match="disk is full"):
        talk.hear("harvested brook 1 radish 28 lb, cleared brook 8")
    refused = done_today()
    with closing(sqlite3.connect(larkspur_copy)) as disk:
        disk.execute("drop trigger full")
    talk.hear("harvested brook 1 radish 28 lb, cleared brook 8")

    assert refused == []
    assert done_today() == ["harvested", "cleared"]


def test_what_stands_alone_is_written_though_another_clause_must_be_asked(talk: Conversation, done_today: Said) -> None:
    turn = talk.hear("weeded brook 2, harvested arugula 6 lb")

    assert done_today() == ["weeded"]
    assert turn.question is not None
    assert turn.question.choices == ("Brook 3", "Terrace 8")


# ---- an open question -----------------------------------------------------------------------------------------------


def test_an_answer_is_written_with_the_words_that_it_answers(talk: Conversation, book: Book) -> None:
    talk.hear("harvested arugula 6 lb")
    turn = talk.hear("brook 3")

    assert turn.records == (
        {
            "kind": "harvested",
            "date": "2027-07-14",
            "crop": "arugula",
            "beds": ["Brook 3"],
            "quantity": 6,
            "unit": "lb",
        },
    )


def test_an_open_question_that_is_not_answered_is_dropped_and_said_so(talk: Conversation, done_today: Said) -> None:
    asked = talk.hear("harvested arugula 6 lb").question
    turn = talk.hear("weeded brook 2")

    assert asked is not None
    assert " ".join(turn.reply.split()).startswith(f"Dropped the open question, and wrote nothing for it: {asked.text}")
    assert done_today() == ["weeded"]
    assert talk.open_question is None


def test_a_reminder_is_no_answer_to_what_was_done(talk: Conversation) -> None:
    asked = talk.hear("broccoli").question
    turn = talk.hear("reminder: spray brook 2 saturday")

    assert asked is not None
    assert asked.text == "What was done with broccoli?"
    assert [(record["kind"], record["task"]) for record in turn.records] == [("planned", "sprayed")]


@pytest.mark.parametrize("words", ["never mind", "no", "scratch that", "undo that"])
def test_an_open_question_can_be_given_up_and_nothing_before_it_is_lost(
    words: str, talk: Conversation, done_today: Said
) -> None:
    talk.hear("weeded brook 2")
    talk.hear("harvested arugula 6 lb")
    turn = talk.hear(words)

    assert turn.reply == "All right, nothing was written."
    assert done_today() == ["weeded"]
    assert talk.open_question is None


def test_several_open_questions_are_asked_one_after_the_other(talk: Conversation) -> None:
    talk.hear("harvested arugula 6 lb, harvested radish 5 lb")
    first = talk.hear("brook 3")
    second = talk.hear("brook 1")

    assert first.question is not None
    assert "radish" in first.question.text
    assert [record["beds"] for turn in (first, second) for record in turn.records] == [["Brook 3"], ["Brook 1"]]
    assert second.question is None


def test_a_doubt_is_not_dodged_by_a_stranger_reading(talk: Conversation, done_today: Said) -> None:
    """Spinach in a bed under a tarp is hardly true; no dearer way to read the line is taken to get around asking."""
    turn = talk.hear("harvested brook 9 spinach 12 lb")

    assert done_today() == []
    assert turn.question is not None
    assert "no spinach" in turn.question.text


def test_two_readings_as_likely_as_each_other_are_asked_about(talk: Conversation) -> None:
    asked = talk.hear("3 bu zukes gate 2").question
    turn = talk.hear("bushels")

    assert asked is not None
    assert (asked.about, asked.choices) == ("unit", ("bunch", "bushel"))
    assert [record["unit"] for record in turn.records] == ["bushel"]


@pytest.mark.parametrize(("answer", "unit"), [("the first", "bunch"), ("2", "bushel")])
def test_one_of_two_readings_is_chosen_by_its_number(talk: Conversation, answer: str, unit: str) -> None:
    talk.hear("3 bu zukes gate 2")

    assert [record["unit"] for record in talk.hear(answer).records] == [unit]


@pytest.mark.parametrize(
    "lines",
    [
        ("add plot -0 wit s of radish from Brook 1 on the 30th of July.",),
        ("gave bea bed 9-1 toms", 'I have " or 1=1 -- �bth� �rugula tds.'),
        ("zumcchin�'s in gate to thi�ty five tkmaoes picke and e mizuna was seven pounds",),
        ("Harbour Ov ²fand",),
    ],
)
def test_what_cannot_be_made_sense_of_is_asked_back_or_left_unread(lines: tuple[str, ...], talk: Conversation) -> None:
    """Each was a fault of ours once, found by tests/torture/fuzz.py."""
    turns = [talk.hear(line) for line in lines]

    assert all(turn.question or turn.unread for turn in turns)
    assert not any(turn.records for turn in turns)


@pytest.mark.parametrize(("sign", "currency"), [("$", "USD"), ("£", "GBP"), ("€", "EUR")])
def test_a_sign_of_money_names_its_currency(sign: str, currency: str, talk: Conversation) -> None:
    """The codes are those of ISO 4217."""
    (record,) = talk.hear(f"our currency is {sign}").records

    assert (record["name"], record["value"]) == ("currency", currency)


# ---- taking back ----------------------------------------------------------------------------------------------------


def test_undo_takes_back_a_whole_line(talk: Conversation, done_today: Said) -> None:
    talk.hear("weeded brook 2")
    talk.hear("harvested brook 1 radish 28 lb, cleared brook 8")
    turn = talk.hear("undo that")

    assert [record["kind_undone"] for record in turn.records] == ["cleared", "harvested"]
    assert done_today() == ["weeded"]


def test_undo_works_after_a_restart(talk: Conversation, larkspur_copy: Path) -> None:
    talk.hear("harvested brook 1 radish 28 lb, cleared brook 8")

    with open_book(larkspur_copy) as later:
        Conversation(later, today=TODAY + dt.timedelta(days=1)).hear("undo that")
        assert later.facts(TODAY, TODAY, kinds=FIELD_WORK) == []


def test_undo_of_a_correction_brings_back_what_it_replaced(talk: Conversation) -> None:
    talk.hear("harvested brook 1 radish 30 lb")
    talk.hear("make that 28")

    assert talk.hear("undo that").reply == "The correction is taken back. Harvested radish from Brook 1: 30 lb."


def test_undo_again_goes_one_line_further_back(talk: Conversation, done_today: Said) -> None:
    talk.hear("weeded brook 2")
    talk.hear("cleared brook 8")
    talk.hear("undo that")
    talk.hear("undo that")

    assert done_today() == []


# ---- what is said ---------------------------------------------------------------------------------------------------


def test_words_not_understood_are_named_with_at_most_three_things_to_say(talk: Conversation) -> None:
    turn = talk.hear("flurb the wozzle")
    offers = turn.reply.split("You could say: ")[1]

    assert {"flurb", "wozzle"} <= set(" ".join(turn.unread).split())
    assert 1 <= offers.count('"') / 2 <= 3
    assert "Brook 1" in offers


def test_what_was_taken_for_something_else_is_said(talk: Conversation) -> None:
    assert talk.hear("harvested brok 4 salad mix 10 lb").reply.endswith('I read "brok 4" as Brook 4; say if not.')


def test_a_caution_is_shown_the_first_time_only(talk: Conversation) -> None:
    first = talk.hear("put raw manure on gate 6").reply
    again = talk.hear("put raw manure on brook 11").reply

    assert "gloves" in first
    assert "gloves" not in again


def test_why_tells_the_figures_behind_the_last_answer(talk: Conversation) -> None:
    nothing_yet = talk.hear("why").reply
    talk.hear("what's ready to harvest")
    answer = talk.hear("why")

    assert nothing_yet == "There is no answer to explain yet."
    assert [one["topic"] for one in answer.answers] == ["why"]
    assert "scallion in Terrace 4" in answer.reply
    assert len(answer.reply.split("\n")) <= 25


def test_small_talk_is_answered_politely_and_nothing_is_unread(talk: Conversation) -> None:
    turn = talk.hear("thanks, good night")

    assert turn.understood
    assert turn.records == turn.answers == ()
