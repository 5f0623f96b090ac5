"""Days to maturity inside the published ranges, for a spring and a summer sowing, from one set of figures.

Ranges are the widest of what these print for the crop: Univ. Illinois Extension Vegetable Garden Guide, Univ. Georgia
Extension Vegetable Planting Chart, Pennsylvania and Sustainable Vegetable Production Education charts, United States
seed-trade growing pages (all read), and Maynard & Hochmuth, Knott's Handbook for Vegetable Growers (recalled).
Celeriac and celery count from planting out.

The cool crops are sown in the climate of central England (monthly means of the Central England Temperature series,
1991-2020, from memory, with a usual swing of 9 C); the warm ones in that of central Iowa (monthly normals of Des
Moines, from memory). Both are temperate, and the ranges are printed for no climate in particular.
"""

from __future__ import annotations

import datetime as dt

import pytest

from engine.crops import facts
from engine.growth import if_sown
from engine.growth_clock import growth_clock
from engine.normals import Normals
from engine.state import Season
from engine.weather import WeatherBook

CENTRAL_ENGLAND = (4.7, 5.0, 6.6, 8.9, 11.9, 14.8, 16.8, 16.5, 14.0, 10.7, 7.4, 5.0)
MAY, JUNE = dt.date(2027, 5, 1), dt.date(2027, 6, 20)
PLANTED_OUT = ("celeriac", "celery")

COOL = [
    ("beet", 45, 80),
    ("bok choy", 30, 55),
    ("broccoli", 70, 120),
    ("butterhead lettuce", 50, 70),
    ("cabbage", 85, 120),
    ("carrot", 55, 95),
    ("cauliflower", 60, 100),
    ("celeriac", 95, 120),
    ("celery", 80, 110),
    ("chinese cabbage", 60, 80),
    ("collards", 55, 85),
    ("crisphead lettuce", 70, 90),
    ("daikon", 50, 70),
    ("dill", 40, 70),
    ("endive", 60, 100),
    ("fennel", 65, 85),
    ("kohlrabi", 45, 70),
    ("lettuce", 40, 70),
    ("mustard greens", 40, 60),
    ("onion", 100, 120),
    ("parsnip", 100, 130),
    ("potato", 90, 120),
    ("radicchio", 70, 90),
    ("radish", 21, 70),
    ("salad mix", 21, 35),
    ("scallion", 60, 80),
    ("shallot", 100, 120),
    ("thyme", 90, 110),
]
WARM = [("cucumber", 50, 75), ("green bean", 45, 70), ("sweet corn", 65, 90), ("zucchini", 45, 55)]


def days(crop: str, sown: dt.date, normals: Normals, latitude: float) -> int:
    book = WeatherBook(sown, normals=normals, latitude=latitude)
    coming = if_sown(Season(day=sown), book, crop, None, sown, transplanted=crop in PLANTED_OUT)
    return (coming.ready.likely - sown).days


@pytest.mark.parametrize(("crop", "low", "high"), COOL)
@pytest.mark.parametrize("sown", [MAY, JUNE])
def test_cool_crops_take_the_published_days_in_spring_and_summer(crop: str, low: int, high: int, sown: dt.date) -> None:
    normals = Normals(tuple(m + 4.5 for m in CENTRAL_ENGLAND), tuple(m - 4.5 for m in CENTRAL_ENGLAND))
    assert low <= days(crop, sown, normals, 52.5) <= high


@pytest.mark.parametrize(("crop", "low", "high"), WARM)
@pytest.mark.parametrize("sown", [dt.date(2027, 5, 20), dt.date(2027, 6, 5)])
def test_warm_crops_take_the_published_days_in_a_warm_summer(crop: str, low: int, high: int, sown: dt.date) -> None:
    highs = (-1, 2, 9, 16.5, 22.5, 28, 30, 29, 25, 17.5, 9, 1.5)
    lows = (-10, -8, -2, 4, 11, 17, 19, 18, 13, 6, -1, -7)
    assert low <= days(crop, sown, Normals(highs, lows), 41.6) <= high


def test_arugula_takes_three_weeks_in_midsummer_heat_and_its_printed_days_in_spring() -> None:
    # Highs of 30 C and more: about 21 days to cut, common practice. Spring: 35 to 45, Knott's (recalled), 40 to 45 a
    # seed-trade growing page (read).
    hot, spring = Normals((32.0,) * 12, (20.0,) * 12), Normals((19.5,) * 12, (8.5,) * 12)
    assert 19 <= days("arugula", dt.date(2027, 7, 1), hot, 40.0) <= 23
    assert 35 <= days("arugula", dt.date(2027, 4, 20), spring, 40.0) <= 45


def test_summer_takes_a_week_or_more_off_lettuce_and_late_autumn_adds_three() -> None:
    # Univ. Illinois Extension and seed-trade pages: 7 to 10 days less in summer, 20 and more in late autumn.
    normals = Normals(tuple(m + 4.5 for m in CENTRAL_ENGLAND), tuple(m - 4.5 for m in CENTRAL_ENGLAND))
    spring = days("lettuce", MAY, normals, 52.5)
    assert days("lettuce", JUNE, normals, 52.5) <= spring - 7
    assert days("lettuce", dt.date(2027, 9, 10), normals, 52.5) >= spring + 20


def test_sweet_corn_asks_for_its_published_heat() -> None:
    # Oregon State Univ. Extension, scheduling vegetables with degree-days, 2016 (read): 1539 degree days F over 50 F,
    # cut off at 86 F, from sowing to fresh harvest of one standard cultivar; others are earlier or later.
    season = Season(day=MAY)
    corn = facts(season, "sweet corn")
    printed = growth_clock(corn, WeatherBook(MAY)).printed * corn.number("days") * 9 / 5
    assert printed == pytest.approx(1539, rel=0.15)
