"""The words that each place of a line may hold."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from grammar.chart import Edge
from grammar.lattice import lattice
from grammar.lexicon import farm_lexicon
from grammar.tokens import tokenize

sys.path.insert(0, str(Path(__file__).parent))

from hollow import FARM  # lies beside its tests, outside any package


def edges(line: str, symbol: str) -> list[Edge]:
    return [edge for place in lattice(tokenize(line), farm_lexicon(FARM)) for edge in place if edge.symbol == symbol]


def cheapest(line: str, symbol: str) -> dict[str, Edge]:
    found: dict[str, Edge] = {}
    for edge in sorted(edges(line, symbol), key=lambda edge: edge.cost):
        found.setdefault(edge.value, edge)
    return found


def test_a_word_as_said_costs_nothing_and_is_no_repair() -> None:
    edge = cheapest("radish", "CROP")["radish"]

    assert (edge.cost, edge.repair) == (0.0, None)


@pytest.mark.parametrize(
    ("line", "symbol", "value"),
    [
        ("a rugula", "CROP", "arugula"),
        ("ar ugula", "CROP", "arugula"),
        ("juni per", "CUSTOMER", "Juniper Table"),
        ("saladmix", "CROP", "salad mix"),
        ("arugola", "CROP", "arugula"),
    ],
)
def test_a_name_cut_or_spelled_otherwise_is_a_repair_at_a_cost(line: str, symbol: str, value: str) -> None:
    edge = cheapest(line, symbol)[value]

    assert edge.cost > 0
    assert edge.repair
    assert (edge.start, edge.end) == (0, len(tokenize(line)))


def test_a_number_by_its_sound_is_likelier_where_a_number_is_due() -> None:
    due = min(edge.cost for edge in edges("brook ate", "DIGIT"))
    not_due = min(edge.cost for edge in edges("we ate", "DIGIT"))

    assert due < not_due


def test_figures_are_whole_decimal_or_ordinal() -> None:
    line = "4 and 2.5 and 3rd"

    assert [edge.value for edge in edges(line, "INTEGER")] == ["4"]
    assert [str(edge.value) for edge in edges(line, "DECIMAL")] == ["2.5"]
    assert [edge.value for edge in edges(line, "ORDINAL")] == ["3"]


def test_a_known_word_is_not_looked_for_among_near_misses() -> None:
    assert all(edge.repair is None for edge in edges("beet", "CROP") if edge.end == 1)


def test_every_word_may_be_part_of_a_name() -> None:
    assert [edge.value for edge in edges("cherry belle", "WORD")] == ["cherry", "belle"]


@pytest.mark.parametrize("line", [", radish", ". juniper", "- arugula", "radish ,"])
def test_a_mark_is_no_letter_of_a_name(line: str) -> None:
    mark = 0 if not line[0].isalpha() else len(line.split()) - 1

    assert not [
        edge for symbol in ("CROP", "CUSTOMER") for edge in edges(line, symbol) if edge.start <= mark < edge.end
    ]


@pytest.mark.parametrize(
    ("line", "number"),
    [
        ("too dozen bunches", "2"),
        ("fifty to pounds", "2"),
        ("brook ate", "8"),
        ("brook won", "1"),
        ("forty too fahrenheit", "2"),
    ],
)
def test_where_a_number_can_hardly_be_missing_a_word_that_sounds_like_one_is_one(line: str, number: str) -> None:
    assert cheapest(line, "DIGIT")[number].cost < 0.5


@pytest.mark.parametrize("line", ["sold to juniper", "for juniper", "weeded it too", "went to brook"])
def test_elsewhere_such_a_word_is_itself(line: str) -> None:
    assert min((edge.cost for edge in edges(line, "DIGIT")), default=9) > 1
