"""What to sow, when, where and with how much seed: the small questions, answered exactly and at once.

The larger two have files of their own: `sow_list.py` (to_sow) and `filling.py` (fill_bed).
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

from engine.asks import Ask
from engine.crops import facts, usual_length
from engine.cuttings import first_if_sown
from engine.filling import fill_bed as fill_bed
from engine.growth import Forecast, forecast
from engine.in_season import OutOfSeason, out_of_season
from engine.plain import day as said
from engine.planner.limits import lets_in
from engine.planner.rules import limits_of
from engine.seeds import Seed, seed_for
from engine.shortfalls import keeping_days
from engine.sow_days import SowDays, brings_by, day_for_pickings, in_its_season, sow_days, tray_weeks
from engine.sow_list import to_sow as to_sow
from engine.state import Season
from engine.stock import TENTH
from engine.view import View
from engine.weather import WeatherBook, weather_book


@dataclass(frozen=True, slots=True)
class SeedNeeded:
    """Seed for each bed or length asked about, and together; `assumed` says which length was taken if none was said."""

    crop: str
    beds: tuple[str, ...]
    seed: Seed
    tray_weeks: Decimal
    assumed: str | None
    known: bool
    missing: tuple[str, ...]
    workings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Growing:
    """A planting that stands already and will be good on the wanted day."""

    bed: str
    ready: dt.date
    best_until: dt.date


@dataclass(frozen=True, slots=True)
class SowBy:
    """When to put a crop in for a day: likely in time if in by `last`, even if slow if in by `safe`.

    Days are those of the bed; `seed_by` is the day for the trays of a crop that is raised in them. Where `last` is
    past, `if_now` are the low, likely and high days that it would be ready if put in as soon as can be. `unruled` is
    what `last` would be without the grower's rules, where these leave only an earlier day, or none. `off` is why that
    is no day for the crop, `season` the days on which one goes in that does so once a year. The feet count on
    `pickings` of the crop, which are in by the wanted day and keep until then.
    """

    crop: str
    date: dt.date
    quantity: Decimal | None
    unit: str | None
    customer: str | None
    first: dt.date | None
    last: dt.date | None
    safe: dt.date | None
    seed_by: dt.date | None
    tray_weeks: Decimal
    too_late: bool
    if_now: tuple[dt.date, dt.date, dt.date] | None
    length_ft: Decimal | None
    beds: Decimal | None
    seed: Seed | None
    growing: tuple[Growing, ...]
    today: dt.date
    unruled: dt.date | None
    off: OutOfSeason | None
    season: tuple[dt.date, dt.date] | None
    pickings: int
    known: bool
    missing: tuple[str, ...]
    workings: tuple[str, ...]


def seed_needed(view: View, ask: Ask) -> SeedNeeded:
    """How much seed, or how many plants and trays, the beds or the length asked about take."""
    season = view.season()
    assert ask.crop is not None, "a question about seed names its crop"
    known = facts(season, ask.crop)
    length, width, assumed = _length(season, ask)
    seed = seed_for(season, known, length, width)
    missing = list(seed.missing) + ([] if known.known or seed.seeds else [f"anything published about {ask.crop}"])
    return SeedNeeded(
        ask.crop, ask.beds or (), seed, tray_weeks(season, known), assumed, known.known, tuple(missing), seed.workings
    )


def _length(season: Season, ask: Ask) -> tuple[Decimal, Decimal | None, str | None]:
    """Feet asked about, the width of the beds, and in words which length was taken where none was said."""
    if ask.length_ft is not None:
        return ask.length_ft, None, None
    usual = usual_length(season)
    beds = [season.beds[name] for name in ask.beds or () if name in season.beds]
    if not beds:
        return usual, None, f"one bed of {usual.normalize():f} ft"
    unmeasured = [bed.name for bed in beds if bed.length_ft is None]
    total = sum((bed.length_ft or usual for bed in beds), Decimal(0))
    widths = {bed.width_in for bed in beds}
    width = widths.pop() if len(widths) == 1 else None
    said = f"{usual.normalize():f} ft for {', '.join(unmeasured)}, whose length I do not know" if unmeasured else None
    return total, width, said


def sow_by(view: View, ask: Ask) -> SowBy:
    """When to sow, and how much, for the crop to be there on the day asked about."""
    assert ask.crop is not None, "a question about sowing for a day names its crop"
    season, weather = view.season(), weather_book(view)
    known, wanted = facts(season, ask.crop), ask.date or ask.by or view.today
    freely = sow_days(season, weather, ask.crop, wanted)
    soonest = view.today + dt.timedelta(days=int(freely.tray_weeks * 7))
    ruled = _as_ruled(season, ask.crop, freely, view.today)
    days = in_its_season(weather, known, ruled, soonest)
    too_late = days.last is None or days.last < soonest
    put_in = soonest if too_late else days.last or soonest
    if not too_late and ask.quantity is not None:
        put_in = day_for_pickings(season, weather, known, wanted, put_in, soonest)
        days = replace(days, last=put_in, safe=min(days.safe, put_in) if days.safe else None)
    expected = first_if_sown(season, weather, ask.crop, None, put_in)
    off = out_of_season(season, weather, expected)
    length, pickings, missing = (None, 1, ()) if off else _room(season, weather, ask, put_in, wanted)
    return SowBy(
        crop=ask.crop, date=wanted, quantity=ask.quantity, unit=ask.unit, customer=ask.customer,
        first=days.first, last=days.last, safe=days.safe,
        seed_by=days.seed_day(days.last) if days.last and days.tray_weeks else None,
        tray_weeks=days.tray_weeks, too_late=too_late,
        if_now=_span(expected) if too_late else None,
        length_ft=length,
        beds=None if length is None else (length / usual_length(season)).quantize(TENTH, ROUND_CEILING),
        seed=seed_for(season, known, length) if length else None,
        growing=_growing(season, weather, ask.crop, wanted),
        today=view.today,
        unruled=freely.last if freely.last != ruled.last else None,
        off=off, season=days.season, pickings=pickings,
        known=known.known, missing=missing, workings=(*_day_lines(days), *expected.workings),
    )  # fmt: skip


def _as_ruled(season: Season, crop: str, days: SowDays, today: dt.date) -> SowDays:
    """The days with the last and the safe one on days that the grower's rules leave, or None where they leave none."""
    lets = lets_in(season, crop, limits_of(season))

    def left(day: dt.date | None) -> dt.date | None:
        while day is not None and day >= today and not lets(day):
            day = day - dt.timedelta(days=1) if day > max(days.first or today, today) else None
        return day

    return replace(days, last=left(days.last), safe=left(days.safe))


def _span(expected: Forecast) -> tuple[dt.date, dt.date, dt.date]:
    return expected.ready.low, expected.ready.likely, expected.ready.high


def _room(
    season: Season, weather: WeatherBook, ask: Ask, day: dt.date, wanted: dt.date
) -> tuple[Decimal | None, int, tuple[str, ...]]:
    """Feet for the amount wanted and how many pickings they count on, or what is missing to say so."""
    if ask.quantity is None or ask.unit is None or ask.crop is None:
        return None, 1, ()
    a_foot = brings_by(season, weather, ask.crop, ask.unit, day, wanted)
    if not a_foot:
        return None, 1, (f"what a bed foot of {ask.crop} brings in {ask.unit}",)
    return (ask.quantity / sum(a_foot)).to_integral_value(ROUND_CEILING), len(a_foot), ()


def _growing(season: Season, weather: WeatherBook, crop: str, wanted: dt.date) -> tuple[Growing, ...]:
    keeps = dt.timedelta(days=keeping_days(season, crop))
    found = []
    for planting in season.plantings():
        if planting.crop == crop:
            expected = forecast(season, weather, planting)
            if expected.ready.likely <= wanted <= expected.best_until.likely + keeps:
                found.append(Growing(planting.bed, expected.ready.likely, expected.best_until.likely))
    return tuple(sorted(found, key=lambda growing: (growing.ready, growing.bed)))


def _day_lines(days: SowDays) -> tuple[str, ...]:
    """The three days in plain lines, for `why`."""
    lines = [f"it goes in once a year, {said(days.season[0])} to {said(days.season[1])}"] if days.season else []
    if days.last:
        lines.append(f"in by {said(days.last)} it is likely ready on the day")
    if days.safe:
        lines.append(f"in by {said(days.safe)} it is ready on the day even if it is slow (9 in 10)")
    if days.first:
        lines.append(f"in before {said(days.first)} it is likely past its best by then")
    if days.tray_weeks:
        lines.append(f"{days.tray_weeks.normalize():f} weeks in the tray before planting out")
    return tuple(lines)
