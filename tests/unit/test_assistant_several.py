"""Several crops, orders or hours in one breath, and one bed left out of several."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from assistant.turn import Turn
from engine import Book

TODAY = dt.date(2027, 7, 14)
Hear = Callable[..., Turn]


def where(book: Book, crop: str) -> set[str]:
    return {planting.bed for planting in book.season(TODAY).plantings() if planting.crop == crop}


@pytest.mark.parametrize(
    "said", ["weeded kale and spinach", "weeded the spinach and the kale", "weeded kale n spinach 1 hr"]
)
def test_crops_joined_by_and_are_all_weeded(book: Book, hear: Hear, said: str) -> None:
    weeded = hear(said).records[0]
    assert set(weeded["beds"]) == where(book, "kale") | where(book, "spinach")


def test_what_was_sprayed_on_is_said_once_for_two_crops(book: Book, hear: Hear) -> None:
    (sprayed,) = hear("sprayed neem on kale and spinach").records
    assert (set(sprayed["beds"]), sprayed["material"]) == (where(book, "kale") | where(book, "spinach"), "neem")


def test_a_crop_beside_another_bed_than_its_own_is_asked_about(book: Book, hear: Hear) -> None:
    turn = hear("weeded brook 12, spinach")
    assert turn.records == ()
    assert turn.question is not None
    assert set(turn.question.choices) == {"Brook 12"} | where(book, "spinach")


def test_clipped_orders_of_several_crops_and_days(hear: Hear) -> None:
    mix, radish = hear("juniper 8 lb mix thu, 6 lb rad fri").records
    assert (mix["kind"], mix["date"], mix["customer"]) == ("ordered", "2027-07-15", "Juniper Table")
    assert (radish["kind"], radish["date"], radish["customer"]) == ("ordered", "2027-07-16", "Juniper Table")


def test_a_bed_is_left_out_of_several(hear: Hear) -> None:
    (better,) = hear("weeded terrace 1 2 n 3", "not 3").records
    assert better["replaces"] == {"beds": ["Terrace 1", "Terrace 2"]}


def test_half_of_a_picking_goes_to_a_customer(hear: Hear) -> None:
    (sold,) = hear("picked 20 lb spinach brook 6", "half of it to juniper").records
    assert (sold["kind"], sold["quantity"], sold["customer"]) == ("sold", 10, "Juniper Table")


def test_one_persons_hours_after_anothers(hear: Hear) -> None:
    first, second = hear("ines put in three hours weeding and i did two").records
    assert (first["hours"], first["who"], second["hours"], second.get("who")) == (3, "Ines", 2, None)
