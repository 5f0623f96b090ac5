"""Sowings and the beds that they may go in: open and rested by their day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.crops import usual_length
from engine.in_season import OutOfSeason
from engine.meant import beyond_meant, meant_sowings
from engine.openings import turn_over_days
from engine.planner.limits import bars
from engine.planner.rules import limits_of
from engine.rotation import resting
from engine.safety import held_up
from engine.seeds import Seed
from engine.state import Bed, Season
from engine.weather import WeatherBook


@dataclass(frozen=True, slots=True)
class For:
    """One delivery that a sowing is for; `customer` is None for what usually sells."""

    day: dt.date
    customer: str | None
    quantity: Decimal


@dataclass(frozen=True, slots=True)
class Sowing:
    """A crop to put in the bed by `day`, its seed in the ground or tray by `seed_day`, and the beds it may go in.

    `late` is set where it can only follow after a gap, `partly` where it meets the first of its deliveries in part,
    since few of its pickings are in by then. `unplaced_ft` found no open and rested bed.
    """

    crop: str
    day: dt.date
    seed_day: dt.date
    late: bool
    quantity: Decimal
    unit: str
    length_ft: Decimal
    ready_low: dt.date
    ready: dt.date
    ready_high: dt.date
    wanted_for: tuple[For, ...]
    beds: tuple[str, ...]
    unplaced_ft: Decimal
    seed: Seed
    partly: bool = False


@dataclass(frozen=True, slots=True)
class Unmet:
    """A delivery that nothing sown can meet: `soonest`, when a sowing of today (or of `sown`, where the grower's
    rules leave no day before it) would be ready, is after it, or before it with too few pickings; or the last sowing
    that would be ready by then is good only to `keeps_until`; or no day is of the crop's season any more (`off`)."""

    crop: str
    day: dt.date
    customer: str | None
    quantity: Decimal
    unit: str
    soonest: dt.date
    keeps_until: dt.date | None = None
    sown: dt.date | None = None
    off: OutOfSeason | None = None


def placed(season: Season, weather: WeatherBook, sowings: Iterable[Sowing]) -> tuple[Sowing, ...]:
    """Each sowing with beds that are open and rested by its day, and clear of waits by its harvest, as far as there are
    any that the rules allow it; beds may be shared, but not with a sowing that is planned."""
    meant = meant_sowings(season, weather)
    later = {bed.name: beyond_meant(season, weather, bed, meant) for bed in season.beds.values()}
    free = {name: opening for name, (_, opening) in later.items()}
    left = {name: season.beds[name].length_ft or usual_length(season) for name in free}
    soon = weather.today + dt.timedelta(days=turn_over_days(season))
    found = []
    for sowing in sowings:
        by = max(sowing.day, soon)
        fitting = [
            name for name in free if left[name] > 0 and free[name] <= by and _takes(season, later[name][0], sowing)
        ]
        alone = [name for name in fitting if left[name] >= sowing.length_ft]
        fitting = [min(alone, key=lambda name: (left[name], free[name]))] if alone else fitting
        missing, beds = sowing.length_ft, []
        for name in sorted(fitting, key=lambda name: (-left[name], free[name])):
            if missing > 0:
                beds.append(name)
                taken = min(missing, left[name])
                missing, left[name] = missing - taken, left[name] - taken
        found.append(replace(sowing, beds=tuple(beds), unplaced_ft=missing))
    return tuple(found)


def _takes(season: Season, bed: Bed, sowing: Sowing) -> bool:
    """Whether the bed has rested from the crop's family, its waits are over by the time, and the rules let it in."""
    if held_up(season, bed.name, sowing.crop, sowing.ready):
        return False
    rest = resting(season, bed, sowing.crop, sowing.day)
    if rest is not None and rest.until > sowing.day:
        return False
    kept_out = bars(season, bed.name, sowing.crop, limits_of(season))
    return not any(bar.holds(sowing.day, sowing.ready) for bar in kept_out)
