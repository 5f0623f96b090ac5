"""Which visit turns over which beds: the fewest trips to each plot that reach every bed in time.

A bed can be turned over from the day it opens to the last day before its sowing. Choosing the fewest days that meet
all those stretches is the interval stabbing problem, and it is solved exactly: go to the plot on the last day that the
most pressing bed allows, take every bed that is open by then, and begin again with what is left. No plan needs fewer
trips, because the beds that set those days have stretches with no day in common.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from decimal import Decimal

from engine.state import Season

LIES_OPEN_DAYS = 7  # a bare bed grows a flush of weeds in about a week (common practice): worth covering


@dataclass(frozen=True, slots=True)
class Turnover:
    """A bed to be turned over: the first and the last day on which that can be done; `covered_since` if it is."""

    bed: str
    plot: str
    opens: dt.date
    due: dt.date
    covered_since: dt.date | None = None
    crop: str | None = None  # what is to be sown after it, where that is planned


@dataclass(frozen=True, slots=True)
class Visit:
    """One trip to a plot and the beds turned over on it, in the order of their last days."""

    plot: str
    day: dt.date
    beds: tuple[Turnover, ...]


@dataclass(frozen=True, slots=True)
class Visits:
    """The trips in order of day; `missed` are the beds that no allowed day reaches in time."""

    trips: tuple[Visit, ...]
    missed: tuple[Turnover, ...] = ()


@dataclass(frozen=True, slots=True)
class Load:
    """What to take along for some beds: as much for each bed foot as was last worked in on the same plot; `each` is
    what of it goes on each of the beds, in their order."""

    material: str
    quantity: Decimal | None
    unit: str | None
    beds: tuple[str, ...]
    each: tuple[Decimal | None, ...]


def visits(turnovers: Iterable[Turnover], allowed: Callable[[dt.date], bool] = lambda day: True) -> Visits:
    """The fewest trips, per plot, that turn over every bed within its stretch on days that `allowed` permits."""
    by_plot: dict[str, list[Turnover]] = defaultdict(list)
    for turnover in turnovers:
        by_plot[turnover.plot].append(turnover)
    trips: list[Visit] = []
    missed: list[Turnover] = []
    for plot, beds in by_plot.items():
        reachable = [bed for bed in beds if _last_allowed(bed, allowed)]
        missed += [bed for bed in beds if bed not in reachable]
        trips += _trips(plot, reachable, allowed)
    return Visits(tuple(sorted(trips, key=lambda trip: (trip.day, trip.plot))), tuple(missed))


def _last_allowed(bed: Turnover, allowed: Callable[[dt.date], bool]) -> dt.date | None:
    span = (bed.due - bed.opens).days
    days = (bed.due - dt.timedelta(days=back) for back in range(span + 1))
    return next((day for day in days if allowed(day)), None)


def _trips(plot: str, beds: list[Turnover], allowed: Callable[[dt.date], bool]) -> list[Visit]:
    waiting = sorted(beds, key=lambda bed: (_last_allowed(bed, allowed) or bed.due, bed.opens, bed.bed))
    trips = []
    while waiting:
        day = _last_allowed(waiting[0], allowed)
        assert day is not None  # the unreachable ones were set aside
        taken = [bed for bed in waiting if bed.opens <= day]
        trips.append(Visit(plot, day, tuple(taken)))
        waiting = [bed for bed in waiting if bed.opens > day]
    return trips


def to_cover(visit: Visit, today: dt.date, days: int = LIES_OPEN_DAYS) -> tuple[str, ...]:
    """The uncovered beds that would lie bare for `days` or more, from today or their opening, until the visit."""
    return tuple(
        bed.bed for bed in visit.beds if bed.covered_since is None and (visit.day - max(bed.opens, today)).days >= days
    )


def loads(season: Season, beds: Iterable[str]) -> tuple[Load, ...]:
    """What to load for turning over these beds, by what the book says was last worked in on each one's plot."""
    wanted: dict[tuple[str, str | None], dict[str, Decimal | None]] = {}
    for name in beds:
        found = _last_amendment(season, name)
        if found is not None:
            material, unit, quantity = found
            wanted.setdefault((material, unit), {})[name] = quantity
    return tuple(
        Load(material, _together(each.values()), unit, tuple(each), tuple(each.values()))
        for (material, unit), each in wanted.items()
    )


def _together(amounts: Collection[Decimal | None]) -> Decimal | None:
    known = [amount for amount in amounts if amount is not None]
    return sum(known, Decimal(0)) if len(known) == len(amounts) else None


def _last_amendment(season: Season, name: str) -> tuple[str, str | None, Decimal | None] | None:
    """Material, unit and amount for this bed, scaled by bed length from the plot's latest amendment."""
    bed = season.beds[name]
    same_plot = [
        treatment
        for treatment in season.treatments
        if treatment.kind == "amended" and treatment.bed in season.beds and season.beds[treatment.bed].plot == bed.plot
    ]
    if not same_plot:
        return None
    latest = max(same_plot, key=lambda treatment: (treatment.date, treatment.entry))
    amount = latest.quantity
    lengths = (bed.length_ft, season.beds[latest.bed].length_ft)
    if amount is not None and lengths[0] and lengths[1]:
        amount = amount * lengths[0] / lengths[1]
    return latest.material, latest.unit, amount
