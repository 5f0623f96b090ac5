"""What the tests of the book have in common: a few records, ways of saying them, and a look into the tables."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

import sqlalchemy as sa

from engine.book import Book, open_book
from engine.database import Database, url_of
from engine.events import Covered, Event, Harvested, PlotAdded, Sown
from engine.view import Fact

NOW = dt.datetime(2027, 6, 14, 18, 30, tzinfo=dt.UTC)
TODAY = NOW.date()
BROOK = tuple(f"Brook {number}" for number in range(1, 13))
PLOT = PlotAdded(date=TODAY, plot="Brook", beds=BROOK, length_ft=Decimal(50), width_in=Decimal(30))
SOWN = Sown(date=dt.date(2027, 5, 20), crop="radish", beds=("Brook 4",))
PICKED = Harvested(date=TODAY, crop="radish", beds=("Brook 4",), quantity=Decimal("30.5"), unit="lb")
TARPED = Covered(date=TODAY, beds=("Brook 2",), material="tarp")


def new_book(place: str) -> Book:
    """A book with a plot and a sowing, two lines and two entries."""
    book = open_book(place)
    say(book, "add plot Brook", PLOT)
    say(book, "sowed radish in brook 4 on may 20", SOWN)
    return book


def say(book: Book, said: str, *events: Event, by: str | None = "Ines", key: str | None = None) -> tuple[Fact, ...]:
    with book.change(said, by, NOW, key=key) as change:
        for event in events:
            change.add(event)
    return change.facts


def correct(book: Book, entry: int, **replaces: Any) -> Fact:
    with book.change("make that", "Bea", NOW) as change:
        change.correct(entry, replaces)
    return change.facts[0]


def undo(book: Book, entry: int) -> Fact:
    with book.change("undo that", "Bea", NOW) as change:
        change.undo(entry)
    return change.facts[0]


def rows(place: str, asked: str) -> list[tuple[Any, ...]]:
    """What the tables hold, asked by another connection than the book's."""
    database = Database(url_of(place))
    with database.reading() as connection:
        found = [tuple(row) for row in connection.execute(sa.text(asked))]
    database.close()
    return found


def count(place: str, table: str) -> int:
    return int(rows(place, f"select count(*) from {table}")[0][0])


def tamper(place: str, statement: str) -> None:
    """Change the tables past the book."""
    database = Database(url_of(place))
    with database.writing() as connection:
        connection.execute(sa.text(statement))
    database.close()
