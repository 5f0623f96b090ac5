"""Near misses of words."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from grammar.lexicon import farm_lexicon
from grammar.spelling import near

sys.path.insert(0, str(Path(__file__).parent))

from hollow import FARM  # lies beside its tests, outside any package


def taken_for(letters: str) -> dict[str, float]:
    """What a word nobody knows may have been meant as, each at its lowest cost."""
    found: dict[str, float] = {}
    for entry, cost in near(letters, farm_lexicon(FARM)):
        found[entry.value] = min(cost, found.get(entry.value, cost))
    return found


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("arugola", "arugula"),  # one letter wrong
        ("spinahc", "spinach"),  # two swapped
        ("terace", "Terrace"),  # one missing
        ("cilan", "cilantro"),  # cut short
        ("terris", "Terrace"),  # by its sound
        ("junipper", "Juniper Table"),
        ("fidler", "The Tin Fiddle"),
    ],
)
def test_a_name_is_found_through_a_slip(written: str, meant: str) -> None:
    assert meant in taken_for(written)


def test_a_word_without_its_vowels_is_found() -> None:
    assert taken_for("trnsplntd")


def test_more_slips_cost_more() -> None:
    assert taken_for("harbour oven")["Harbour Oven"] < taken_for("harbuor oven")["Harbour Oven"]


def test_every_repair_costs_more_than_the_word_itself() -> None:
    assert all(cost >= 0.5 for cost in taken_for("raddsh").values())


def test_a_short_word_is_not_taken_for_one_two_slips_away() -> None:
    assert "beet" in taken_for("beat")
    assert "beet" not in taken_for("blat")


def test_what_is_like_nothing_is_taken_for_nothing() -> None:
    assert taken_for("xqzzvwxyk") == {}
