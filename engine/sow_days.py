"""Backward through the growth model: on which days a crop can be sown to be fit on a given day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.bed_yield import in_unit
from engine.crops import PICKED, CropFacts, facts, usual_length
from engine.cuttings import cuts_if_sown
from engine.growth import Forecast, if_sown
from engine.in_season import autumn_season, once_a_year
from engine.seeds import raised_in_trays
from engine.shortfalls import keeping_days
from engine.state import Season
from engine.weather import WeatherBook

USUAL_TRAY_WEEKS = Decimal(4)  # where no age is printed; common practice
SEEDLINGS_WAIT = dt.timedelta(days=14)  # beyond the age to plant out, before they are overgrown (common practice)
WEEK = 7  # days of which the pickings can be in for one delivery, if they keep
FURTHEST_BACK = 400  # days; nothing that is sown and cut takes longer


@dataclass(frozen=True, slots=True)
class SowDays:
    """The days to put a crop in for a wanted day; a day is None where none in the last 400 days would do.

    Sown from `first` to `last` it is likely fit on the wanted day; sown by `safe` it is ready even if it is slow.
    `season` are the days of a crop that goes in once a year.
    `tray_weeks` is 0 for seed in the bed; else the days are those of planting out, and trays are sown so much earlier.
    """

    first: dt.date | None
    last: dt.date | None
    safe: dt.date | None
    tray_weeks: Decimal
    season: tuple[dt.date, dt.date] | None = None

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


def in_its_season(weather: WeatherBook, known: CropFacts, days: SowDays, soonest: dt.date) -> SowDays:
    """The days of a crop that goes in once a year, moved into the last season that is in time and not past; a last day
    of None where there is none. Those of other crops as they are."""
    if not once_a_year(known):
        return days
    year = days.last.year if days.last else soonest.year
    for first, last in (autumn_season(weather, dt.date(near, 1, 1)) for near in (year, year - 1)):
        if days.last and first <= days.last and soonest <= last:
            latest = min(days.last, last)
            return replace(days, first=None, last=latest, safe=min(days.safe or latest, latest), season=(first, last))
    return replace(days, first=None, last=None, safe=None, season=autumn_season(weather, soonest))


def day_for_pickings(
    season: Season, weather: WeatherBook, known: CropFacts, wanted: dt.date, last: dt.date, soonest: dt.date
) -> dt.date:
    """The day for a crop that is picked every few days, so much before the last one that the pickings of a week, as far
    as they keep, are in by the wanted day; never before `soonest`. The last day for other crops."""
    if known.habit != PICKED:
        return last
    first_ready = wanted - dt.timedelta(days=min(WEEK, keeping_days(season, known.crop)) - 1)
    trays = raised_in_trays(season, known)
    day = last
    while (
        day > soonest and if_sown(season, weather, known.crop, None, day, transplanted=trays).ready.likely > first_ready
    ):
        day -= dt.timedelta(days=1)
    return day


def brings_by(
    season: Season, weather: WeatherBook, crop: str, unit: str, day: dt.date, wanted: dt.date
) -> list[Decimal]:
    """What a bed foot put in on `day` brings in each cut that can be handed over on the wanted day; of the first cut
    where none can. Empty where that is not known in `unit`."""
    cuttings = cuts_if_sown(season, weather, crop, None, day)
    keeps = dt.timedelta(days=keeping_days(season, crop))
    good = [
        cut
        for number, cut in enumerate(cuttings.cuts)
        if cut.ready.likely <= wanted <= cuttings.last_day(number) + keeps
    ]
    amounts = [in_unit(season, crop, cut.yield_, cut.unit, unit) for cut in good or cuttings.cuts[:1]]
    return [amount.likely / usual_length(season) for amount in amounts if amount and amount.likely > 0]


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
