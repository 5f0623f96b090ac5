"""What holds for the season of any book, whatever was said and in whatever order."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.checkpoint import packed, unpacked
from engine.events import Event
from engine.kept import with_names
from engine.season import REGISTERED, branch, carry, fold, season_of, start
from engine.season_stock import balances
from engine.state import Season
from engine.view import Fact

sys.path.insert(0, str(Path(__file__).parent))

from farm_events import ANY, FARM, FIRST, MOVED  # lies beside its tests, outside any package

END = dt.date(2036, 1, 1)
books = st.lists(ANY, max_size=40)
looks = st.integers(0, 200).map(lambda days: FIRST + dt.timedelta(days))


def facts_of(events: Sequence[Event]) -> list[Fact]:
    return [Fact(entry, event, "") for entry, event in enumerate((FARM, *events), 1)]


def in_order(facts: Sequence[Fact]) -> list[Fact]:
    return sorted(facts, key=lambda fact: (fact.event.date, fact.entry))


def core_of(facts: Sequence[Fact]) -> Season:
    """The season of the last day of a book, without what is laid ahead."""
    season = start(dt.date.min, registered(facts))
    for fact in in_order(facts):
        fold(season, fact)
    return season


def registered(facts: Sequence[Fact]) -> list[Fact]:
    return [fact for fact in in_order(facts) if fact.event.kind in REGISTERED]


@settings(max_examples=150, deadline=None)
@given(books, looks, st.randoms(use_true_random=False))
def test_on_different_days_the_order_of_entry_does_not_change_the_season(events, day, chance):  # type: ignore[no-untyped-def]
    by_day = list({event.date: event for event in events if event.date != FIRST}.values())
    shuffled = chance.sample(by_day, len(by_day))

    said_first = season_of(facts_of(by_day), day)
    said_so = season_of(facts_of(shuffled), day)

    assert without_entries(said_so, shuffled) == without_entries(said_first, by_day)


def without_entries(season: Season, events: Sequence[Event]) -> str:
    """The season as text with each entry's number replaced by the day of its event, which is its own here."""
    text = repr(season)
    for entry in range(len(events) + 1, 0, -1):
        date = FARM.date if entry == 1 else events[entry - 2].date
        text = text.replace(f"entry={entry},", f"said of {date},")
    return text


@settings(max_examples=150, deadline=None)
@given(books)
def test_no_bed_is_both_free_and_planted(events) -> None:  # type: ignore[no-untyped-def]
    for bed in season_of(facts_of(events), END).beds.values():
        if bed.plantings:
            assert (bed.state, bed.open_since, bed.prepared_since) == ("growing", None, None)
        assert all(planting.ended is None for planting in bed.plantings)
        assert all(planting.ended is not None for planting in bed.past)


@settings(max_examples=300, deadline=None)
@given(st.lists(MOVED, max_size=30))
def test_what_came_in_went_out_or_is_left_exactly(events) -> None:  # type: ignore[no-untyped-def]
    season = season_of(facts_of(events), END)

    assert {key: came - went for key, (came, went) in balances(season).items() if came != went} == {}
    assert all(Decimal(0) <= lot.left <= max(lot.picked, lot.left) for lot in season.lots)


@settings(max_examples=300, deadline=None)
@given(st.lists(MOVED, max_size=30))
def test_all_that_was_picked_is_in_the_tallies_as_it_was_said(events) -> None:  # type: ignore[no-untyped-def]
    season = season_of(facts_of(events), END)

    picked: dict[tuple[str, str], Decimal] = {}
    for event in events:
        if event.kind == "harvested" and event.quantity is not None:
            key = event.crop, event.unit
            picked[key] = picked.get(key, Decimal(0)) + event.quantity
    tallied = {
        (crop, unit): amount
        for crop, tally in season.tallies.items()
        for (way, unit), amount in tally.moved.items()
        if way == "picked"
    }
    assert tallied == picked


@settings(max_examples=150, deadline=None)
@given(books, books)
def test_a_branch_goes_its_own_way(events, more) -> None:  # type: ignore[no-untyped-def]
    season = core_of(facts_of(events))
    before = repr(season)

    other = branch(season)
    for fact in in_order(facts_of(more)):
        fold(other, Fact(fact.entry + 1000, fact.event, ""))

    assert repr(season) == before


@settings(max_examples=150, deadline=None)
@given(books)
def test_a_checkpoint_gives_the_season_back(events) -> None:  # type: ignore[no-untyped-def]
    facts = facts_of(events)
    season = core_of(facts)

    assert with_names(unpacked(packed(season)), registered(facts)) == season


@settings(max_examples=150, deadline=None)
@given(books, looks)
def test_going_on_from_a_checkpoint_gives_what_starting_over_gives(events, day) -> None:  # type: ignore[no-untyped-def]
    facts = in_order(facts_of(events))
    half = start(dt.date.min, registered(facts))
    for fact in facts:
        if fact.event.date <= day:
            fold(half, fact)
    carry(half, day)

    season = with_names(unpacked(packed(half)), registered(facts))
    for fact in facts:
        if fact.event.date > day:
            fold(season, fact)
    over_again = core_of(facts)
    for one in (season, over_again):
        carry(one, END)

    assert season == over_again


@settings(max_examples=100, deadline=None)
@given(books, looks, looks)
def test_days_pass_alike_in_one_step_or_two(events, day, later) -> None:  # type: ignore[no-untyped-def]
    first, last = sorted((END + (day - FIRST), END + (later - FIRST)))
    in_two, in_one = core_of(facts_of(events)), core_of(facts_of(events))

    carry(in_two, first)
    carry(in_two, last)
    carry(in_one, last)

    assert in_two == in_one
