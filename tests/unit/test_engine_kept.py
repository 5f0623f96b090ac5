"""Seasons kept for next time: where checkpoints are left, what drops them, and that nothing rests on them."""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy import event as listening

from engine import kept
from engine.book import Book, open_book
from engine.events import CustomerAdded, Event, Harvested, Noted, Ordered, PlotAdded, Setting, Sown, Watered, Weather
from engine.season import season_of

FIRST = dt.date(2027, 3, 1)
LAST = FIRST + dt.timedelta(199)
NOW = dt.datetime(2027, 9, 20, 18, tzinfo=dt.UTC)
BEDS = ("Brook 1", "Brook 2")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "farm.book"


@pytest.fixture
def book(path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Book]:
    """A book of 200 days with a picking a day, and checkpoints after some twenty facts."""
    for name, facts in (("STRIDE", 20), ("FAR", 20), ("TAIL", 5)):
        monkeypatch.setattr(kept, name, facts)
    with open_book(path) as opened:
        say(opened, PlotAdded(date=FIRST, plot="Brook", beds=BEDS, length_ft=Decimal(50)))
        say(opened, Sown(date=FIRST, crop="kale", beds=BEDS))
        say(opened, *(picked(FIRST + dt.timedelta(number)) for number in range(200)))
        yield opened


def picked(day: dt.date) -> Harvested:
    return Harvested(date=day, crop="kale", beds=("Brook 1",), quantity=Decimal(1), unit="lb")


def say(book: Book, *events: Event) -> None:
    with book.change("said", "Ines", NOW) as change:
        for event in events:
            change.add(event)


def days(path: Path) -> list[dt.date]:
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute("select day from checkpoints order by day").fetchall()
    return [dt.date.fromisoformat(day) for (day,) in rows]


def facts_read(book: Book, day: dt.date) -> int:
    """How many facts are folded to answer for a day in a program that has just started."""
    folded = []
    with open_book(book.name, create=False) as fresh:
        real = kept.fold
        try:
            kept.fold = lambda season, fact: (folded.append(fact), real(season, fact))  # type: ignore[assignment]
            fresh.season(day)
        finally:
            kept.fold = real
    return sum(fact.event.kind == "harvested" for fact in folded)


def test_a_long_fold_leaves_checkpoints_the_older_ones_one_a_month(book: Book, path: Path) -> None:
    book.season(LAST)

    left = days(path)

    older = [day for day in left if day < left[-1] - kept.RECENT]
    assert len({(day.year, day.month) for day in older}) == len(older) > 2
    assert left[-1] < LAST


def test_a_book_with_notes_of_its_beds_is_sound_once_checkpoints_are_left(book: Book, path: Path) -> None:
    say(book, Noted(date=FIRST + dt.timedelta(3), text="geese", beds=("Brook 2",)))
    book.season(LAST)

    assert days(path)
    assert book.verify() == ()


def test_the_next_program_does_not_read_it_all_again(book: Book) -> None:
    assert facts_read(book, LAST) == 200

    assert facts_read(book, LAST) <= 20


def test_a_fold_of_many_facts_tells_how_far_it_is(book: Book, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept, "LONG", 100)
    monkeypatch.setattr(kept, "STEP", 50)
    book.forget_derived()
    told: list[tuple[int, int]] = []

    with open_book(path, heed=lambda done, many: told.append((done, many))) as again:
        again.season(LAST)
        again.season(LAST)

    assert told == [(2, 202), (52, 202), (102, 202), (152, 202), (202, 202)]


def test_a_fold_of_few_facts_tells_nothing(book: Book, path: Path) -> None:
    told: list[int] = []

    with open_book(path, heed=lambda done, many: told.append(done)) as again:
        again.season(LAST)

    assert told == []


def test_an_entry_of_today_drops_no_checkpoint(book: Book, path: Path) -> None:
    book.season(LAST)
    before = days(path)

    say(book, picked(LAST))

    assert days(path) == before


def test_a_late_entry_drops_the_checkpoints_of_its_day_and_later(book: Book, path: Path) -> None:
    book.season(LAST)
    before = days(path)

    say(book, picked(before[2]))

    assert days(path) == before[:2]
    assert book.season(LAST) == season_of(book.facts(), LAST)


def test_a_new_customer_drops_nothing_of_before_and_is_known_at_once(book: Book, path: Path) -> None:
    book.season(LAST)
    before = days(path)

    say(book, CustomerAdded(date=LAST, customer="Harbour Oven"))

    assert days(path) == before
    assert book.season(FIRST).customers == ["Harbour Oven"]


def test_what_a_tote_weighs_bears_on_all_that_was_said_of_the_crop(book: Book, path: Path) -> None:
    book.season(LAST)
    value = {"unit": "tote", "quantity": "20", "in": "lb"}

    say(book, Setting(date=LAST, name="weight", crop="kale", value=value))

    assert days(path) == []
    assert book.season(LAST) == season_of(book.facts(), LAST)


def test_checkpoints_of_another_fold_are_never_read(book: Book, path: Path) -> None:
    book.season(LAST)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("update checkpoints set rules = 'older', season = x'00'")

    with open_book(path) as fresh:
        assert fresh.season(LAST) == season_of(fresh.facts(), LAST)
        assert fresh.verify() == ()


def test_a_book_that_cannot_be_written_in_just_now_still_answers(book: Book, path: Path) -> None:
    @listening.listens_for(book._database._engine, "connect")
    def impatient(connection: sqlite3.Connection, record: object) -> None:
        connection.execute("pragma busy_timeout = 10")

    book._database.close()  # so that the next connection is an impatient one
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("begin immediate")
        season = book.season(LAST)

    assert season == season_of(book.facts(), LAST)
    assert days(path) == []


def test_what_leaves_no_trace_is_not_folded(book: Book) -> None:
    say(book, *(Weather(date=LAST, high=Decimal(number), unit="C") for number in range(30)))

    assert facts_read(book, LAST) == 200
    assert book.season(LAST) == season_of(book.facts(), LAST)


def test_forgotten_seasons_come_out_the_same(book: Book, path: Path) -> None:
    before = book.season(LAST)

    book.forget_derived()

    assert days(path) == []
    assert book.season(LAST) == before


def test_many_days_asked_for_take_bounded_room(book: Book) -> None:
    for number in range(150):
        book.season(FIRST + dt.timedelta(number))

    assert len(book._seasons._cores) <= kept.IN_MEMORY
    assert len(book._seasons._whole) <= kept.IN_MEMORY


def test_a_verified_book_with_a_spoilt_checkpoint_says_so(book: Book, path: Path) -> None:
    book.season(LAST)
    first, second = days(path)[:2]
    with closing(sqlite3.connect(path)) as connection, connection:
        (season,) = connection.execute("select season from checkpoints where day = ?", [str(first)]).fetchone()
        connection.execute("update checkpoints set season = ? where day = ?", [season, str(second)])

    assert [(finding.what, finding.about) for finding in book.verify()] == [("checkpoint", str(second))]


def test_watering_today_is_seen_today(book: Book) -> None:
    book.season(LAST)

    say(book, Watered(date=LAST, beds=("Brook 2",)))

    assert book.season(LAST).done["watered", "Brook 2"] == LAST


@pytest.mark.parametrize("by_another", [False, True])
def test_what_is_ordered_or_taken_back_after_a_look_is_in_the_next_one(
    book: Book, path: Path, by_another: bool
) -> None:
    def wanted() -> list[Decimal]:
        return [order.quantity for order in book.season(LAST).orders]

    due = Ordered(date=LAST + dt.timedelta(5), crop="kale", quantity=Decimal(8), unit="lb", customer="Harbour Oven")
    looks = [wanted()]
    with open_book(path) as another:
        hand = another if by_another else book
        say(hand, due)
        looks.append(wanted())
        say(book, picked(LAST))
        looks.append(wanted())
        order = hand.facts(kinds=("ordered",))[0]
        with hand.change("undo that", "Ines", NOW) as change:
            change.undo(order.entry)
        looks.append(wanted())

    assert looks == [[], [8], [8], []]
