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
    EARLIER,
    LOGGED,
    NEARBY,
    NORMAL,
    WeatherBook,
    book_of,
    frost_of,
    latitude_of,
)
from engine.weather_csv import Head, day_of, head_of

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


def test_without_averages_the_days_of_earlier_years_stand_in_for_days_to_come() -> None:
    told = book(logged("2025-08-20", 20, 10), logged("2026-08-10", 30, 18), logged("2026-08-14", 28, 16))
    august, october = told.day(dt.date(2027, 8, 15)), told.day(dt.date(2027, 10, 15))
    assert august is not None
    assert (august.high, august.low, august.source) == (26, 14.7, EARLIER)
    assert october is None


def test_tender_crops_put_out_between_the_frosts_of_autumn_and_spring_freeze() -> None:
    told = book(first_frost="10-05", last_frost="05-12")
    days = {"2027-04-01": True, "2027-05-01": False, "2027-07-14": False, "2027-10-04": False, "2027-10-13": True}
    assert {day: told.freezes(dt.date.fromisoformat(day)) for day in days} == days
    assert not book(first_frost="10-05").freezes(dt.date(2027, 12, 1))


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


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("date,high,low,rain", Head(",", {"date": 0, "high": 1, "low": 2, "rain": 3})),
        ("Date;Tmax (°C);Tmin (°C);Precipitation mm",
         Head(";", {"date": 0, "high": 1, "low": 2, "rain": 3}, "C", "mm")),
        ("station\tday\tmax_f\train_in", Head("\t", {"date": 1, "high": 2, "rain": 3}, "F", "in")),
        ("date,high_f,low_c", Head(",", {"date": 0, "high": 1, "low": 2})),
        ("date,rain", None),
        ("sowed radish in brook 4, high tunnel", None),
        ("", None),
    ],
)  # fmt: skip
def test_a_head_of_daily_weather_is_known_by_its_columns_and_names_its_units(line: str, expected: Head | None) -> None:
    assert head_of(line) == expected


@pytest.mark.parametrize(
    ("delimiter", "line", "expected"),
    [
        (",", "2027-06-01,24,12,0", ("24", "12", "0")),
        (",", "2027-06-01, 24.5 ,,", ("24.5", None, None)),
        (",", '"2027-06-01","24","12"', ("24", "12", None)),
        (";", "2027-06-01;24,5;12,25;1,5", ("24.5", "12.25", "1.5")),
        (",", "yesterday,20,10,0", None),
        (",", "2027-06-31,20,10,0", None),
        (",", "2027-06-01,warm,10,0", None),
        (",", "2027-06-01,nan,10,0", None),
        (",", "2027-06-01,,,", None),
        (",", '2027-06-01,"20', ("20", None, None)),
    ],
)
def test_a_line_of_daily_weather_is_plain_numbers_on_a_day_of_the_calendar(
    delimiter: str, line: str, expected: tuple[str | None, ...] | None
) -> None:
    found = day_of(Head(delimiter, {"date": 0, "high": 1, "low": 2, "rain": 3}, "C", "mm"), line)
    if expected is None:
        assert isinstance(found, str)
    else:
        assert isinstance(found, Weather)
        assert (found.high, found.low, found.rain) == tuple(None if one is None else Decimal(one) for one in expected)
        assert (found.unit, found.rain_unit) == ("C", None if expected[2] is None else "mm")


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
