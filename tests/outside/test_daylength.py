"""Day length, radiation and Hargreaves against FAO Irrigation and Drainage Paper 56 (Allen et al. 1998)."""

from __future__ import annotations

import datetime as dt

import pytest

from engine.daylength import daylight, declination, hargreaves, nearness, pace, radiation, sunset_angle

# Examples 8 and 9 (3 September, day 246, at 20 degrees south), as quoted in public test suites (read).
SOUTH_20, DAY_246 = -20.0, 246

WORKED = [  # latitude, day of year, Ra in MJ/m2, hours; equations 21-25 and 34 worked by hand for this test
    (45, 172, 41.91, 15.42),
    (45, 355, 10.44, 8.58),
    (45, 80, 26.53, 11.96),
    (40, 135, 39.71, 14.22),
    (35, 196, 40.78, 14.13),
    (50, 227, 34.34, 14.25),
    (42, 289, 21.14, 10.78),
    (60, 172, 41.33, 18.49),
]


def test_example_8_and_9_come_out_as_printed() -> None:
    assert nearness(DAY_246) == pytest.approx(0.985, abs=0.001)
    assert declination(DAY_246) == pytest.approx(0.120, abs=0.001)
    assert sunset_angle(SOUTH_20, DAY_246) == pytest.approx(1.527, abs=0.001)
    assert radiation(SOUTH_20, DAY_246) == pytest.approx(32.2, abs=0.1)
    assert radiation(SOUTH_20, DAY_246) * 0.408 == pytest.approx(13.1, abs=0.1)
    assert daylight(SOUTH_20, DAY_246) == pytest.approx(11.7, abs=0.1)


@pytest.mark.parametrize(("latitude", "day", "ra", "hours"), WORKED)
def test_radiation_and_daylight_by_the_equations(latitude: float, day: int, ra: float, hours: float) -> None:
    assert radiation(latitude, day) == pytest.approx(ra, abs=0.05)
    assert daylight(latitude, day) == pytest.approx(hours, abs=0.03)


@pytest.mark.parametrize(
    ("latitude", "last", "first"),
    [(40, (11, 6), (2, 3)), (45, (10, 29), (2, 11)), (50, (10, 22), (2, 18))],
)
def test_the_ten_hour_days_end_and_begin_as_worked(
    latitude: float, last: tuple[int, int], first: tuple[int, int]
) -> None:
    def long(date: dt.date) -> bool:
        return daylight(latitude, date.timetuple().tm_yday) >= 10

    autumn = max(day for day in (dt.date(2027, 8, 1) + dt.timedelta(n) for n in range(140)) if long(day))
    spring = min(day for day in (dt.date(2027, 1, 1) + dt.timedelta(n) for n in range(120)) if long(day))
    assert abs((autumn - dt.date(2027, *last)).days) <= 2
    assert abs((spring - dt.date(2027, *first)).days) <= 2


def test_the_almanac_day_is_a_little_longer() -> None:
    # United States Naval Observatory style sunrise to sunset at 40 north (from memory): 15.0 h and 9.3 h.
    assert 0 <= 15.0 - daylight(40, 172) <= 0.3
    assert 0 <= 9.3 - daylight(40, 355) <= 0.3


def test_hargreaves_gives_example_20_and_a_public_suite_value() -> None:
    assert hargreaves(26.6, 14.8, 40.6) == pytest.approx(5.0, abs=0.05)  # FAO-56 Example 20 (answer recalled)
    assert hargreaves(32, 18, 36) == pytest.approx(5.41, abs=0.01)  # public hydrology test suite (read)
    assert hargreaves(27, 13, radiation(45, 172)) == pytest.approx(5.56, abs=0.03)  # eq. 52 worked
    assert hargreaves(15, 4, radiation(42, 289)) == pytest.approx(1.80, abs=0.03)
    assert hargreaves(22, 9, radiation(40, 135)) == pytest.approx(4.47, abs=0.03)


def test_growth_all_but_stops_on_days_under_ten_hours() -> None:
    # Common practice among winter growers: little grows while days are shorter than ten hours.
    assert pace(45, dt.date(2027, 12, 21)) <= 0.1
    assert pace(45, dt.date(2027, 6, 21)) == 1
    assert pace(None, dt.date(2027, 12, 21)) == 1


def test_polar_day_and_night_are_24_and_0_hours() -> None:
    assert daylight(80, 172) == pytest.approx(24)
    assert daylight(80, 355) == pytest.approx(0)
