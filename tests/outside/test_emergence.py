"""Emergence against Harrington & Minges (Univ. California, 1954; reprinted in Knott's Handbook): days at steady soil.

The table's own days, copied here from the print and not from our data file; between them the answer lies between.
"""

from __future__ import annotations

import datetime as dt

import pytest

from engine.crops import facts
from engine.emergence import days_to_emerge, emerged_on
from engine.state import Season
from engine.weather import WeatherBook

SEASON = Season(day=dt.date(2027, 5, 1))

TABLE = [  # crop, soil C, days
    ("lettuce", 0, 49),
    ("lettuce", 5, 15),
    ("lettuce", 10, 7),
    ("lettuce", 15, 4),
    ("lettuce", 20, 3),
    ("lettuce", 25, 2),
    ("radish", 5, 29),
    ("radish", 10, 11),
    ("radish", 15, 6),
    ("radish", 20, 4),
    ("radish", 25, 4),
    ("radish", 30, 3),
]


def book(high: float, low: float) -> WeatherBook:
    days = {dt.date(2027, 5, 1) + dt.timedelta(n): (high, low) for n in range(90)}
    return WeatherBook(dt.date(2027, 5, 1), logged=days)


@pytest.mark.parametrize(("crop", "soil", "days"), TABLE)
def test_steady_soil_gives_the_days_of_the_table(crop: str, soil: float, days: float) -> None:
    assert days_to_emerge(facts(SEASON, crop), soil) == pytest.approx(days, abs=0.01)


@pytest.mark.parametrize(("crop", "soil", "days"), [row for row in TABLE if row[2] < 40])
def test_day_by_day_the_seed_is_up_on_that_day(crop: str, soil: float, days: float) -> None:
    up = emerged_on(facts(SEASON, crop), book(soil + 5, soil - 5), dt.date(2027, 5, 1))
    assert (up - dt.date(2027, 5, 1)).days == days


@pytest.mark.parametrize(("cool", "warm"), [(5, 10), (10, 15), (15, 20)])
@pytest.mark.parametrize("crop", ["lettuce", "radish", "carrot", "spinach", "beet", "onion"])
def test_between_two_temperatures_it_lies_between_their_days(crop: str, cool: float, warm: float) -> None:
    known = facts(SEASON, crop)
    assert days_to_emerge(known, warm) <= days_to_emerge(known, (cool + warm) / 2) <= days_to_emerge(known, cool)


def test_onions_take_near_their_thermal_time() -> None:
    # Brewster 2008, Onions and Other Vegetable Alliums, from Harrington's data: 80 degree days over 2.5 C to sprout;
    # emergence comes some days after sprouting.
    onion = facts(SEASON, "onion")
    for soil in (10.0, 15.0, 20.0):
        sprouted = 80 / (soil - 2.5)
        assert sprouted * 0.9 <= days_to_emerge(onion, soil) <= sprouted * 1.6


def test_seed_of_no_table_comes_up_by_a_plain_estimate() -> None:
    assert 3 <= days_to_emerge(facts(SEASON, "basil"), 22) <= 14
    assert 3 <= days_to_emerge(facts(SEASON, "quinoa"), 15) <= 14
