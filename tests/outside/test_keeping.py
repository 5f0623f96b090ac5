"""Keeping times and freezing points against UC Davis (Cantwell 2001; Produce Facts) and USDA Handbook 66 tables.

Days at the best temperature, copied from the tables and not from our data file. What this farm counts on lies within.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest

from engine.cooler import keeping
from engine.crops import facts
from engine.state import Season
from engine.weather import WeatherBook

DAY = dt.date(2027, 6, 14)

CANTWELL = [  # crop, days low, days high; Cantwell, UC Davis, 2001 (read)
    ("arugula", 7, 10),
    ("scallion", 21, 21),
    ("leek", 60, 60),
    ("garlic", 180, 210),
    ("chives", 14, 21),
    ("dill", 7, 14),
    ("fennel", 14, 21),
]
PRODUCE_FACTS = [  # UC Davis Produce Facts (read)
    ("romaine", 21, 21),
    ("crisphead lettuce", 21, 28),
    ("spinach", 10, 14),
    ("radish", 7, 14),
    ("daikon", 90, 120),
    ("cilantro", 21, 21),
    ("parsley", 21, 21),
    ("mint", 21, 21),
]


def farm(**settings: object) -> Season:
    return Season(day=DAY, settings=dict(settings))


@pytest.mark.parametrize(("crop", "low", "high"), CANTWELL + PRODUCE_FACTS)
def test_at_its_best_temperature_a_crop_keeps_as_long_as_the_table_says(crop: str, low: int, high: int) -> None:
    season = farm(cooler_temperature=0)
    kept = keeping(season, WeatherBook(DAY), facts(season, crop), DAY, [])
    assert low - 1 <= kept.likely <= high
    assert kept.surely <= kept.likely


def test_five_degrees_shorten_romaine_and_herbs_as_printed() -> None:
    # UC Davis Produce Facts: romaine 21 days at 0 C, 14 at 5 C; soft herbs (cilantro) 21 and 14.
    for crop in ("romaine", "cilantro"):
        season = farm(cooler_temperature=5)
        kept = keeping(season, WeatherBook(DAY), facts(season, crop), DAY, [])
        assert kept.likely == pytest.approx(14, abs=1)


def test_chilling_crops_lose_life_when_held_too_cold() -> None:
    # UC Davis: cucumber is injured below 10 C, basil blackens below 10 C.
    for crop in ("cucumber", "basil"):
        cold, right = farm(cooler_temperature=2), farm(cooler_temperature=11)
        known = facts(cold, crop)
        in_cold, at_best = (keeping(season, WeatherBook(DAY), known, DAY, []).likely for season in (cold, right))
        assert in_cold < at_best


def test_without_a_cooler_leaves_keep_a_day_and_onions_for_weeks() -> None:
    season = farm(cooler="none")  # common practice
    assert keeping(season, WeatherBook(DAY), facts(season, "salad mix"), DAY, []).likely == 1
    assert keeping(season, WeatherBook(DAY), facts(season, "radish"), DAY, []).likely == 2
    assert keeping(season, WeatherBook(DAY), facts(season, "onion"), DAY, []).likely >= 14


FREEZING = [  # C; Cantwell 2001 and Produce Facts (read)
    ("scallion", "-0.9"),
    ("onion", "-0.8"),
    ("leek", "-0.7"),
    ("garlic", "-2"),
    ("chives", "-0.9"),
    ("dill", "-0.7"),
    ("fennel", "-1.1"),
    ("romaine", "-0.2"),
    ("spinach", "-0.3"),
    ("parsley", "-1.1"),
]


@pytest.mark.parametrize(("crop", "freezes"), FREEZING)
def test_freezing_points_are_the_published_ones(crop: str, freezes: str) -> None:
    figure = facts(farm(), crop).figure("freezes_at")
    assert figure is not None
    assert figure.high == Decimal(freezes)
