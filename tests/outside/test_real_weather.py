"""A season driven by real days: Seattle 2012-2015 (NOAA, in tests/outside/data, see its README)."""

from __future__ import annotations

import csv
import dataclasses
import datetime as dt
import statistics
from pathlib import Path

import pytest

from engine.events import Weather
from engine.growth import if_sown
from engine.normals import Normals
from engine.state import Season
from engine.weather import WeatherBook, book_of
from engine.weather_csv import day_of, head_of

FILE = Path(__file__).parent / "data" / "seattle_days.csv"
LATITUDE = 47.4


@pytest.fixture(scope="module")
def days() -> list[Weather]:
    first, *lines = FILE.read_text(encoding="utf-8").splitlines()
    head = head_of(first)
    assert head is not None
    read = [day_of(dataclasses.replace(head, unit="C", rain_unit="mm"), line) for line in lines]
    return [record for record in read if isinstance(record, Weather)]


def test_every_day_of_the_file_is_read(days: list[Weather]) -> None:
    with FILE.open(encoding="utf-8") as file:
        assert len(days) == sum(1 for _ in csv.DictReader(file)) == 1461


def normals_of_years(days: list[Weather], *years: int) -> Normals:
    def mean(month: int, side: str) -> float:
        return statistics.fmean(
            float(getattr(day, side)) for day in days if day.date.month == month and day.date.year in years
        )

    months = range(1, 13)
    return Normals(tuple(mean(m, "high") for m in months), tuple(mean(m, "low") for m in months))


def ready(book: WeatherBook, crop: str, sown: dt.date) -> tuple[dt.date, dt.date, dt.date]:
    coming = if_sown(Season(day=sown), book, crop, None, sown).ready
    return coming.low, coming.likely, coming.high


def test_monthly_averages_made_daily_keep_the_months_of_seattle(days: list[Weather]) -> None:
    normals = normals_of_years(days, 2012, 2013, 2014, 2015)
    for month in range(1, 13):
        first = dt.date(2015, month, 1)
        found = [normals.day(first + dt.timedelta(n)) for n in range(28 if month == 2 else 30 + (month in
                 (1, 3, 5, 7, 8, 10, 12)))]  # fmt: skip
        highs = [day[0] for day in found if day]
        assert statistics.fmean(highs) == pytest.approx(normals.highs[month - 1], abs=1e-9)


@pytest.mark.parametrize("crop", ["radish", "arugula", "lettuce", "carrot"])
def test_the_hot_summer_of_2015_is_quicker_than_that_of_2012(days: list[Weather], crop: str) -> None:
    season = Season(day=dt.date(2015, 12, 31), settings={"latitude": str(LATITUDE)})
    book = book_of(days, season, season.day)
    taken = {year: (ready(book, crop, dt.date(year, 6, 1))[1] - dt.date(year, 6, 1)).days for year in (2012, 2015)}
    assert taken[2015] < taken[2012]


def test_forecasts_from_averages_hold_what_the_real_days_bring_eight_times_in_ten(days: list[Weather]) -> None:
    """The temperature part of the spread: averages of the other years against the days of 2015 and 2014."""
    season = Season(day=dt.date(2015, 12, 31), settings={"latitude": str(LATITUDE)})
    real = book_of(days, season, season.day)
    inside = total = 0
    for year, others in ((2014, (2012, 2013, 2015)), (2015, (2012, 2013, 2014))):
        usual = WeatherBook(dt.date(year, 3, 1), normals=normals_of_years(days, *others), latitude=LATITUDE)
        for sown in (dt.date(year, 3, 20) + dt.timedelta(7 * week) for week in range(20)):
            truth = ready(real, "arugula", sown)[1]
            low, _, high = ready(usual, "arugula", sown)
            inside += low <= truth <= high
            total += 1
    assert inside / total >= 0.8
