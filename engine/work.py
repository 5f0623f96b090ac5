"""Work that waits: plans, beds to turn over or uncover, dry beds, and beds that nobody may enter yet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.asks import Ask
from engine.events import CoolerReading, Watered, Weather
from engine.heat import Heat, hot_day
from engine.safety import Wait, entry_waits, holds_back_days
from engine.state import Bed, Plan, Season
from engine.view import Fact, View
from engine.visits import LIES_OPEN_DAYS, Turnover, Visit, Visits, loads, to_cover, visits
from engine.weather import rain_mm, weather_book
from engine.windows import frees_bed

AHEAD_DAYS = 7
DRY_DAYS = 3  # a salad bed with neither water nor rain for three days wants a look (common practice)
LOOK_BACK_DAYS = 14
WETS_MM = Decimal(5)  # rain that counts as a watering: about a fifth of an inch (common practice)
READING_DAYS = 2  # a cooler that holds produce and was not read for two days (common practice)


@dataclass(frozen=True, slots=True)
class Planned:
    """Something meant: on which day (`late` if that has gone by), and its task, beds, crop, amount, person."""

    entry: int
    date: dt.date
    late: bool
    task: str
    beds: tuple[str, ...]
    crop: str | None
    quantity: Decimal | None
    unit: str | None
    who: str | None


@dataclass(frozen=True, slots=True)
class Waiting:
    """A bed waiting to be turned over or uncovered, since when, and the crop and day it is meant for.

    Where a crop is still in it, `growing` is that crop and `out` the day it is likely out.
    """

    bed: str
    plot: str
    since: dt.date | None
    cover: str | None
    crop: str | None
    wanted: dt.date | None
    growing: str | None = None
    out: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Trip:
    """A visit to a plot and the beds turned over on it: go on `by` at the latest. `cover` would lie bare too long."""

    plot: str
    by: dt.date
    beds: tuple[str, ...]
    cover: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ToLoad:
    """What to take along, as was last worked in on that plot: an amount for all its beds together and for `each`.

    `holds_back` are the days that it would hold back picking there, where it is manure or compost without a record.
    """

    material: str
    quantity: Decimal | None
    unit: str | None
    beds: tuple[str, ...]
    each: tuple[Decimal | None, ...]
    holds_back: int | None


@dataclass(frozen=True, slots=True)
class Dry:
    """Growing beds with neither watering nor rain on record since a day (None: none within two weeks)."""

    since: dt.date | None
    beds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ToDo:
    """The work of the days asked about (default the coming week).

    `cover` are bare beds whose sowing is a week off or more. `too_late` are beds to turn over whose crop is likely in
    them beyond the last day before their sowing.
    `watering_kept` is False where the book has no watering and no rain in two weeks: then no bed is called dry.
    `cooler_unread` is the day of the last cooler reading where that is too long ago. `hot` is how the day's logged high
    feels (in drier and in damper air, where no humidity is logged), empty where it is no hot one.
    """

    start: dt.date
    end: dt.date
    plot: str | None
    plans: tuple[Planned, ...]
    trips: tuple[Trip, ...]
    load: tuple[ToLoad, ...]
    turn_over: tuple[Waiting, ...]
    too_late: tuple[Waiting, ...]
    cover: tuple[Waiting, ...]
    uncover: tuple[Waiting, ...]
    dry: tuple[Dry, ...]
    watering_kept: bool
    keep_out: tuple[Wait, ...]
    cooler_unread: dt.date | None
    hot: tuple[Heat, ...]
    workings: tuple[str, ...]


def to_do(view: View, ask: Ask) -> ToDo:
    """What waits to be done on the days asked about, in one plot or on the whole farm."""
    start, end = ask.days(view.today, AHEAD_DAYS)
    season = view.season(min(start, view.today))
    beds = [bed for bed in season.beds.values() if ask.plot in (None, bed.plot)]
    logged = view.facts(
        season.day - dt.timedelta(days=LOOK_BACK_DAYS), season.day, kinds=("watered", "weather", "cooler_reading")
    )
    last = max(end, season.day + dt.timedelta(days=AHEAD_DAYS - 1))
    turn_over = [_waiting(season, bed) for bed in beds if not bed.plantings and not bed.prepared_since]
    turn_over += [_after_crop(view, season, bed) for bed in beds if bed.plantings and _sowing_by(season, bed, last)]
    planned = _visits(turn_over, season.day, last)
    bare = tuple(_waiting(season, bed) for bed in beds if _lies_bare(season, bed))
    dry, kept = _dry(beds, logged, season.day)
    return ToDo(
        start=start,
        end=end,
        plot=ask.plot,
        plans=tuple(_plan(plan, season.day) for plan in _plans(season, beds, end, ask)),
        trips=tuple(
            Trip(visit.plot, visit.day, tuple(bed.bed for bed in visit.beds), _meanwhile(visit, season.day, bare))
            for visit in planned.trips
        ),
        load=_load(season, planned),
        turn_over=tuple(turn_over),
        too_late=tuple(bed for bed in turn_over if bed.bed in {missed.bed for missed in planned.missed}),
        cover=bare,
        uncover=tuple(_waiting(season, bed) for bed in beds if bed.covered_since and _uncover(season, bed, end)),
        dry=dry,
        watering_kept=kept,
        keep_out=tuple(
            wait for wait in entry_waits(season, season.day) if ask.plot in (None, season.beds[wait.bed].plot)
        ),
        cooler_unread=_cooler_unread(season, logged),
        hot=_hot(logged, season.day),
        workings=_workings(logged, turn_over),
    )


def _plans(season: Season, beds: list[Bed], end: dt.date, ask: Ask) -> list[Plan]:
    names = {bed.name for bed in beds}
    due = [plan for plan in season.plans if plan.date <= end and (ask.plot is None or names & set(plan.beds))]
    return sorted(due, key=lambda plan: (plan.date, plan.entry))


def _plan(plan: Plan, today: dt.date) -> Planned:
    return Planned(
        plan.entry, plan.date, plan.date < today, plan.task, plan.beds, plan.crop, plan.quantity, plan.unit, plan.who
    )


def _waiting(season: Season, bed: Bed) -> Waiting:
    sowing = _sowing(season, bed.name)
    return Waiting(
        bed=bed.name,
        plot=bed.plot,
        since=bed.covered_since or bed.open_since,
        cover=bed.cover if bed.covered_since else None,
        crop=sowing.crop if sowing else None,
        wanted=sowing.date if sowing else None,
    )


def _after_crop(view: View, season: Season, bed: Bed) -> Waiting:
    """A bed with a crop in it that is to be sown again soon."""
    out = frees_bed(season, weather_book(view), bed.name)
    growing = ", ".join(planting.crop for planting in bed.plantings)
    return replace(_waiting(season, bed), since=None, growing=growing, out=out.likely if out else None)


def _sowing_by(season: Season, bed: Bed, last: dt.date) -> bool:
    """Whether a sowing is meant for the bed by the day after the last: the bed must be ready the day before."""
    sowing = _sowing(season, bed.name)
    return sowing is not None and sowing.date <= last + dt.timedelta(days=1)


def _sowing(season: Season, bed: str) -> Plan | None:
    """The first sowing or planting out that is meant for the bed."""
    meant = [plan for plan in season.plans if bed in plan.beds and plan.task in ("sown", "transplanted")]
    return min(meant, key=lambda plan: plan.date, default=None)


def _uncover(season: Season, bed: Bed, end: dt.date) -> bool:
    """A cover comes off for a sowing that is meant by the last day; one over a crop stays the grower's to judge."""
    sowing = _sowing(season, bed.name)
    return not bed.plantings and sowing is not None and sowing.date <= end


def _lies_bare(season: Season, bed: Bed) -> bool:
    """Whether a bed with nothing in or on it would lie so for a week or more before the sowing meant for it."""
    sowing = _sowing(season, bed.name)
    bare = not bed.plantings and bed.covered_since is None
    return bare and sowing is not None and (sowing.date - season.day).days >= LIES_OPEN_DAYS


def _meanwhile(visit: Visit, today: dt.date, bare: Iterable[Waiting]) -> tuple[str, ...]:
    """The beds to cover until the visit, without those that are to be covered until their sowing."""
    told = {bed.bed for bed in bare}
    return tuple(bed for bed in to_cover(visit, today) if bed not in told)


def _visits(waiting: Iterable[Waiting], today: dt.date, end: dt.date) -> Visits:
    """The fewest trips: a bed with a sowing meant must be ready the day before it, the others by the last day."""
    day = dt.timedelta(days=1)
    return visits(
        Turnover(
            bed=bed.bed,
            plot=bed.plot,
            opens=max(today, bed.out or today),
            due=max(today, min(end, bed.wanted - day) if bed.wanted else end),
            covered_since=bed.since if bed.cover else None,
            crop=bed.crop,
        )
        for bed in waiting
    )


def _load(season: Season, planned: Visits) -> tuple[ToLoad, ...]:
    beds = [bed.bed for visit in planned.trips for bed in visit.beds]
    return tuple(
        ToLoad(load.material, load.quantity, load.unit, load.beds, load.each, holds_back_days(season, load.material))
        for load in loads(season, beds)
    )


def _dry(beds: list[Bed], logged: list[Fact], today: dt.date) -> tuple[tuple[Dry, ...], bool]:
    """Growing beds by the last day that water or rain reached them, where that is three days ago or more."""
    rain = [fact.event.date for fact in logged if isinstance(fact.event, Weather) and rain_mm(fact.event) >= WETS_MM]
    watered: dict[str, dt.date] = {}
    for event in (fact.event for fact in logged):
        if isinstance(event, Watered):
            watered.update(dict.fromkeys(event.beds, event.date))
    if not rain and not watered:
        return (), False
    groups: dict[dt.date | None, list[str]] = {}
    for bed in beds:
        days = [day for day in (watered.get(bed.name), max(rain, default=None)) if day]
        last = max(days, default=None)
        if bed.plantings and (last is None or (today - last).days >= DRY_DAYS):
            groups.setdefault(last, []).append(bed.name)
    ordered = sorted(groups.items(), key=lambda group: group[0] or dt.date.min)
    return tuple(Dry(since, tuple(names)) for since, names in ordered), True


def _hot(logged: list[Fact], day: dt.date) -> tuple[Heat, ...]:
    of_day = [fact.event for fact in logged if isinstance(fact.event, Weather) and fact.event.date == day]
    said = [(event.high, event.unit) for event in of_day if event.high is not None and event.unit]
    damp = [event.humidity for event in of_day if event.humidity is not None]
    return hot_day(*said[-1], damp[-1] if damp else None) if said else ()


def _cooler_unread(season: Season, logged: list[Fact]) -> dt.date | None:
    """The day of the last reading, where produce is in the cooler and that day is too long ago; farms that never read
    their cooler are not told off."""
    read = [fact.event.date for fact in logged if isinstance(fact.event, CoolerReading)]
    holds = any(lot.left > 0 for lot in season.lots)
    if not read or not holds or (season.day - read[-1]).days < READING_DAYS:
        return None
    return read[-1]


def _workings(logged: list[Fact], waiting: list[Waiting]) -> tuple[str, ...]:
    return (
        f"{len(waiting)} beds are empty and not turned over",
        f"{len(logged)} records of watering, weather and cooler in the last {LOOK_BACK_DAYS} days",
        f"dry: no watering and less than {WETS_MM} mm of rain on record for {DRY_DAYS} days",
        "visits: the fewest trips to each plot that reach every bed before its sowing",
    )
