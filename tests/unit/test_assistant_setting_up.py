"""Figures of the farm as they are said: what no year and no crop can have is asked about, a minus is never lost."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from uuid import uuid4

import pytest

from assistant.conversation import Conversation
from assistant.turn import Turn
from engine import open_book

TODAY = dt.date(2027, 7, 6)
HIGHS = "average highs 0, 1, 6, 13, 20, 25, 31, 30, 24, 17, 9, 3"
Hear = Callable[..., Turn]


@pytest.fixture
def hear(tmp_path: Path) -> Hear:
    """What comes of the last of some lines, all of one talk on an empty book that reckons in Celsius."""

    def last(*lines: str) -> Turn:
        with open_book(tmp_path / f"{uuid4()}.db") as book:
            talk = Conversation(book, today=TODAY)
            return [talk.hear(line) for line in ("temperatures are in celsius", *lines)][-1]

    return last


@pytest.mark.parametrize(
    "said",
    [
        "average lows -9, -8, -4, 2, 8, 13, 20, 19, 14, 7, 2, -5",
        "monthly average lows: -9 -8 -4 2 8 13 20 19 14 7 2 -5",
        "average lows minus 9, minus 8, minus 4, 2, 8, 13, 20, 19, 14, 7, 2, minus 5",
    ],
)
def test_averages_below_nothing_keep_their_minus(hear: Hear, said: str) -> None:
    (record,) = hear(HIGHS, said).records
    assert record["value"] == [-9, -8, -4, 2, 8, 13, 20, 19, 14, 7, 2, -5]


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("average highs 3, 4, 5", "3 figures, and a year has 12 months"),
        ("average highs 83, 1, 6, 13, 20, 25, 31, 30, 24, 17, 9, 3", "83 C is beyond"),
        ("average lows 2, -8, -4, 2, 8, 13, 20, 19, 14, 7, 2, -5", "January's average low would be above its high"),
        ("radish takes -5 days", "-5 is outside"),
        ("arugula keeps -3 days", "-3 is outside"),
        ("we cut arugula 50 times", "no arugula stands for 50 cuts"),
    ],
)
def test_a_figure_that_cannot_be_is_asked_about_with_the_reason(hear: Hear, said: str, reason: str) -> None:
    turn = hear(HIGHS, said)
    assert not turn.records
    assert turn.question
    assert reason in turn.question.text


def test_what_is_said_anew_is_no_answer_about_what_cannot_be(hear: Hear) -> None:
    (record,) = hear(HIGHS, "average highs 3, 4, 5", "latitude is -33").records
    assert (record["name"], record["value"]) == ("latitude", -33)


@pytest.mark.parametrize(("said", "width"), [("100 ft by 30", 30), ("100 ft by 30 in", 30), ("100 by 30", 30)])
def test_a_bed_width_without_its_unit_is_in_inches(hear: Hear, said: str, width: int) -> None:
    (record,) = hear(f"add plot Gate with 4 beds {said}").records
    assert (record["length_ft"], record["width_in"]) == (100, width)


def test_a_dash_before_an_amount_is_no_minus(hear: Hear) -> None:
    added = ("add plot Gate with 4 beds", "sowed radish in gate 1 on june 1")
    for said in ("harvested gate 1 radish -5 lb", "harvested gate 1 radish - 5 lb"):
        (record,) = hear(*added, said).records
        assert record["quantity"] == 5


def test_a_day_soon_to_come_is_not_taken_for_last_year_unasked(hear: Hear) -> None:
    turn = hear("add plot Gate with 4 beds", "sowed radish in gate 1 on july 20")
    assert not turn.records
    assert turn.reply.startswith("Mon 20 Jul 2026 is 351 days ago. Is that right?")


def test_a_figure_of_a_variety_not_heard_of_before_is_of_its_own_crop(hear: Hear) -> None:
    (record,) = hear("arugula gives 40 lb a bed", "our rouge lettuce takes 50 days").records
    assert (record["crop"], record["variety"], record["value"]) == ("lettuce", "Rouge", 50)


def test_what_is_picked_over_may_be_picked_many_times(hear: Hear) -> None:
    (record,) = hear("we pick zucchini 30 times").records
    assert (record["crop"], record["value"]) == ("zucchini", 30)
