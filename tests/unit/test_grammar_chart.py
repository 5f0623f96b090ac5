"""Phrases found in a lattice of words."""

from __future__ import annotations

from typing import Any

from grammar.chart import Chart, Edge, Grammar
from grammar.rules import define, flatten

RULES = """
weight: INTEGER UNIT -> weight
    | weight "and" weight -> both
doubtful.-2: INTEGER
pair: _number "and" _number
_number: INTEGER
odd: INTEGER -> odd
"""


def weight(number: str, unit: str) -> tuple[int, str]:
    return int(number), unit


def both(one: tuple[int, str], two: tuple[int, str]) -> tuple[int, str] | None:
    return (one[0] + two[0], one[1]) if one[1] == two[1] else None


def odd(number: str) -> int | None:
    return int(number) if int(number) % 2 else None


BUILDERS = {"weight": weight, "both": both, "odd": odd}
SORTS = {"lb": "UNIT", "oz": "UNIT", "um": "FILLER"}


def chart(line: str, dear: float = 0.0) -> Chart:
    words = line.split()
    skips = [at + (word == "um") for at, word in enumerate(words)] + [len(words)]
    return Chart(
        Grammar(flatten(define({"test.lark": RULES}).by_name.values()), BUILDERS),
        [
            [Edge("INTEGER" if word.isdigit() else SORTS.get(word, f"={word}"), at, at + 1, word, dear)]
            for at, word in enumerate(words)
        ],
        skips,
    )


def found(line: str, symbol: str) -> list[tuple[int, Any]]:
    return [(edge.end, edge.value) for edge in chart(line).edges(0, symbol)]


def test_a_phrase_has_its_end_and_its_meaning() -> None:
    assert found("3 lb", "weight") == [(2, (3, "lb"))]


def test_a_phrase_is_found_at_every_length() -> None:
    assert set(found("3 lb and 4 lb", "weight")) == {(2, (3, "lb")), (5, (7, "lb"))}


def test_a_phrase_that_makes_no_sense_is_none() -> None:
    assert found("3 lb and 4 oz", "weight") == [(2, (3, "lb"))]
    assert found("4", "odd") == []


def test_without_a_builder_the_children_stand_for_themselves() -> None:
    assert found("3 and 4", "pair") == [(3, ("3", "4"))]


def test_a_phrase_costs_what_its_words_and_its_rule_cost() -> None:
    (edge,) = chart("3", dear=0.25).edges(0, "doubtful")

    assert edge.cost == 0.25 + 0.5


def test_a_filler_within_a_phrase_is_passed_over_for_little() -> None:
    (edge,) = chart("3 um lb").edges(0, "weight")

    assert (edge.end, edge.value) == (3, (3, "lb"))
    assert 0 < edge.cost <= 0.1


def test_of_two_ways_to_one_meaning_the_cheaper_is_kept() -> None:
    grammar = Grammar(flatten(define({"test.lark": "some: INTEGER | DECIMAL"}).by_name.values()), {})
    words = [[Edge("INTEGER", 0, 1, "3", 0.7), Edge("DECIMAL", 0, 1, "3", 0.2)]]

    assert [edge.cost for edge in Chart(grammar, words, [0, 1]).edges(0, "some")] == [0.2]


def test_a_word_repeated_without_end_makes_phrases_of_bounded_length() -> None:
    ends = [end for end, _ in found("1 lb and " * 200 + "1 lb", "weight")]

    assert max(ends) < 100
