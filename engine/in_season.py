"""Whether a sowing is of its season: not of a crop that goes in once a year at another time, nor one that frost kills
before it has given much, nor one that would only be ready after the winter.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from engine.crops import PICKED, CropFacts, facts
from engine.growth import Forecast, next_cut
from engine.ready import OVER_WINTER_DAYS
from engine.seeds import raised_in_trays
from engine.state import Planting, Season
from engine.weather import WeatherBook

AUTUMN, FROST, WINTER = "autumn", "frost", "winter"

# A crop that stands through the winter (garlic) goes in about the first frost of autumn, so that it roots and does not
# sprout: growing guides say from some weeks before to some weeks after it. Where the frost is not known, from the
# middle of September to that of November, half a year on in the south; common practice.
BEFORE_FROST, AFTER_FROST = dt.timedelta(days=14), dt.timedelta(days=28)
NORTH, SOUTH = ((9, 15), (11, 15)), ((3, 15), (5, 15))

# A sowing waits for spring if it takes so many times its printed days and so many days; our estimates. Early sowings in
# spring take twice their days at most.
TIMES_PRINTED, LEAST_DAYS = 2.5, 120

# A crop that is picked on is worth its bed if it gives a quarter of its usual pickings before the frost, or before it
# pauses for so many days over winter; our estimates.
FEWEST, PAUSE_DAYS = 4, 45


@dataclass(frozen=True, slots=True)
class OutOfSeason:
    """Why a crop does not go in on `day`: it is put in once a year from `first` to `last` (autumn), or the frost or the
    winter comes before it has given much. `ready` is when its first cut would be ready all the same, or of one that
    goes in once a year, if put in by `last`."""

    crop: str
    day: dt.date
    reason: str
    ready: dt.date
    first: dt.date | None = None
    last: dt.date | None = None


def once_a_year(known: CropFacts) -> bool:
    """Whether the crop goes in in autumn and stands through the winter."""
    return _printed_days(known) > OVER_WINTER_DAYS


def _printed_days(known: CropFacts) -> float:
    name = "days_transplanted" if "days" not in known.figures and "days_transplanted" in known.figures else "days"
    return known.number(name)


def autumn_season(weather: WeatherBook, day: dt.date) -> tuple[dt.date, dt.date]:
    """The first and the last day to put in what stands through the winter, in the season that `day` is in or before."""
    for year in (day.year - 1, day.year, day.year + 1):
        first, last = _autumn_of(weather, year)
        if last >= day:
            break
    return first, last


def _autumn_of(weather: WeatherBook, year: int) -> tuple[dt.date, dt.date]:
    if weather.first_frost is not None:
        month, day = weather.first_frost
        frost = dt.date(year, month, min(day, 28))
        return frost - BEFORE_FROST, frost + AFTER_FROST
    south = weather.latitude is not None and weather.latitude < 0
    first, last = SOUTH if south else NORTH
    return dt.date(year, *first), dt.date(year, *last)


def out_of_season(season: Season, weather: WeatherBook, first_cut: Forecast) -> OutOfSeason | None:
    """Why the crop of this first cut does not go in on the day it is reckoned for, None where it may."""
    known, day, ready = facts(season, first_cut.crop), first_cut.sown, first_cut.ready.likely
    if once_a_year(known):
        first, last = autumn_season(weather, day)
        if first <= day:
            return None
        return OutOfSeason(first_cut.crop, day, AUTUMN, ready + (last - day), first, last)
    if first_cut.frosted:
        return OutOfSeason(first_cut.crop, day, FROST, ready)
    takes = (ready - day).days
    if takes >= LEAST_DAYS and takes > TIMES_PRINTED * _printed_days(known):
        return OutOfSeason(first_cut.crop, day, WINTER, ready)
    return _gives_little(season, weather, known, first_cut)


def _gives_little(season: Season, weather: WeatherBook, known: CropFacts, first_cut: Forecast) -> OutOfSeason | None:
    """Why a crop that is picked on gives only few of its pickings, None where it gives enough."""
    planting = Planting(0, first_cut.bed, first_cut.crop, first_cut.sown, transplanted=raised_in_trays(season, known))
    last, enough = first_cut, known.cuts / FEWEST if known.habit == PICKED else 0
    while last.cut < enough:
        following = next_cut(season, weather, planting, last.cut + 1, last.ready.likely)
        waits = (following.ready.likely - last.ready.likely).days > PAUSE_DAYS
        if following.frosted or waits:
            return OutOfSeason(first_cut.crop, first_cut.sown, WINTER if waits else FROST, first_cut.ready.likely)
        last = following
    return None
