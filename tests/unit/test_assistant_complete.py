"""Completion offers the farm's own names and the beginnings of phrases, and nothing that was typed already."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.complete import Offer, completions
from engine.names import Names

FARM = Names(
    plots=(("Brook", ("Brook 1", "Brook 2", "Brook 12")), ("Gate", ("Gate 1",))),
    crops=("salad mix",),
    customers=("The Tin Fiddle", "Harbour Oven"),
    people=("Ines",),
)
CROPS = ("arugula", "radish")


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("sold 20 lb rad", [Offer("radish", 3)]),
        ("harvested brook 1", [Offer("Brook 12", 7)]),
        ("sowed radish in Bro", [Offer("Brook", 3), Offer("Brook 1", 3), Offer("Brook 2", 3), Offer("Brook 12", 3)]),
        ("sold 3 lb radish to the t", [Offer("The Tin Fiddle", 5)]),
        ("sold 4 lb sal", [Offer("salad mix", 3)]),
        ("by ine", [Offer("Ines", 3)]),
        ("r", []),
        ("", []),
        ("picked radish", []),
        ("floop", []),
    ],
)
def test_a_name_begun_is_offered_whole(typed: str, offered: list[Offer]) -> None:
    assert completions(typed, FARM, CROPS) == offered


def test_the_start_of_a_line_is_offered_as_a_phrase() -> None:
    assert Offer("harvested", 3) in completions("har", FARM)
    assert Offer("what's free next tuesday", 8) in completions("what's f", FARM)


@given(st.text(max_size=60))
def test_an_offer_always_goes_on_from_what_was_typed(typed: str) -> None:
    for offer in completions(typed, FARM, CROPS):
        replaced = typed[len(typed) - offer.replaces :]

        assert offer.text.casefold().startswith(replaced.casefold())
        assert len(offer.text) > len(replaced)
