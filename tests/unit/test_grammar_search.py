"""Which clauses a whole line makes, and at what cost."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from grammar.compiled import compiled
from grammar.frames import frames
from grammar.reader import asking_words, chart_of, skeleton
from grammar.search import Search
from grammar.tokens import tokenize

sys.path.insert(0, str(Path(__file__).parent))

from hollow import FARM, acts, clauses, heard, said  # lies beside its tests, outside any package


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("harvested brook 4 radish 30 lb", ["harvested"]),
        ("brook 4 radish 30 lb harvested", ["harvested"]),
        ("harvested brook 4 radish 30 lb and watered brook 5", ["harvested", "watered"]),
        ("harvested brook 4 radish 30 lb. watered brook 5. what's free", ["harvested", "watered", "free_beds"]),
        ("watered brook 5 weeded terrace 2 sowed radish in gate 1", ["watered", "weeded", "sown"]),
        ("what's free next tuesday", ["free_beds"]),
        ("brook 4 radish 30 lb", [None]),
    ],
)
def test_a_line_makes_the_clauses_that_were_said(line: str, expected: list[str | None]) -> None:
    assert acts(line) == expected


def test_the_cheapest_way_comes_first_and_none_is_far_dearer() -> None:
    costs = [way.cost for way in heard("got 30 lb radish off brook 4 for harbour oven friday").ways]

    assert costs == sorted(costs)
    assert costs[-1] <= costs[0] + 1.0


def test_no_two_ways_say_the_same() -> None:
    told = [
        [
            (clause.act, frozenset((part.type, part.value) for part in clause.parts), clause.flags, clause.text)
            for clause in way.clauses
        ]
        for way in heard("pulled the radish in brook 4 and it was good").ways
    ]

    assert len(told) > 1
    assert all(told.count(way) == 1 for way in told)


@pytest.mark.parametrize("doubt", ["didn't harvest", "almost harvested", "might harvest"])
def test_a_word_of_doubt_is_never_passed_over(doubt: str) -> None:
    deeds = [way.clauses[0] for way in heard(f"we {doubt} brook 4 radish").ways]

    assert all(deed.flags for deed in deeds if deed.act != "undo")  # which itself says that it was not done


def test_what_was_taken_back_is_replaced() -> None:
    assert said("harvested 30 lb no make that 35 lb radish from brook 4", "amount").quantity == 35


def test_a_word_that_nobody_knows_is_told_as_unread() -> None:
    assert [clause.unread for clause in clauses("harvested xqzzvw brook 4 radish 30 lb")] == [("xqzzvw",)]


def test_words_unread_side_by_side_are_one_stretch() -> None:
    assert [clause.unread for clause in clauses("harvested brook 4 radish 30 lb xqzzvw zzyqk")] == [("xqzzvw zzyqk",)]


def test_a_word_more_that_is_not_understood_makes_a_way_dearer() -> None:
    plain = heard("harvested brook 4 radish 30 lb").ways[0].cost

    assert heard("harvested brook 4 radish 30 lb xqzzvw").ways[0].cost > plain + 1


@pytest.mark.parametrize(
    "line",
    [
        "i almost sowed brook eleven but the seeder jammed",
        "if only the courgettes would slow down a little",
        "the said so um yeah is was " * 120,
        "xqzzvw zzyqk " * 200,
    ],
)
def test_a_line_that_makes_no_sense_still_has_a_way(line: str) -> None:
    assert heard(line).ways


@pytest.mark.parametrize(
    "line",
    [
        "got 30 lb radish off brook 4 for harbour oven friday",
        "harvested brook 4 radish 30 lb no make that 28 and cleared gate 2",
        "sold 8 bunches chard to juniper table for 20",
        "",
    ],
)
def test_ways_looked_at_one_by_one_are_those_looked_at_all_at_once(line: str) -> None:
    one_by_one, all_at_once = heard(line).ways, heard(line).ways

    assert [one_by_one[at] for at in range(len(all_at_once))] == all_at_once[:]


def test_ways_within_a_cost_are_all_that_cost_no_more_and_the_others_are_still_there() -> None:
    line = "got 30 lb radish off brook 4 for harbour oven friday"
    ways, plain = heard(line).ways, heard(line).ways[:]
    near = plain[0].cost + 0.3

    assert list(ways.within(lambda: near)) == [way for way in plain if way.cost <= near]
    assert ways[:] == plain


def test_a_dearer_way_is_not_sought_before_it_is_looked_at() -> None:
    tokens = tokenize("got 30 lb radish off brook 4 for harbour oven friday")
    search = Search(tokens, chart_of(tokens, FARM), skeleton(), frames(), compiled().floating, asking_words())
    search.next_way()
    first = search.went_on
    search.ways()

    assert first < search.went_on
