"""Days from sowing until seed is up, by the temperature of the soil (Harrington & Minges 1954).

Nobody logs soil temperature, so the day's mean air temperature stands in for it; the workings say so. Each day adds
the share of the way that its temperature allows: 1 / (days to emergence at that temperature).
"""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

from engine.crop_table import Sprouting, sprouting
from engine.crops import CropFacts
from engine.weather import WeatherBook

LONGEST_DAYS = 60  # later than this nobody waits for seed
PLAIN_HEAT = {
    "spring": (4.0, 80.0),
    "summer": (10.0, 70.0),
}  # base C, degree days; our estimate for seed not in the table
REFERENCE_C = {"spring": 15.0, "summer": 22.0}


def days_to_emerge(facts: CropFacts, soil_c: float) -> float:
    """Days until the seed is up at one steady soil temperature in C, at most 60."""
    return min(float(LONGEST_DAYS), 1 / max(_pace(facts, soil_c), 1 / LONGEST_DAYS))


def emerged_on(facts: CropFacts, book: WeatherBook, sown: dt.date) -> dt.date:
    """The day the seed is up; days without a temperature count as days of the crop's printed season."""
    key = ("emerged", facts.words.get("sprouts_like"), season_of(facts), sown)
    if key not in book.sums:
        book.sums[key] = _walk(facts, book, sown)
    day: dt.date = book.sums[key]
    return day


def _walk(facts: CropFacts, book: WeatherBook, sown: dt.date) -> dt.date:
    way, usual = 0.0, REFERENCE_C[season_of(facts)]
    for away in range(LONGEST_DAYS):
        day = book.day(sown + dt.timedelta(days=away))
        way += _pace(facts, day.mean if day else usual)
        if way >= 0.999:  # the table's own days must not be missed by a rounding of the last place
            return sown + dt.timedelta(days=away + 1)
    return sown + dt.timedelta(days=LONGEST_DAYS)


def season_of(facts: CropFacts) -> str:
    """The season that the crop's printed days are for: "spring" or "summer"."""
    return facts.words.get("reference_season", "spring")


def poor_above(facts: CropFacts) -> float | None:
    """The warmest soil in C at which half of the seed came up in the table; None where warmer soil is no trouble."""
    rows = sprouting().get(facts.words.get("sprouts_like", ""), ())
    good = [row.soil_c for row in rows if row.percent >= 50]
    return max(good) if good and max(good) < 35 else None


def _pace(facts: CropFacts, soil_c: float) -> float:
    """The share of the way to emergence that one day at this temperature brings."""
    rows = sprouting().get(facts.words.get("sprouts_like", ""), ())
    if rows:
        return _between(rows, soil_c)
    base, heat = PLAIN_HEAT[season_of(facts)]
    return max(0.0, min(soil_c, 32.0) - base) / heat


def _between(rows: tuple[Sprouting, ...], soil_c: float) -> float:
    """The pace read off the table, straight between its temperatures (pace, not days, is near to straight)."""
    if soil_c <= rows[0].soil_c:
        coldest, next_up = rows[0], rows[1]
        slope = (1 / next_up.days - 1 / coldest.days) / (next_up.soil_c - coldest.soil_c)
        return max(0.0, 1 / coldest.days - slope * (coldest.soil_c - soil_c))
    for cool, warm in pairwise(rows):
        if soil_c <= warm.soil_c:
            share = (soil_c - cool.soil_c) / (warm.soil_c - cool.soil_c)
            return 1 / cool.days + share * (1 / warm.days - 1 / cool.days)
    return 1 / rows[-1].days
