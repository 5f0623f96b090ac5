"""Sowings that are planned and not done: what stands in the bed from their day on, and what it will bring."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from engine.cuttings import Cuttings, cuts_if_sown
from engine.openings import opens, turn_over_days
from engine.state import Bed, Planting, Season
from engine.weather import WeatherBook

SOWINGS = ("sown", "transplanted")
LATE_DAYS = 14  # a sowing put off for longer is taken as given up


@dataclass(frozen=True, slots=True)
class Meant:
    """A crop that is meant for a bed on a day (never before today), and its cuts if it goes in then."""

    bed: str
    crop: str
    day: dt.date
    cuttings: Cuttings = field(metadata={"inner": True})

    @property
    def out(self) -> dt.date:
        """The day the bed is likely done with."""
        return self.cuttings.out(len(self.cuttings.cuts) - 1)


def meant_sowings(season: Season, weather: WeatherBook, crop: str | None = None) -> tuple[Meant, ...]:
    """The planned sowings with a bed and a crop (or of one crop), in order of day."""
    oldest = weather.today - dt.timedelta(days=LATE_DAYS)
    return tuple(
        Meant(bed, plan.crop, day, cuts_if_sown(season, weather, plan.crop, bed, day))
        for plan in sorted(season.plans, key=lambda plan: (plan.date, plan.entry))
        if plan.task in SOWINGS and plan.crop and crop in (None, plan.crop) and plan.date >= oldest
        for day in (max(plan.date, weather.today),)
        for bed in plan.beds
        if bed in season.beds
    )


def beyond_meant(season: Season, weather: WeatherBook, bed: Bed, meant: Iterable[Meant]) -> tuple[Bed, dt.date]:
    """The bed as it will be after all that stands in it or is meant for it, and the first day that it is open then."""
    mine = [one for one in meant if one.bed == bed.name]
    opening = opens(season, weather, bed, weather.today)
    if not mine:
        return bed, opening
    past = [Planting(0, bed.name, one.crop, one.day, ended=one.out) for one in mine]
    out = max(one.out for one in mine) + dt.timedelta(days=turn_over_days(season))
    return replace(bed, past=[*bed.past, *past]), max(opening, out)
