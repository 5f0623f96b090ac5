"""What the book promises, in a file and on a server: nothing lost, nothing half, nothing twice."""

from __future__ import annotations

import datetime as dt
import subprocess
import sys
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from engine import __version__, errors
from engine.book import Book, key_of, open_book
from engine.events import Covered, CustomerAdded, Event, Harvested, Ordered, Setting, Sold, Sown, Watered, Worked
from engine.view import View

sys.path.insert(0, str(Path(__file__).parent))

from sayings import (  # lies beside its tests, outside any package
    BROOK,
    NOW,
    PICKED,
    PLOT,
    SOWN,
    TARPED,
    TODAY,
    correct,
    count,
    new_book,
    rows,
    say,
    undo,
)


@pytest.fixture
def book(place: str) -> Iterator[Book]:
    with new_book(place) as opened:
        yield opened


def test_a_line_gives_back_what_was_stored(book: Book) -> None:
    facts = say(book, "picked 4 and tarped 2", PICKED, TARPED)

    assert [(fact.entry, fact.event, fact.said, fact.by) for fact in facts] == [
        (3, PICKED, "picked 4 and tarped 2", "Ines"),
        (4, TARPED, "picked 4 and tarped 2", "Ines"),
    ]
    assert book.facts(kinds=("harvested", "covered")) == list(facts)


def test_a_block_that_breaks_off_writes_nothing(book: Book, place: str) -> None:
    def break_off() -> None:
        with book.change("picked 4", "Ines", NOW) as change:
            change.add(PICKED)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        break_off()

    assert (count(place, "lines"), count(place, "entries")) == (2, 2)
    assert book.season(TODAY).lots == []


def test_a_line_is_written_whole_or_not_at_all(book: Book, place: str) -> None:
    def two_things() -> None:
        with book.change("picked 4, undo 99", "Ines", NOW) as change:
            change.add(PICKED)
            change.undo(99)

    with pytest.raises(errors.NoSuchEntry):
        two_things()

    assert (count(place, "lines"), count(place, "entries"), count(place, "facts")) == (2, 2, 2)


def test_a_line_that_says_nothing_is_not_kept(book: Book, place: str) -> None:
    assert say(book, "hello") == ()

    assert count(place, "lines") == 2


def test_an_entry_keeps_words_day_moment_person_and_version(book: Book, place: str) -> None:
    (row,) = rows(
        place, 'select said, "by", "at", version, date, kind from entries join lines using (line) where entry = 2'
    )

    said, by, at, version, date, kind = row
    assert (said, by, version, kind) == ("sowed radish in brook 4 on may 20", "Ines", __version__, "sown")
    assert (str(at)[:19], str(date)) == ("2027-06-14 18:30:00", "2027-05-20")


def test_a_moment_in_another_zone_is_the_same_moment(book: Book) -> None:
    there = NOW.astimezone(dt.timezone(dt.timedelta(hours=-5)))
    with book.change("picked 4", None, there) as change:
        change.add(PICKED)

    line = book.latest_line()

    assert line is not None
    assert (line.at, line.at.tzinfo, line.by) == (NOW, dt.UTC, None)


def test_amounts_come_back_digit_for_digit(book: Book) -> None:
    amount = Decimal("0.1234567890123456789012345")
    say(book, "picked 4", Harvested(date=TODAY, crop="radish", beds=("Brook 4",), quantity=amount, unit="lb"))

    (fact,) = book.facts(kinds=("harvested",))

    assert fact.event.quantity == amount  # type: ignore[attr-defined]


@pytest.mark.parametrize("year", [1, 1899, 3000, 9999])
def test_a_day_of_no_farms_years_is_refused(book: Book, year: int) -> None:
    with pytest.raises(errors.Unfit), book.change("", None, NOW) as change:
        change.add(Watered(date=dt.date(year, 1, 1), beds=("Brook 4",)))


def test_an_amount_that_is_no_number_is_refused(book: Book) -> None:
    with pytest.raises(errors.Unfit), book.change("", None, NOW) as change:
        change.add(Worked(date=TODAY, hours=Decimal("NaN")))


def test_a_correction_is_an_entry_and_the_first_one_stays(book: Book, place: str) -> None:
    picked = say(book, "picked 4", PICKED)[0]

    fact = correct(book, picked.entry, quantity=28)

    assert (fact.entry, fact.event.kind, fact.event.replaces) == (4, "corrected", {"quantity": 28})  # type: ignore[attr-defined]
    assert book.season(TODAY).lots[0].picked == 28
    assert book.fact(picked.entry) == book.fact(fact.entry)
    ((record,),) = rows(place, "select record from entries where entry = 3")
    assert '"quantity":"30.5"' in record


def test_a_field_that_does_not_hold_is_taken_out(book: Book) -> None:
    picked = say(book, "picked 4", PICKED)[0]

    correct(book, picked.entry, quantity=None, unit=None)

    assert book.season(TODAY).lots == []


def test_corrections_lie_one_over_the_other_and_come_off_one_by_one(book: Book) -> None:
    picked = say(book, "picked 4", PICKED)[0]
    correct(book, picked.entry, quantity=28)
    second = correct(book, picked.entry, quantity=26)

    undo(book, second.entry)

    assert book.season(TODAY).lots[0].picked == 28


def test_a_correction_of_a_correction_is_one_of_the_record(book: Book) -> None:
    picked = say(book, "picked 4", PICKED)[0]
    first = correct(book, picked.entry, quantity=28)

    second = correct(book, first.entry, quantity=26)

    assert second.event.entry == picked.entry  # type: ignore[attr-defined]
    assert book.season(TODAY).lots[0].picked == 26


def test_a_record_moved_to_another_day_is_there_and_not_here(book: Book) -> None:
    picked = say(book, "picked 4", PICKED)[0]
    yesterday = TODAY - dt.timedelta(1)

    correct(book, picked.entry, date=yesterday)

    assert [lot.date for lot in book.season(yesterday).lots] == [yesterday]
    assert [fact.entry for fact in book.facts(yesterday, yesterday)] == [picked.entry]


def test_undo_works_after_a_restart(place: str) -> None:
    with open_book(place) as book:
        say(book, "add plot Brook", PLOT)
        say(book, "sowed radish", SOWN)
        say(book, "picked 4", PICKED)
    with open_book(place) as book:
        line = book.latest_line()
        assert line is not None
        undo(book, line.facts[0].entry)
    with open_book(place) as book:
        assert book.facts(kinds=("harvested",)) == []
        assert book.season(TODAY).lots == []


def test_an_undoing_can_be_undone(book: Book) -> None:
    picked = say(book, "picked 4", PICKED)[0]
    undoing = undo(book, picked.entry)

    undo(book, undoing.entry)

    assert book.fact(picked.entry) == picked


def test_what_was_taken_back_cannot_be_taken_back_or_changed_again(book: Book) -> None:
    picked = say(book, "picked 4", PICKED)[0]
    undo(book, picked.entry)

    with pytest.raises(errors.NotStanding):
        undo(book, picked.entry)
    with pytest.raises(errors.NotStanding):
        correct(book, picked.entry, quantity=28)


@pytest.mark.parametrize("replaces", [{"quantity": "a lot"}, {"colour": "red"}, {"date": "tuesday"}, {"crop": None}])
def test_fields_that_make_no_record_are_refused(book: Book, place: str, replaces: dict[str, Any]) -> None:
    picked = say(book, "picked 4", PICKED)[0]

    with pytest.raises(errors.Unfit):
        correct(book, picked.entry, **replaces)

    assert count(place, "entries") == 3


def test_of_two_people_who_correct_one_record_the_second_is_told(place: str, book: Book) -> None:
    picked = say(book, "picked 4", PICKED)[0]
    with open_book(place) as other:
        looked_at = other.fact(picked.entry)
        correct(book, picked.entry, quantity=28)

        with pytest.raises(errors.ChangedSince), other.change("make that 27", "Tomas", NOW) as change:
            change.correct(picked.entry, {"quantity": 27}, was=looked_at.event if looked_at else None)

        assert other.season(TODAY).lots[0].picked == 28


def test_the_latest_line_is_the_last_one_that_still_stands(book: Book) -> None:
    both = say(book, "picked 4 and tarped 2", PICKED, TARPED)
    tomas = say(book, "watered 4", Watered(date=TODAY, beds=("Brook 4",)), by="Tomas")[0]

    def said(line: Any) -> Any:
        return line and (line.said, [fact.entry for fact in line.facts])

    assert said(book.latest_line()) == ("watered 4", [tomas.entry])
    assert said(book.latest_line("Ines")) == ("picked 4 and tarped 2", [fact.entry for fact in both])
    undo(book, tomas.entry)
    undo(book, both[0].entry)
    assert said(book.latest_line()) == ("picked 4 and tarped 2", [both[1].entry])
    correction = correct(book, both[1].entry, beds=["Brook 3"])
    assert said(book.latest_line()) == ("make that", [correction.entry])


def test_a_line_of_notes_is_stored_once(book: Book, place: str) -> None:
    key = key_of("2027-06-14.txt", TODAY, "watered 4", 1)
    first = say(book, "watered 4", Watered(date=TODAY, beds=("Brook 4",)), key=key)

    second = say(book, "watered 4", Watered(date=TODAY, beds=("Brook 4",)), key=key)

    assert (len(first), second, count(place, "entries")) == (1, (), 3)
    assert book.said_before(key)


def test_a_line_of_notes_is_remembered_though_it_stored_nothing(book: Book) -> None:
    key = key_of("2027-06-14.txt", TODAY, "nice day", 1)

    say(book, "nice day", key=key)

    assert book.said_before(key)


def test_file_day_words_and_place_make_a_line_itself() -> None:
    keys = {
        key_of(source, day, text, occurrence)
        for source in ("a", "b")
        for day in (TODAY, TODAY + dt.timedelta(1))
        for text in ("watered 4", "watered 5")
        for occurrence in (1, 2)
    }

    assert len(keys) == 16


def test_facts_are_narrowed_by_all_that_is_asked(book: Book) -> None:
    may, june = dt.date(2027, 5, 30), dt.date(2027, 6, 2)
    sales = [
        Sold(date=may, crop="radish", quantity=Decimal(1), unit="lb", customer="Harbour Oven"),
        Sold(date=june, crop="radish", quantity=Decimal(2), unit="lb", customer="Juniper Table"),
        Sold(date=june, crop="beet", quantity=Decimal(3), unit="lb", customer="Harbour Oven"),
    ]
    say(book, "sales", *sales)
    say(book, "watered", Watered(date=june, beds=("Brook 4", "Brook 5")), Watered(date=june, beds=("Brook 6",)))

    def asked(*days: dt.date, **narrowed: Any) -> list[Event]:
        return [fact.event for fact in book.facts(*days, **narrowed)]

    assert asked(kinds=("sold",)) == sales
    assert asked(june, june, kinds=("sold",)) == sales[1:]
    assert asked(crop="radish", customer="Juniper Table") == [sales[1]]
    assert asked(kinds=("sold",), newest_first=True, limit=2) == [sales[2], sales[1]]
    assert [event.date for event in asked(beds=("Brook 4",))] == [SOWN.date, june, TODAY]
    assert len(asked(beds=("Brook 4", "Brook 5", "Brook 6"), kinds=("watered",))) == 2
    assert asked(end=may, kinds=("sold",)) == [sales[0]]


def test_a_view_is_the_book_seen_from_a_day(book: Book) -> None:
    view: View = book.view(TODAY)

    assert (view.today, view.season().day) == (TODAY, TODAY)
    assert view.season(dt.date(2027, 5, 19)).plantings() == []
    assert [fact.event for fact in view.facts(kinds=("sown",))] == [SOWN]


def test_a_view_sees_what_is_written_here_at_once_and_what_others_write_with_the_next(book: Book, place: str) -> None:
    view = book.view(TODAY)
    view.season()
    with open_book(place) as other:
        say(other, "tarped 2", TARPED)

    assert view.season().beds["Brook 2"].state != "covered"
    assert book.view(TODAY).season().beds["Brook 2"].state == "covered"
    say(book, "picked 4", PICKED)
    assert view.season().lots != []


def test_a_day_to_come_is_today_carried_on(book: Book) -> None:
    season = book.season(TODAY + dt.timedelta(30))

    assert [planting.crop for planting in season.plantings()] == ["radish"]


def test_a_season_in_hand_does_not_change_under_the_reader(book: Book) -> None:
    before = book.season(TODAY)
    seen = repr(before)

    say(book, "picked 4", PICKED)

    assert repr(before) == seen
    assert book.season(TODAY).lots != []


def test_an_order_due_next_week_is_known_today(book: Book) -> None:
    due = TODAY + dt.timedelta(4)
    say(book, "order", Ordered(date=due, crop="radish", quantity=Decimal(5), unit="lb", customer="Harbour Oven"))

    assert [order.date for order in book.season(TODAY).orders] == [due]


def test_names_are_those_of_the_whole_book(book: Book) -> None:
    say(book, "add", CustomerAdded(date=TODAY, customer="Harbour Oven"))
    say(book, "mix is", Setting(date=TODAY, name="alias", value={"say": "mix", "mean": "salad mix"}))
    say(book, "hours", Worked(date=TODAY, hours=Decimal(4), who="Tomas"))
    say(book, "tarped", TARPED)

    names = book.names()

    assert dict(names.plots) == {"Brook": BROOK}
    assert (names.crops, names.customers, names.people) == (("radish",), ("Harbour Oven",), ("Tomas",))
    assert (names.materials, names.aliases, names.meant("mix")) == (("tarp",), (("mix", "salad mix"),), "salad mix")
    assert (names.beds, names.beds_of("Brook"), names.beds_of("Gate")) == (BROOK, BROOK, ())


def test_names_that_did_not_change_are_equal_and_hash_alike(book: Book) -> None:
    before = book.names()
    say(book, "watered", Watered(date=TODAY, beds=("Brook 4",)))

    after = book.names()

    assert (before.words, hash(before.words)) == (after.words, hash(after.words))
    assert after.words.plots == {"Brook": BROOK}


def test_an_empty_book_has_no_names_and_an_empty_season(place: str) -> None:
    with open_book(place) as book:
        assert book.names().plots == ()
        assert book.season(TODAY).beds == {}
        assert book.latest_line() is None
        assert book.verify() == ()


def test_two_programs_see_each_others_lines(place: str, book: Book) -> None:
    book.season(TODAY)
    script = (
        "import datetime as dt; from engine.book import open_book; from engine.events import Covered\n"
        f"book, now = open_book({place!r}, create=False), dt.datetime.now(dt.UTC)\n"
        "with book.change('tarped 2', 'Tomas', now) as change:\n"
        "    change.add(Covered(date=dt.date(2027, 6, 14), beds=('Brook 2',)))\n"
    )
    subprocess.run([sys.executable, "-c", script], check=True)

    assert book.season(TODAY).beds["Brook 2"].state == "covered"


def test_a_program_killed_in_the_middle_leaves_whole_lines(place: str, book: Book) -> None:
    script = (
        "import datetime as dt, itertools; from engine.book import open_book\n"
        "from engine.events import Watered, Weeded\n"
        f"book = open_book({place!r}, create=False); day = dt.date(2027, 6, 14)\n"
        "for number in itertools.count():\n"
        "    with book.change(f'line {number}', 'Tomas', dt.datetime.now(dt.UTC)) as change:\n"
        "        change.add(Watered(date=day, beds=('Brook 1',))); change.add(Weeded(date=day, beds=('Brook 1',)))\n"
        "    print(number, flush=True)\n"
    )
    with subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True) as program:
        assert program.stdout is not None
        shown = [next(program.stdout) for _ in range(25)]
        program.kill()

    told = int(shown[-1])
    assert count(place, "entries") == 2 * count(place, "lines") - 2
    assert len(book.facts(kinds=("watered",))) == len(book.facts(kinds=("weeded",))) >= told + 1
    assert book.verify() == ()


def test_names_laid_out_for_looking_up(book: Book) -> None:
    with_variety = Sown(date=TODAY, crop="beet", beds=("Brook 1",), variety="Deep Red")
    say(book, "sowed", with_variety, Covered(date=TODAY, beds=("Brook 3",), material="fleece"))

    words = book.names().words

    assert (words.crops, words.varieties, words.materials) == (("beet", "radish"), ("Deep Red",), ("fleece",))
    assert (words.customers, words.people, words.aliases) == ((), (), ())
