"""Which clauses a whole line makes, and at what cost."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from hollow import acts, clauses, heard, said  # lies beside its tests, outside any package


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
