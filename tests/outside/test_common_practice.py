"""Facts of the trade that a grower checks a forecast by; common practice, where nothing else is named."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from engine.cooler import keeping
from engine.crops import facts
from engine.growth import forecast, if_sown
from engine.normals import Normals
from engine.state import Bed, Picking, Planting, Season
from engine.weather import WeatherBook
from engine.windows import bolt_risk, windows

JULY = dt.date(2027, 7, 1)
HEAT, MILD = Normals((31.0,) * 12, (19.0,) * 12), Normals((19.0,) * 12, (9.0,) * 12)


def farm(day: dt.date = JULY) -> Season:
    return Season(day=day, beds={"Brook 1": Bed("Brook 1", "Brook", Decimal(50), Decimal(30))})


def book(normals: Normals, day: dt.date = JULY) -> WeatherBook:
    return WeatherBook(day, normals=normals, latitude=42.0)


def test_a_good_first_cut_of_arugula_is_about_40_lb_from_a_50_ft_bed() -> None:
    amount = if_sown(farm(), book(MILD), "arugula", "Brook 1", JULY).yield_
    assert Decimal(34) <= amount.likely <= Decimal(44)
    assert amount.low < Decimal(40) < amount.high


def test_ripe_radish_keeps_three_days_in_the_cooler_but_not_in_30_degree_heat() -> None:
    season = farm()
    coming = forecast(season, book(HEAT), Planting(1, "Brook 1", "radish", JULY - dt.timedelta(days=14)))
    kept = keeping(season, book(HEAT), facts(season, "radish"), coming.ready.likely, [])
    assert kept.surely >= 3
    assert (coming.best_until.likely - coming.ready.likely).days <= 3


def test_radish_stands_more_than_twice_as_long_in_mild_weather() -> None:
    planting = Planting(1, "Brook 1", "radish", JULY)
    hot, mild = (forecast(farm(), book(normals), planting) for normals in (HEAT, MILD))
    assert (mild.gone.likely - mild.ready.likely).days >= 2 * (hot.gone.likely - hot.ready.likely).days


def test_arugula_gives_one_good_cut_and_a_doubtful_second_in_heat() -> None:
    planting = Planting(1, "Brook 1", "arugula", JULY)
    season, weather = farm(), book(HEAT)
    first, second = windows(season, weather, planting, JULY + dt.timedelta(days=60))[:2]
    assert first.risk < Decimal("0.5") < second.risk


def test_in_mild_weather_the_second_cut_is_no_gamble() -> None:
    planting = Planting(1, "Brook 1", "arugula", JULY, pickings=[Picking(2, JULY + dt.timedelta(35), 1, None, None)])
    coming = forecast(farm(), book(MILD), planting)
    assert bolt_risk(farm(), book(MILD), planting, coming.ready.likely) < Decimal("0.2")


def test_cuts_grow_lighter() -> None:
    planting = Planting(1, "Brook 1", "salad mix", JULY)
    amounts = [
        window.forecast.yield_.likely for window in windows(farm(), book(MILD), planting, JULY + dt.timedelta(90))
    ]
    assert amounts == sorted(amounts, reverse=True)
    assert len(amounts) >= 2
