"""A line read: what is handed on of it."""

from __future__ import annotations

import sys
from decimal import Decimal
from pathlib import Path

import pytest

from grammar.reader import builders, grammar, read
from grammar.said import Amount
from grammar.vocabulary import PlainVocabulary

sys.path.insert(0, str(Path(__file__).parent))

from hollow import beds, clauses, heard, said  # lies beside its tests, outside any package


def test_the_parts_of_a_clause_keep_their_meaning_and_place() -> None:
    line = "Harvested Brook 4 radish, 30 lb"
    (clause,) = clauses(line)

    assert clause.act == "harvested"
    assert {part.type: (part.value, line[part.span.start : part.span.end]) for part in clause.parts} == {
        "beds": (beds("Brook", 4), "Brook 4"),
        "crop": ("radish", "radish"),
        "amount": (Amount(Decimal(30), "lb"), "30 lb"),
    }


def test_the_small_word_before_a_phrase_is_its_role() -> None:
    (clause,) = clauses("harvested 30 lb radish from brook 4")
    part = clause.part("beds")

    assert part is not None
    assert part.role == "from"


def test_a_repair_is_told_with_what_the_word_was_taken_for() -> None:
    part = clauses("harvested 30 lb arugola from brook 4")[0].part("crop")

    assert part is not None
    assert part.value == "arugula"
    assert part.repair in {"arugula", "arugala"}  # a spelling growers use is kept as a name
    assert part.cost > 0


def test_a_crop_in_the_plural_is_marked() -> None:
    plural = [clauses(f"sowed {crop} in brook 4")[0].part("crop") for crop in ("radish", "radishes")]

    assert [part and part.plural for part in plural] == [False, True]


def test_what_goes_into_the_book_as_said_is_kept_in_the_grower_s_words() -> None:
    assert said("put chicken manure on brook 4", "material_put") == "chicken manure"


def test_names_of_the_farm_are_read_only_where_they_are_its_names() -> None:
    elsewhere = read("harvested brook 4 radish", PlainVocabulary(plots={"Upper": ("Upper 4",)}))

    assert all(
        part.value != beds("Brook", 4) for way in elsewhere.ways for clause in way.clauses for part in clause.parts
    )


def test_a_new_name_is_read_from_the_next_line_on() -> None:
    before, after = PlainVocabulary(), PlainVocabulary(customers=("Quince and Rye",))
    line = "sold 3 lb kale to quince and rye"

    assert all(clause.part("customer") is None for clause in read(line, before).ways[0].clauses)
    assert [part.value for clause in read(line, after).ways[0].clauses if (part := clause.part("customer"))] == [
        "Quince and Rye"
    ]


@pytest.mark.parametrize("line", ["", "   ", "?", "..."])
def test_a_line_without_words_says_nothing(line: str) -> None:
    assert all(clause.act is None and not clause.parts for way in heard(line).ways for clause in way.clauses)


def test_the_same_line_is_read_alike_twice() -> None:
    line = "got 30 lb radish off brook 4 for harbour oven friday"

    assert heard(line).ways[:] == heard(line).ways[:]


def test_every_builder_that_the_rules_name_with_an_arrow_is_there() -> None:
    assert grammar().root.following
    assert len(builders()) > 100
