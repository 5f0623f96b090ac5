"""What holds for any book, whatever is entered, corrected and undone, by one hand or two, kept or rebuilt."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager, suppress
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine import kept
from engine.book import Book, open_book
from engine.errors import NotStanding, Unfit
from engine.season import season_of
from engine.view import Fact

sys.path.insert(0, str(Path(__file__).parent))

from farm_events import ANY, FARM, FIRST, GROWING, MOVED  # lies beside its tests, outside any package

NOW = dt.datetime(2027, 6, 14, 18, tzinfo=dt.UTC)
TODAY = NOW.date()
LOOKS = [FIRST, FIRST + dt.timedelta(40), FIRST + dt.timedelta(121), dt.date(2036, 1, 1)]

Step = Callable[[Book], None]
Fresh = Callable[[], AbstractContextManager[str]]


@contextmanager
def books(fresh: Fresh, hands: int = 1) -> Iterator[list[Book]]:
    """A new book, open as often as there are hands."""
    with fresh() as place, ExitStack() as stack:
        opened = [stack.enter_context(open_book(place)) for _ in range(hands)]
        enter(opened[0], FARM)
        yield opened


def enter(book: Book, *events: Any) -> tuple[Fact, ...]:
    with book.change("said", "Ines", NOW) as change:
        for event in events:
            change.add(event)
    return change.facts


def entry_near(book: Book, place: int) -> int:
    """Some entry that is in the book, corrections and undoings among them."""
    newest = max((fact.entry for line in book.latest_lines() for fact in line.facts), default=1)
    return place % newest + 1


def correct(book: Book, place: int, replaces: dict[str, Any]) -> None:
    with suppress(NotStanding, Unfit), book.change("make that", "Bea", NOW) as change:
        change.correct(entry_near(book, place), replaces)


def undo(book: Book, place: int) -> None:
    with suppress(NotStanding), book.change("undo", "Bea", NOW) as change:
        change.undo(entry_near(book, place))


places = st.integers(0, 60)
replacements = st.one_of(
    st.builds(lambda days: {"date": FIRST + dt.timedelta(days)}, st.integers(0, 120)),
    st.builds(lambda amount: {"quantity": amount}, st.decimals(Decimal("0.5"), Decimal(50), places=2)),
    st.just({"crop": "carrot"}),
    st.just({"beds": ["Brook 2", "Brook 4"]}),
)
steps: st.SearchStrategy[Step] = st.one_of(
    st.lists(ANY, min_size=1, max_size=3).map(lambda events: lambda book: enter(book, *events) and None),
    st.lists(ANY, min_size=1, max_size=3).map(lambda events: lambda book: enter(book, *events) and None),
    st.builds(lambda place, change: lambda book: correct(book, place, change), places, replacements),
    places.map(lambda place: lambda book: undo(book, place)),
    st.sampled_from(LOOKS).map(lambda day: lambda book: book.season(day) and None),
)


@pytest.fixture(autouse=True)
def checkpoints_soon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Checkpoints after a handful of facts, as a busy farm has them after a month."""
    for name, facts in (("STRIDE", 6), ("FAR", 5), ("TAIL", 2)):
        monkeypatch.setattr(kept, name, facts)


def from_nothing(book: Book, day: dt.date) -> Any:
    return season_of(book.facts(), day)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 1), steps), max_size=25))
def test_two_hands_see_the_same_seasons_as_a_fold_from_nothing(fresh: Fresh, said: list[tuple[int, Step]]) -> None:
    with books(fresh, hands=2) as both:
        for hand, step in said:
            step(both[hand])

        for book in both:
            for day in LOOKS:
                assert book.season(day) == from_nothing(book, day)
        assert both[0].verify() == ()


@settings(max_examples=30, deadline=None)
@given(st.lists(steps, max_size=25))
def test_rebuilt_equals_kept(fresh: Fresh, said: list[Step]) -> None:
    with books(fresh) as (book,):
        for step in said:
            step(book)
        seasons, facts = [book.season(day) for day in LOOKS], book.facts()

        book.rebuild()

        assert book.facts() == facts
        assert [book.season(day) for day in LOOKS] == seasons


@settings(max_examples=30, deadline=None)
@given(st.lists(steps, max_size=10), st.lists(ANY, min_size=1, max_size=4))
def test_undoing_a_line_restores_the_season(fresh: Fresh, said: list[Step], events: list[Any]) -> None:
    with books(fresh) as (book,):
        for step in said:
            step(book)
        before = [book.season(day) for day in LOOKS]

        stored = enter(book, *events)
        with book.change("undo that", "Ines", NOW) as change:
            for fact in stored:
                change.undo(fact.entry)

        assert [book.season(day) for day in LOOKS] == before


@settings(max_examples=30, deadline=None)
@given(st.lists(st.one_of(GROWING, MOVED), min_size=1, max_size=6), replacements, st.lists(ANY, max_size=4))
def test_undoing_a_correction_restores_what_it_replaced(
    fresh: Fresh, events: list[Any], replaces: dict[str, Any], more: list[Any]
) -> None:  # fmt: skip
    with books(fresh) as (book,):
        first = enter(book, *events)[0]
        if more:
            enter(book, *more)
        before, fact = [book.season(day) for day in LOOKS], book.fact(first.entry)
        try:
            with book.change("make that", "Ines", NOW) as change:
                change.correct(first.entry, replaces)
        except Unfit:
            return

        with book.change("undo that", "Ines", NOW) as undoing:
            undoing.undo(change.facts[0].entry)

        assert [book.season(day) for day in LOOKS] == before
        assert book.fact(first.entry) == fact


@settings(max_examples=25, deadline=None)
@given(st.lists(steps, max_size=20))
def test_a_copy_is_the_same_book(fresh: Fresh, said: list[Step]) -> None:
    with books(fresh) as (book,), TemporaryDirectory() as folder:
        for step in said:
            step(book)

        with open_book(book.backup(Path(folder) / "copy.book"), create=False) as copy:
            assert copy.facts() == book.facts()
            assert list(copy.latest_lines()) == list(book.latest_lines())
            assert copy.verify() == ()
