"""What a crop is to be sown for: orders, else what sold lately, else what stands, or the bed that goes in each year."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict

from engine.asks import Ask
from engine.crops import PICKED, facts
from engine.cuttings import first_if_sown
from engine.in_season import autumn_season, once_a_year
from engine.shortfalls import Want, coming, usual_sales, wanted
from engine.state import Season
from engine.view import View
from engine.weather import WeatherBook

FURTHEST_DAYS = 150  # wants beyond that are for later answers, save of the slowest crops
ORDERS, SALES, STANDING = "orders", "what sold in the last four weeks", "what stands now"
YEARLY = "the one bed that goes in each year"


def ordered_ahead(view: View, ask: Ask) -> defaultdict[str, list[Want]]:
    """What orders want of each crop."""
    by_crop: defaultdict[str, list[Want]] = defaultdict(list)
    for want in wanted(view, view.today, view.today + dt.timedelta(days=FURTHEST_DAYS), ask.crop, ask.customer):
        by_crop[want.crop].append(want)
    return by_crop


def wants_of(
    view: View, season: Season, weather: WeatherBook, crop: str, ask: Ask, ordered: tuple[Want, ...]
) -> tuple[tuple[Want, ...], str]:
    """What is wanted of the crop: by orders, else by what sold lately, else by what stands; and which it was.

    What goes in once a year is wanted as a bed of its next season, whatever is ordered before.
    """
    if once_a_year(facts(season, crop)) and not ask.customer:
        return _yearly(season, weather, crop), YEARLY
    if ordered or ask.customer:
        return ordered, ORDERS
    usual = usual_sales(view, crop)
    if usual:
        days = (view.today + dt.timedelta(days=7 * week) for week in range(1, FURTHEST_DAYS // 7))
        return tuple(Want(day, crop, usual[0], usual[1], None) for day in days), SALES
    if ask.crop is None and facts(season, crop).habit == PICKED:
        return (), STANDING  # one planting of a fruiting crop is meant to last
    return _to_follow_on(season, weather, crop), STANDING


def _to_follow_on(season: Season, weather: WeatherBook, crop: str) -> tuple[Want, ...]:
    """One bed's cut again for the day after the crop that stands is past its best, where nothing else is known."""
    first = first_if_sown(season, weather, crop, None, weather.today)
    lots = coming(season, weather, crop, first.unit)[0] if first.unit else []
    if not lots or first.unit is None:
        return ()
    day = max(lot.last for lot in lots) + dt.timedelta(days=1)
    return (Want(day, crop, first.yield_.likely, first.unit, None),)


def _yearly(season: Season, weather: WeatherBook, crop: str) -> tuple[Want, ...]:
    """One bed of a crop that goes in once a year, for the day that what goes in last is ready."""
    expected = first_if_sown(season, weather, crop, None, autumn_season(weather, weather.today)[1])
    if expected.unit is None:
        return ()
    return (Want(expected.ready.likely, crop, expected.yield_.likely, expected.unit, None),)
