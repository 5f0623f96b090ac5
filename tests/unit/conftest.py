"""A book of a few pages for unit tests, the real season folded from its records; and a talk at Larkspur Hollow."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

import pytest

from assistant.conversation import Conversation
from assistant.turn import Turn
from engine import Book, open_book
from engine.events import Json, from_json
from engine.season import season_of
from engine.state import Season
from engine.view import Fact

START = "2027-01-01"
FARM: tuple[Json, ...] = (
    {
        "kind": "plot_added",
        "date": START,
        "plot": "Brook",
        "beds": [f"Brook {n}" for n in range(1, 7)],
        "length_ft": 50,
    },
    {"kind": "plot_added", "date": START, "plot": "Gate", "beds": ["Gate 1", "Gate 2"], "length_ft": 100},
    {"kind": "setting", "date": START, "name": "currency", "value": "USD"},
)


class Pages:
    """A View of records given in the order they were said; entries are numbered from 1, the farm's own first."""

    def __init__(self, today: str, *records: Json, farm: tuple[Json, ...] = FARM) -> None:
        self.today = dt.date.fromisoformat(today)
        said = [from_json(record) for record in (*farm, *records)]
        self._facts = sorted(
            (Fact(entry, event, f"line {entry}") for entry, event in enumerate(said, 1)),
            key=lambda fact: (fact.event.date, fact.entry),
        )

    def season(self, day: dt.date | None = None) -> Season:
        return season_of(self._facts, day or self.today)

    def facts(
        self,
        start: dt.date | None = None,
        end: dt.date | None = None,
        *,
        kinds: Iterable[str] = (),
        crop: str | None = None,
        customer: str | None = None,
        beds: Iterable[str] = (),
        newest_first: bool = False,
        limit: int | None = None,
    ) -> list[Fact]:
        kinds, beds = set(kinds), set(beds)
        found = [
            fact
            for fact in self._facts
            if (start is None or fact.event.date >= start) and (end is None or fact.event.date <= end)
            if not kinds or fact.event.kind in kinds
            if crop is None or getattr(fact.event, "crop", None) == crop
            if customer is None or getattr(fact.event, "customer", None) == customer
            if not beds or beds & set(getattr(fact.event, "beds", None) or ())
        ]
        return (found[::-1] if newest_first else found)[:limit]


@pytest.fixture
def pages() -> type[Pages]:
    return Pages


@pytest.fixture
def book(larkspur_copy: Path) -> Iterator[Book]:
    with open_book(larkspur_copy) as book:
        yield book


@pytest.fixture
def hear(book: Book) -> Callable[..., Turn]:
    """What comes of the last of some lines, all of one talk."""
    talk = Conversation(book, today=dt.date(2027, 7, 14))
    return lambda *lines: [talk.hear(line) for line in lines][-1]


@pytest.fixture
def records(hear: Callable[..., Turn]) -> Callable[..., list[Json]]:
    """What the last of some lines writes, all of one talk."""
    return lambda *lines: list(hear(*lines).records)
