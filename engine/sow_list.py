"""What to sow to keep up: what is wanted and not on its way, taken back to the last days on which it can be sown.

Sowings are made as late as they can be and as few as that allows: the most pressing shortage sets a sowing on its last
day, and the later shortages that its cuts would serve are sown with it. A crop that is picked every few days goes in
so much sooner that several pickings are in for the first delivery. What is sown is counted on before the next is set.
"""

from __future__ import annotations

import bisect
import datetime as dt
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

from engine.asks import Ask
from engine.bed_yield import in_unit
from engine.crops import PICKED, facts, usual_length
from engine.cuttings import cuts_if_sown, first_if_sown
from engine.filling import own_crops
from engine.growth import Forecast
from engine.in_season import OutOfSeason, autumn_season, once_a_year, out_of_season
from engine.meant import Meant, meant_sowings
from engine.placing import For, Sowing, Unmet, placed
from engine.plain import day as said
from engine.planner.limits import lets_in
from engine.planner.rules import limits_of
from engine.quantities import convert
from engine.seeds import seed_for
from engine.shortfalls import Coming, Want, coming, keeping_days, met_by
from engine.sizing import Size, latest_of, sized, sized_in_part
from engine.sow_days import WEEK, tray_days
from engine.sow_wants import ORDERS, STANDING, ordered_ahead, wants_of
from engine.state import Season
from engine.stock import TENTH
from engine.view import View
from engine.weather import WeatherBook, weather_book

SPAN_DAYS = 7  # looked at when no days were asked about
MOST_SOWINGS = 40  # of one crop in one answer


@dataclass(frozen=True, slots=True)
class ToSow:
    """Sowings due by the last day asked about, soonest first; `basis` says for each crop what it was reckoned by.

    `planned` are those that are planned for these days already: they are counted on, and come on top of `sowings`.

    `off_season` are crops that are wanted and do not go in any more, or not yet.

    `next_due` has for each crop reckoned the day that its next sowing is due after that (None: all wants are met).
    """

    start: dt.date
    end: dt.date
    crop: str | None
    customer: str | None
    sowings: tuple[Sowing, ...]
    unmet: tuple[Unmet, ...]
    next_due: dict[str, dt.date | None]
    basis: dict[str, str]
    missing: tuple[str, ...]
    workings: tuple[str, ...]
    planned: tuple[Meant, ...] = ()
    off_season: tuple[OutOfSeason, ...] = ()


@dataclass(frozen=True, slots=True)
class _Crop:
    """What one crop's reckoning looks at. `days` are the days it can go in, `firsts` the first cut of each; there are
    none where every day is out of its season (`off`)."""

    season: Season
    weather: WeatherBook
    crop: str
    unit: str
    basis: str
    wants: tuple[Want, ...]
    there: tuple[Coming, ...]
    days: tuple[dt.date, ...]
    firsts: tuple[Forecast, ...]
    in_trays: dt.timedelta
    off: OutOfSeason | None = None


def to_sow(view: View, ask: Ask) -> ToSow:
    """What to sow within the days asked about (default the coming week) so that nothing that is wanted runs short."""
    start, end = ask.days(view.today, SPAN_DAYS)
    season, weather = view.season(), weather_book(view)
    due: list[Sowing] = []
    unmet: list[Unmet] = []
    off_season: list[OutOfSeason] = []
    next_due: dict[str, dt.date | None] = {}
    basis, missing, workings = {}, [], []
    ordered = ordered_ahead(view, ask)
    for crop in (ask.crop,) if ask.crop else own_crops(season):
        wants, basis[crop] = wants_of(view, season, weather, crop, ask, tuple(ordered[crop]))
        reckoned = _reckoned(season, weather, crop, wants, basis[crop])
        if reckoned is None:
            missing += _why_not(season, crop, wants, ask)
            continue
        if reckoned.off and basis[crop] != ORDERS:
            off_season.append(reckoned.off)
            continue
        found, short = _sowings(reckoned, end)
        due += [sowing for sowing in found if sowing.seed_day <= end]
        unmet += short
        next_due[crop] = min((sowing.seed_day for sowing in found if sowing.seed_day > end), default=None)
        workings += _workings(reckoned, found, end)
    beds = placed(season, weather, sorted(due, key=lambda sowing: (sowing.seed_day, sowing.crop)))
    return ToSow(
        start, end, ask.crop, ask.customer, beds, tuple(unmet), next_due, basis,
        (*missing, *_gaps(season, weather, basis)), tuple(workings),
        tuple(one for one in meant_sowings(season, weather, ask.crop) if one.day <= end), tuple(off_season),
    )  # fmt: skip


def _why_not(season: Season, crop: str, wants: tuple[Want, ...], ask: Ask) -> list[str]:
    """What is missing to reckon the crop, if anything."""
    if wants and not lets_in(season, crop, limits_of(season))(max(want.day for want in wants)):
        return [f"a day that your planning rules leave for {crop}"]
    if wants:
        return [f"what a bed foot of {crop} brings in {wants[0].unit}"]
    if ask.crop and not ask.customer:
        return [f"orders for {crop}, sales of it or a bed of it to go by"]
    return []


def _reckoned(season: Season, weather: WeatherBook, crop: str, wants: tuple[Want, ...], basis: str) -> _Crop | None:
    """The reckoning of a crop in the unit that it is wanted in, or None where its yield is not known in that."""
    if not wants:
        return None
    unit, last = wants[0].unit, max(want.day for want in wants)
    firsts = _firsts(season, weather, crop, last)
    lets = lets_in(season, crop, limits_of(season))
    allowed = [first for first in firsts if lets(first.sown)]
    brings = in_unit(season, crop, firsts[0].yield_, firsts[0].unit, unit)
    if brings is None or brings.likely <= 0 or not allowed:
        return None
    left = tuple(first for first in allowed if out_of_season(season, weather, first) is None)
    off = None if left else out_of_season(season, weather, allowed[0])
    counted = tuple(
        replace(want, quantity=amount, unit=unit)
        for want in wants
        if (amount := convert(season, crop, want.quantity, want.unit, unit)) is not None
    )
    there = tuple(coming(season, weather, crop, unit)[0])
    days = tuple(first.sown for first in left)
    return _Crop(season, weather, crop, unit, basis, counted, there, days, left, tray_days(season, crop), off)


def _firsts(season: Season, weather: WeatherBook, crop: str, last: dt.date) -> list[Forecast]:
    """The first cut for each day that the crop can go in and be ready by `last`, and for one day more."""
    day = weather.today + tray_days(season, crop)
    if once_a_year(facts(season, crop)):
        day = max(day, autumn_season(weather, weather.today)[0])
    firsts = [first_if_sown(season, weather, crop, None, day)]
    while firsts[-1].ready.likely <= last and firsts[-1].sown < last:
        firsts.append(first_if_sown(season, weather, crop, None, firsts[-1].sown + dt.timedelta(days=1)))
    return firsts


def _sowings(reckoned: _Crop, end: dt.date) -> tuple[list[Sowing], list[Unmet]]:
    """The crop's sowings in order of day, each counted on before the next is set; and what no sowing is there for.

    Both go up to the first sowing that is due after `end`; what is wanted later is for a later answer.
    """
    lots, made, unmet = list(reckoned.there), list[Sowing](), list[Unmet]()
    given_up: set[dt.date] = set()
    while len(made) < MOST_SOWINGS and not (made and made[-1].seed_day > end):
        short = [want for want in met_by(reckoned.wants, lots) if want.short > 0 and want.day not in given_up]
        if not short:
            break
        found = _sowing_for(reckoned, short) if reckoned.days else None
        if found is not None:
            made.append(found[0])
            lots += found[1]
            if not (found[0].late or found[0].partly):
                continue
        if found is None or found[0].partly:
            left = short if found is None else met_by(reckoned.wants, lots)
            unmet += [_unmet(reckoned, want) for want in left if want.day == short[0].day and want.short > 0]
        given_up.add(short[0].day)
    return _taken_together(reckoned, made), _worth_telling(reckoned, unmet)


def _taken_together(reckoned: _Crop, made: list[Sowing]) -> list[Sowing]:
    """The sowings with those of one day as one; of a crop that is picked on, also those of the next days with it."""
    picked = facts(reckoned.season, reckoned.crop).habit == PICKED
    together: list[Sowing] = []
    for one in sorted(made, key=lambda sowing: sowing.day):
        if together and (one.day - together[-1].day).days <= (WEEK if picked else 0):
            together[-1] = _with(reckoned, together[-1], one)
        else:
            together.append(one)
    return together


def _with(reckoned: _Crop, one: Sowing, other: Sowing) -> Sowing:
    length = one.length_ft + other.length_ft
    return replace(
        one, quantity=one.quantity + other.quantity, length_ft=length, unplaced_ft=length,
        wanted_for=(*one.wanted_for, *other.wanted_for),
        seed=seed_for(reckoned.season, facts(reckoned.season, reckoned.crop), length),
    )  # fmt: skip


def _worth_telling(reckoned: _Crop, unmet: list[Unmet]) -> list[Unmet]:
    """All that was ordered; of what only sold lately what comes too soon, since no market waits for what is over."""
    return [short for short in unmet if reckoned.basis == ORDERS or short.keeps_until is None]


def _sowing_for(reckoned: _Crop, short: list[Want]) -> tuple[Sowing, list[Coming]] | None:
    """The sowing that the first shortage sets and what it brings, or None where none would be there on its day.

    What stands may also be followed after a gap.
    """
    at = _last_day_for(reckoned, short[0].day)
    if at is None:
        if reckoned.basis != STANDING:
            return None
        return _sowing(reckoned, 0, Size(usual_length(reckoned.season), tuple(short[:1])), late=True)
    chosen = latest_of([(day, size) for day in _days_to_try(reckoned, at) if (size := _size(reckoned, day, short))])
    return _sowing(reckoned, *chosen, late=False) if chosen else None


def _days_to_try(reckoned: _Crop, at: int) -> list[int]:
    """That day, and for a crop picked every few days those so much sooner that more pickings are in by then."""
    known = facts(reckoned.season, reckoned.crop)
    if known.habit != PICKED or reckoned.basis == STANDING:
        return [at]
    gap = max(1, int(known.number("regrowth")))
    most = min(WEEK, keeping_days(reckoned.season, reckoned.crop)) // gap
    wanted = [reckoned.firsts[at].ready.likely - dt.timedelta(days=gap * more) for more in range(most + 1)]
    tried = {_last_day_for(reckoned, day) for day in wanted}
    return sorted({at, *(day for day in tried if day is not None), *([0] if None in tried else [])})


def _size(reckoned: _Crop, at: int, short: list[Want]) -> Size | None:
    """How much to put in on that one of the days; where it is the first and so little can be there yet, in part."""
    a_foot = _brings(reckoned, at, Decimal(1))
    return (sized if at > 0 else sized_in_part)(short, a_foot)


def _last_day_for(reckoned: _Crop, day: dt.date) -> int | None:
    """Which of the days is the last to go in and be ready on `day`; None if even the first is too late."""
    at = bisect.bisect_right(reckoned.firsts, day, key=lambda first: first.ready.likely) - 1
    return at if at >= 0 else None


def _unmet(reckoned: _Crop, want: Want) -> Unmet:
    unmet = Unmet(want.crop, want.day, want.customer, want.short, reckoned.unit, want.day, off=reckoned.off)
    if reckoned.off:
        return replace(unmet, soonest=reckoned.off.ready)
    at = _last_day_for(reckoned, want.day)
    keeps_until = None if at is None else _keeps_until(reckoned, at, want.day)
    soonest, sown = reckoned.firsts[0].ready.likely, reckoned.days[0] - reckoned.in_trays
    ruled = sown if sown > reckoned.weather.today else None
    in_part = keeps_until is not None and keeps_until >= want.day
    return replace(unmet, soonest=soonest, keeps_until=None if in_part else keeps_until, sown=ruled)


def _keeps_until(reckoned: _Crop, at: int, day: dt.date) -> dt.date:
    """The last good day of what is sown on that one of the days, by the cuts that are ready by `day`."""
    cuttings = cuts_if_sown(reckoned.season, reckoned.weather, reckoned.crop, None, reckoned.days[at])
    ready = [number for number, cut in enumerate(cuttings.cuts) if cut.ready.likely <= day]
    return cuttings.last_day(ready[-1]) + dt.timedelta(days=keeping_days(reckoned.season, reckoned.crop))


def _sowing(reckoned: _Crop, at: int, size: Size, *, late: bool) -> tuple[Sowing, list[Coming]]:
    """The sowing of that size on that one of the days, and what it brings."""
    season, crop, day, first = reckoned.season, reckoned.crop, reckoned.days[at], reckoned.firsts[at]
    length = size.feet.to_integral_value(ROUND_CEILING)
    brings = _brings(reckoned, at, length)
    lacking = [replace(want, quantity=want.short, met=Decimal(0)) for want in size.served]
    met = lacking if late else met_by(lacking, brings)
    sowing = Sowing(
        crop=crop, day=day, seed_day=day - reckoned.in_trays, late=late,
        quantity=sum((want.quantity if late else want.met for want in met), Decimal(0)).quantize(TENTH),
        unit=reckoned.unit,
        length_ft=length, ready_low=first.ready.low, ready=first.ready.likely, ready_high=first.ready.high,
        wanted_for=tuple(For(want.day, want.customer, want.short) for want in size.served), beds=(), unplaced_ft=length,
        seed=seed_for(season, facts(season, crop), length), partly=size.partly,
    )  # fmt: skip
    return sowing, brings


def _brings(reckoned: _Crop, at: int, feet: Decimal) -> list[Coming]:
    """What so many feet put in on that one of the days bring, cut by cut."""
    season, crop = reckoned.season, reckoned.crop
    keeps = dt.timedelta(days=keeping_days(season, crop))
    cuttings = cuts_if_sown(season, reckoned.weather, crop, None, reckoned.days[at])
    lots = []
    for number, cut in enumerate(cuttings.cuts):
        amount = in_unit(season, crop, cut.yield_, cut.unit, reckoned.unit)
        if amount:
            quantity = amount.likely * feet / usual_length(season)
            lots.append(Coming(cut.ready.likely, cuttings.last_day(number) + keeps, quantity, "to be sown"))
    return lots


def _gaps(season: Season, weather: WeatherBook, basis: dict[str, str]) -> tuple[str, ...]:
    gaps = []
    if not weather.knows_days:
        gaps.append("temperatures, so a sowing late in the year looks as quick as one in spring")
    if not season.orders:
        gaps.append("orders")
    if not basis:
        gaps.append("crops: none are grown, ordered or priced yet")
    if not season.beds:
        gaps.append("beds: none are named yet")
    return tuple(gaps)


def _workings(reckoned: _Crop, found: list[Sowing], end: dt.date) -> list[str]:
    met = met_by(reckoned.wants, reckoned.there)
    short = [want for want in met if want.short > 0]
    lines = [
        f"{reckoned.crop}, by {reckoned.basis}: {len(met)} wants ahead,"
        f" {len(short)} not met by the cooler and what stands"
    ]
    return lines + [
        f"{sowing.crop} in by {said(sowing.day)}: {sowing.quantity.normalize():f} {sowing.unit} short on "
        f"{', '.join(said(want.day) for want in sowing.wanted_for)}, {sowing.length_ft} ft"
        for sowing in found
        if sowing.seed_day <= end
    ]
