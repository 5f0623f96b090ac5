"""Two people at one book, each in a talk of their own, in a file and on a server."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import pytest

from assistant.conversation import Conversation
from assistant.hearing import heard
from engine.book import open_book
from engine.errors import ChangedSince

TODAY = dt.date(2027, 6, 14)
FARM = ("add plot Brook with 12 beds 50 ft by 30 in", "add customer Harbour Oven", "sowed radish in brook 4 on may 10")


@pytest.fixture
def talks(place: str) -> Iterator[tuple[Conversation, Conversation]]:
    """Ines and Tomas, each with the book open in a connection of their own."""
    with open_book(place) as hers, open_book(place) as his:
        ines, tomas = (Conversation(book, today=TODAY, by=name) for book, name in ((hers, "Ines"), (his, "Tomas")))
        for line in FARM:
            assert said(ines, line)
        yield ines, tomas


def said(talk: Conversation, line: str) -> str:
    turn = heard(talk, line)
    assert turn.understood, turn.reply
    return turn.reply


def test_each_sees_the_others_entries_at_the_next_line(talks: tuple[Conversation, Conversation]) -> None:
    ines, tomas = talks
    assert "30 lb" not in said(tomas, "what's in the cooler")

    said(ines, "harvested brook 4 radish 30 lb")

    assert "30 lb" in said(tomas, "what's in the cooler")
    said(tomas, "sold 10 lb radish to harbour oven at $3")
    assert "20 lb" in said(ines, "what's in the cooler")


def test_a_name_that_one_adds_the_other_can_say_at_once(talks: tuple[Conversation, Conversation]) -> None:
    ines, tomas = talks
    said(ines, "add customer The Tin Fiddle")

    said(tomas, "the tin fiddle wants 5 lb radish on friday")

    assert "Tin Fiddle" in said(ines, "orders this week")


def test_each_entry_keeps_the_name_of_whoever_said_it(talks: tuple[Conversation, Conversation]) -> None:
    ines, tomas = talks
    said(ines, "watered brook 4")
    said(tomas, "watered brook 5")

    assert [fact.by for fact in ines.book.facts(kinds=("watered",))] == ["Ines", "Tomas"]


def test_of_two_corrections_of_one_record_the_second_is_told_and_loses_nothing(
    talks: tuple[Conversation, Conversation],
) -> None:
    ines, tomas = talks
    said(ines, "harvested brook 4 radish 30 lb")
    (picked,) = tomas.book.facts(kinds=("harvested",))
    said(ines, "make that 28")

    with pytest.raises(ChangedSince), tomas.book.change("make that 27", "Tomas", tomas.clock()) as change:
        change.correct(picked.entry, {"quantity": 27}, was=picked.event)

    (now,) = tomas.book.facts(kinds=("harvested",))
    assert getattr(now.event, "quantity") == 28  # noqa: B009  the field is of one kind of record only


def test_a_book_moves_to_the_other_place_and_back_and_is_the_same(
    talks: tuple[Conversation, Conversation], other_places: tuple[str, str]
) -> None:
    there, back = other_places
    ines, _ = talks
    for line in ("harvested brook 4 radish 30 lb", "make that 28", "watered brook 5", "undo that"):
        said(ines, line)
    ines.book.copy_to(there)
    with open_book(there, create=False) as moved:
        assert moved.verify() == ()
        moved.copy_to(back)

    with open_book(back, create=False) as again:
        assert again.verify() == ()
        assert list(again.latest_lines()) == list(ines.book.latest_lines())
        assert again.facts() == ines.book.facts()
        assert again.season(TODAY) == ines.book.season(TODAY)
