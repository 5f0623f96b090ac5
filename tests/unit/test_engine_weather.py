"""Temperatures of a day: logged, usual for the month, nearby, or none."""

import datetime as dt
import itertools
import statistics
from decimal import Decimal
from typing import Any

import pytest

from engine.crops import facts
from engine.events import CoolerReading, Event, Weather
from engine.growth_clock import growth_clock
from engine.normals import Normals, celsius, normals_of
from engine.state import Season
from engine.weather import (
    LOGGED,
    NEARBY,
    NORMAL,
    WeatherBook,
    book_of,
    frost_of,
    latitude_of,
    read_daily,
    weather_doubt,
)

TODAY = dt.date(2027, 6, 16)
HIGHS = [2, 4, 9, 15, 21, 26, 29, 28, 23, 16, 9, 4]
LOWS = [-7, -6, -2, 3, 8, 13, 16, 15, 11, 5, 0, -5]


def book(*events: Event, **settings: Any) -> WeatherBook:
    return book_of(events, Season(day=TODAY, settings=settings), TODAY)


def logged(day: str, high: Any = None, low: Any = None, unit: str | None = "C") -> Weather:
    amounts = [None if value is None else Decimal(str(value)) for value in (high, low)]
    return Weather(date=dt.date.fromisoformat(day), high=amounts[0], low=amounts[1], unit=unit)


def test_a_logged_day_goes_before_the_monthly_average() -> None:
    told = book(logged("2027-06-10", 31, 18), monthly_highs=HIGHS, monthly_lows=LOWS)
    first, other = told.day(dt.date(2027, 6, 10)), told.day(dt.date(2027, 6, 11))
    assert first is not None
    assert other is not None
    assert (first.high, first.source, other.source) == (31, LOGGED, NORMAL)


def test_fahrenheit_is_read_as_such() -> None:
    told = book(logged("2027-06-10", 86, 59, "F")).day(dt.date(2027, 6, 10))
    assert told is not None
    assert told.high == pytest.approx(30)


def test_averages_in_the_farms_unit_become_celsius() -> None:
    normals = normals_of({"temperature_unit": "F", "monthly_highs": [68] * 12, "monthly_lows": [50] * 12})
    assert normals is not None
    assert normals.highs[0] == pytest.approx(20)


@pytest.mark.parametrize("month", range(1, 13))
def test_every_month_keeps_its_mean(month: int) -> None:
    normals = Normals(tuple(HIGHS), tuple(LOWS))
    first = dt.date(2027, month, 1)
    days = [first + dt.timedelta(n) for n in range(31) if (first + dt.timedelta(n)).month == month]
    found = [normals.day(day) for day in days]
    assert statistics.fmean(day[0] for day in found if day) == pytest.approx(HIGHS[month - 1])
    assert statistics.fmean(day[1] for day in found if day) == pytest.approx(LOWS[month - 1])


def test_days_run_on_smoothly_from_month_to_month() -> None:
    normals = Normals(tuple(HIGHS), tuple(LOWS))
    days = [normals.day(dt.date(2027, 1, 1) + dt.timedelta(n)) for n in range(365)]
    steps = [abs(b[0] - a[0]) for a, b in itertools.pairwise(days) if a and b]
    assert max(steps) < 0.5


def test_single_months_count_and_the_others_stay_unknown() -> None:
    normals = normals_of({"average_high_june": 26, "average_low_june": 14})
    assert normals is not None
    assert normals.day(TODAY) == pytest.approx((26, 14))
    assert normals.day(dt.date(2027, 1, 5)) is None


def test_without_averages_a_gap_is_filled_from_days_nearby_and_no_further() -> None:
    told = book(logged("2027-06-10", 30, 20), logged("2027-06-12", 26, 16))
    near, far = told.day(dt.date(2027, 6, 15)), told.day(dt.date(2027, 7, 15))
    assert near is not None
    assert (near.high, near.low, near.source) == (28, 18, NEARBY)
    assert far is None


def test_a_high_alone_is_completed_by_the_usual_swing() -> None:
    alone = book(logged("2027-06-10", high=30)).day(dt.date(2027, 6, 10))
    with_averages = book(logged("2027-06-10", high=30), monthly_highs=HIGHS, monthly_lows=LOWS)
    assert alone is not None
    assert alone.low == 19
    usual = with_averages.day(dt.date(2027, 6, 10))
    assert usual is not None
    assert usual.low == pytest.approx(17, abs=0.5)


@pytest.mark.parametrize("event", [logged("2027-06-10", 10, 30), logged("2027-06-10", 300, 10)])
def test_a_day_that_cannot_have_been_is_left_out_with_a_note(event: Weather) -> None:
    told = book(event)
    assert told.logged == {}
    assert len(told.notes) == 1


def test_impossible_weather_is_doubted_before_it_is_written() -> None:
    assert weather_doubt(Decimal(300), None, "F")
    assert weather_doubt(Decimal(10), Decimal(30), "C")
    assert weather_doubt(Decimal(86), Decimal(59), "F") is None


def test_no_weather_at_all_is_no_error() -> None:
    assert book().day(TODAY) is None
    assert book().basis(TODAY, TODAY) == {"none": 1}


def test_cooler_readings_come_as_celsius() -> None:
    told = book(CoolerReading(date=TODAY, temperature=Decimal(41), unit="F"))
    assert told.cooler == ((TODAY, pytest.approx(5)),)


@pytest.mark.parametrize(
    ("said", "degrees"),
    [("45.5", 45.5), (45.5, 45.5), ("45.5 N", 45.5), ("33 S", -33), ("120", None), ("north", None), ("", None)],
)
def test_latitude_is_read_as_said_or_not_at_all(said: Any, degrees: float | None) -> None:
    assert latitude_of({"latitude": said}) == degrees


def test_a_file_of_days_is_read_line_by_line_and_wrong_lines_are_told() -> None:
    text = (
        "Date,High,Low,Rain\n2027-06-01,24,12,0\nyesterday,20,10,\n2027-06-02,10,20,\n2027-06-03,,,\n2027-06-04,22,,1.5"
    )
    read = dict(read_daily(text, "C"))
    assert isinstance(read[2], Weather)
    assert isinstance(read[6], Weather)
    assert [number for number, found in read.items() if isinstance(found, str)] == [3, 4, 5]


def test_what_is_no_number_is_no_temperature() -> None:
    assert celsius("warm", "C") is None
    assert celsius(None, "C") is None
    assert celsius(float("nan"), "C") is None


@pytest.mark.parametrize(
    ("said", "day"),
    [("10-05", (10, 5)), ("2026-10-05", (10, 5)), ("02-29", (2, 29)), ("13-40", None), ("soon", None), ("", None)],
)
def test_the_first_frost_is_read_as_a_day_of_the_year_or_not_at_all(said: str, day: tuple[int, int] | None) -> None:
    assert frost_of({"first_frost": said}) == day


def test_the_next_frost_is_the_first_one_after_the_day() -> None:
    told = book(first_frost="10-05")
    assert told.frost_after(TODAY) == dt.date(2027, 10, 5)
    assert told.frost_after(dt.date(2027, 10, 5)) == dt.date(2028, 10, 5)
    assert book().frost_after(TODAY) is None
    assert book(first_frost="02-29").frost_after(TODAY) == dt.date(2028, 2, 28)


def test_a_month_whose_low_is_above_its_high_is_left_out_and_told() -> None:
    told = book(monthly_highs=HIGHS, monthly_lows=[*LOWS[:5], 40, *LOWS[6:]])
    assert told.day(TODAY) is None
    assert told.day(dt.date(2027, 8, 16)) is not None
    assert told.notes == ("left out the averages of June: the low is above the high",)


def test_growth_backwards_is_growth_taken_back() -> None:
    clock = growth_clock(facts(Season(day=TODAY), "radish"), book(monthly_highs=HIGHS, monthly_lows=LOWS))
    start, end = dt.date(2026, 11, 20), dt.date(2027, 6, 3)
    middle = dt.date(2027, 2, 14)
    assert clock.grown(end, start) == -clock.grown(start, end)
    assert clock.grown(start, end) == pytest.approx(clock.grown(start, middle) + clock.grown(middle, end))
    assert clock.reached(start, clock.grown(start, end)) == end
