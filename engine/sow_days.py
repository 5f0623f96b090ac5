"""Backward through the growth model: on which days a crop can be sown to be fit on a given day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from engine.crops import CropFacts, facts
from engine.growth import Forecast, if_sown
from engine.seeds import raised_in_trays
from engine.shortfalls import keeping_days
from engine.state import Season
from engine.weather import WeatherBook

USUAL_TRAY_WEEKS = Decimal(4)  # where no age is printed; common practice
SEEDLINGS_WAIT = dt.timedelta(days=14)  # beyond the age to plant out, before they are overgrown (common practice)
FURTHEST_BACK = 400  # days; nothing that is sown and cut takes longer


@dataclass(frozen=True, slots=True)
class SowDays:
    """The days to put a crop in for a wanted day; a day is None where none in the last 400 days would do.

    Sown from `first` to `last` it is likely fit on the wanted day; sown by `safe` it is ready even if it is slow.
    `tray_weeks` is 0 for seed in the bed; else the days are those of planting out, and trays are sown so much earlier.
    """

    first: dt.date | None
    last: dt.date | None
    safe: dt.date | None
    tray_weeks: Decimal

    def seed_day(self, day: dt.date) -> dt.date:
        """The day the seed goes in, bed or tray, for a crop in the bed on `day`."""
        return day - _whole_days(self.tray_weeks)


def tray_weeks(season: Season, known: CropFacts) -> Decimal:
    """Weeks in the tray before planting out; 0 for a crop that is sown in the bed."""
    if not raised_in_trays(season, known):
        return Decimal(0)
    age = known.figure("transplant_age")
    return age.likely if age else USUAL_TRAY_WEEKS


def tray_days(season: Season, crop: str) -> dt.timedelta:
    """The whole days that seedlings of the crop stand in the tray."""
    return _whole_days(tray_weeks(season, facts(season, crop)))


def seedlings_fit(season: Season, crop: str, day: dt.date, today: dt.date) -> bool:
    """Whether there can be seedlings of the right age on that day: from trays sown today, or from trays standing."""
    age = tray_days(season, crop)
    ready = [trays.date + age for trays in season.trays if trays.crop == crop]
    return day >= today + age or any(first <= day <= first + SEEDLINGS_WAIT for first in ready)


def _whole_days(weeks: Decimal) -> dt.timedelta:
    return dt.timedelta(days=int(weeks * 7))


def sow_days(season: Season, weather: WeatherBook, crop: str, wanted: dt.date, bed: str | None = None) -> SowDays:
    """The first, last and safe day to put the crop in so that it can be handed over on `wanted`."""
    keeps = dt.timedelta(days=keeping_days(season, crop))

    known = facts(season, crop)
    trays = raised_in_trays(season, known)

    def expected(day: dt.date) -> Forecast:
        return if_sown(season, weather, crop, bed, day, transplanted=trays)

    return SowDays(
        first=_first(wanted, lambda day: expected(day).best_until.likely + keeps >= wanted),
        last=_last(wanted, lambda day: expected(day).ready.likely <= wanted),
        safe=_last(wanted, lambda day: expected(day).ready.high <= wanted),
        tray_weeks=tray_weeks(season, known),
    )


def _last(wanted: dt.date, in_time: Callable[[dt.date], bool]) -> dt.date | None:
    """The latest day up to `wanted` that is in time. Sown later is never ready earlier, so halving finds it."""
    early, late = FURTHEST_BACK, -1  # days back: one that is in time, one that is not
    if not in_time(wanted - dt.timedelta(days=early)):
        return None
    while early - late > 1:
        middle = (early + late) // 2
        if in_time(wanted - dt.timedelta(days=middle)):
            early = middle
        else:
            late = middle
    return wanted - dt.timedelta(days=early)


def _first(wanted: dt.date, still_good: Callable[[dt.date], bool]) -> dt.date | None:
    """The earliest day from which the crop is still good on `wanted`, or None if it stands good for 400 days."""
    late_day = _last(wanted, lambda day: not still_good(day))
    return None if late_day is None else late_day + dt.timedelta(days=1)
