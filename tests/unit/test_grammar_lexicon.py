"""What words can stand for."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from grammar.data import table
from grammar.lexicon import base_lexicon, farm_lexicon, plurals, squeeze, words_of
from grammar.vocabulary import PlainVocabulary

sys.path.insert(0, str(Path(__file__).parent))

from hollow import FARM, said  # lies beside its tests, outside any package


def standing_for(way: str) -> set[tuple[str, str]]:
    words = words_of(way)
    entries = farm_lexicon(FARM).starting(words[0])
    return {(entry.terminal, entry.value) for entry in entries if entry.words == words}


CROPS = [(crop, way) for crop, ways in table("crops")["CROP"].items() for way in (crop, *ways)]


@pytest.mark.parametrize(("crop", "way"), CROPS)
def test_every_way_to_say_a_crop_stands_for_it(crop: str, way: str) -> None:
    assert ("CROP", crop) in standing_for(way)


@pytest.mark.parametrize("crop", sorted(table("crops")["CROP"]))
def test_every_crop_of_the_list_is_read_as_itself(crop: str) -> None:
    assert said(f"sowed {crop} in brook 4", "crop") == crop


@pytest.mark.parametrize(
    ("way", "stands_for"),
    [
        ("brook", ("PLOT", "Brook")),
        ("harbour oven", ("CUSTOMER", "Harbour Oven")),
        ("harbour", ("CUSTOMER", "Harbour Oven")),
        ("tin fiddle", ("CUSTOMER", "The Tin Fiddle")),
        ("vale", ("CUSTOMER", "Vale Grocers")),
        ("pea shoots", ("CROP", "pea shoots")),
        ("ines", ("PERSON", "Ines")),
        ("fiddlers", ("CUSTOMER", "The Tin Fiddle")),
    ],
)
def test_a_name_of_the_farm_stands_for_itself_also_in_part(way: str, stands_for: tuple[str, str]) -> None:
    assert stands_for in standing_for(way)


def test_a_common_word_in_a_name_stands_for_it_at_a_higher_cost() -> None:
    costs = {
        word: min(
            e.cost for e in farm_lexicon(FARM).starting(word) if e.value == "Saturday stall" and len(e.words) == 1
        )
        for word in ("saturday", "stall")
    }

    assert costs["saturday"] > costs["stall"]


def test_an_entry_is_found_by_its_letters_however_they_are_cut() -> None:
    assert "salad mix" in {entry.value for entry in farm_lexicon(FARM).lettered("saladmix")}


def test_names_of_a_farm_are_not_known_to_others() -> None:
    other = farm_lexicon(PlainVocabulary(plots={"Orchard": ("Orchard 1",)}))

    assert not [entry for entry in other.starting("brook") if entry.terminal == "PLOT"]
    assert not [entry for entry in base_lexicon().starting("orchard") if entry.terminal == "PLOT"]


def test_the_lexicon_of_a_farm_is_kept_while_its_names_stay() -> None:
    same = PlainVocabulary(plots=dict(FARM.plots), **{name: getattr(FARM, name) for name in (
        "crops", "customers", "people", "aliases",
    )})  # fmt: skip

    assert farm_lexicon(same) is farm_lexicon(FARM)


@pytest.mark.parametrize(
    ("one", "several"),
    [("radish", "radishes"), ("berry", "berries"), ("tomato", "tomatoes"), ("beet", "beets"), ("bay", "bays")],
)
def test_several_are_written_as_english_does(one: str, several: str) -> None:
    assert several in plurals(one)


def test_letters_alone_leave_out_spaces_marks_and_capitals() -> None:
    assert squeeze("Co-op & Sons") == squeeze("coop sons") == "coopsons"
