"""What to sow to keep up: what is wanted and not on its way, taken back to the last days on which it can be sown.

Sowings are made as late as they can be and as few as that allows: the most pressing shortage sets a sowing on its last
day, and every later shortage that the same cut would still be good for is sown with it (the fewest points that stab
all stretches). Further cuts are counted on before the next sowing is set.
"""

from __future__ import annotations

import bisect
import datetime as dt
from collections import defaultdict
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

from engine.asks import Ask
from engine.bed_yield import in_unit
from engine.crops import PICKED, facts, usual_length
from engine.cuttings import Cuttings, cuts_if_sown, first_if_sown
from engine.filling import own_crops
from engine.growth import Forecast
from engine.meant import Meant, meant_sowings
from engine.placing import For, Sowing, Unmet, placed
from engine.plain import day as said
from engine.planner.limits import lets_in
from engine.planner.rules import limits_of
from engine.quantities import convert
from engine.seeds import seed_for
from engine.shortfalls import Coming, Want, coming, keeping_days, met_by, usual_sales, wanted
from engine.sow_days import tray_days
from engine.state import Season
from engine.view import View
from engine.weather import WeatherBook, weather_book

SPAN_DAYS = 7  # looked at when no days were asked about
FURTHEST_DAYS = 150  # wants beyond that are for later answers, save of the slowest crops
MOST_SOWINGS = 40  # of one crop in one answer
ORDERS, SALES, STANDING = "orders", "what sold in the last four weeks", "what stands now"


@dataclass(frozen=True, slots=True)
class ToSow:
    """Sowings due by the last day asked about, soonest first; `basis` says for each crop what it was reckoned by.

    `planned` are those that are planned for these days already: they are counted on, and come on top of `sowings`.

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


@dataclass(frozen=True, slots=True)
class _Crop:
    """What one crop's reckoning looks at. `days` are the days it can go in, `firsts` the first cut of each."""

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


def to_sow(view: View, ask: Ask) -> ToSow:
    """What to sow within the days asked about (default the coming week) so that nothing that is wanted runs short."""
    start, end = ask.days(view.today, SPAN_DAYS)
    season, weather = view.season(), weather_book(view)
    due: list[Sowing] = []
    unmet: list[Unmet] = []
    next_due: dict[str, dt.date | None] = {}
    basis, missing, workings = {}, [], []
    ordered = _ordered(view, ask)
    for crop in (ask.crop,) if ask.crop else own_crops(season):
        wants, basis[crop] = _wants(view, season, weather, crop, ask, tuple(ordered[crop]))
        reckoned = _reckoned(season, weather, crop, wants, basis[crop])
        if reckoned is None:
            missing += _why_not(season, crop, wants, ask)
            continue
        found, short = _sowings(reckoned, end)
        due += [sowing for sowing in found if sowing.seed_day <= end]
        unmet += short
        next_due[crop] = min((sowing.seed_day for sowing in found if sowing.seed_day > end), default=None)
        workings += _workings(reckoned, found, end)
    beds = placed(season, weather, sorted(due, key=lambda sowing: (sowing.seed_day, sowing.crop)))
    return ToSow(
        start, end, ask.crop, ask.customer, beds, tuple(unmet), next_due, basis,
        (*missing, *_gaps(season, basis)), tuple(workings),
        tuple(one for one in meant_sowings(season, weather, ask.crop) if one.day <= end),
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


def _ordered(view: View, ask: Ask) -> defaultdict[str, list[Want]]:
    """What orders want of each crop."""
    by_crop: defaultdict[str, list[Want]] = defaultdict(list)
    for want in wanted(view, view.today, view.today + dt.timedelta(days=FURTHEST_DAYS), ask.crop, ask.customer):
        by_crop[want.crop].append(want)
    return by_crop


def _wants(
    view: View, season: Season, weather: WeatherBook, crop: str, ask: Ask, ordered: tuple[Want, ...]
) -> tuple[tuple[Want, ...], str]:
    """What is wanted of the crop: by orders, else by what sold lately, else by what stands; and which it was."""
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


def _reckoned(season: Season, weather: WeatherBook, crop: str, wants: tuple[Want, ...], basis: str) -> _Crop | None:
    """The reckoning of a crop in the unit that it is wanted in, or None where its yield is not known in that."""
    if not wants:
        return None
    unit, in_trays = wants[0].unit, tray_days(season, crop)
    soonest, last = weather.today + in_trays, max(want.day for want in wants)
    days = tuple(soonest + dt.timedelta(days=away) for away in range(max(1, (last - soonest).days + 1)))
    firsts = [first_if_sown(season, weather, crop, None, days[0])]
    while len(firsts) < len(days) and firsts[-1].ready.likely <= last:
        firsts.append(first_if_sown(season, weather, crop, None, days[len(firsts)]))
    lets = lets_in(season, crop, limits_of(season))
    left = [(day, first) for day, first in zip(days, firsts, strict=False) if lets(day)]
    brings = in_unit(season, crop, firsts[0].yield_, firsts[0].unit, unit)
    if brings is None or brings.likely <= 0 or not left:
        return None
    changed = [(want, convert(season, crop, want.quantity, want.unit, unit)) for want in wants]
    counted = tuple(replace(want, quantity=amount, unit=unit) for want, amount in changed if amount)
    there, days = tuple(coming(season, weather, crop, unit)[0]), tuple(day for day, _ in left)
    return _Crop(season, weather, crop, unit, basis, counted, there, days, tuple(first for _, first in left), in_trays)


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
        found = _sowing_for(reckoned, short)
        if found is None:
            unmet += [_unmet(reckoned, want) for want in short if want.day == short[0].day]
        else:
            made.append(found[0])
            lots += found[1]
        if found is None or found[0].late:
            given_up.add(short[0].day)
    return made, unmet


def _sowing_for(reckoned: _Crop, short: list[Want]) -> tuple[Sowing, list[Coming]] | None:
    """The sowing that the first shortage sets and what it brings, or None where none would be there on its day.

    What stands may also be followed after a gap.
    """
    at = _last_day_for(reckoned, short[0].day)
    if at is None:
        return _sowing(reckoned, 0, short, late=True) if reckoned.basis == STANDING else None
    sowing, brings = _sowing(reckoned, at, short, late=False)
    serves = any(lot.ready <= short[0].day <= lot.last and lot.quantity > 0 for lot in brings)
    return (sowing, brings) if serves else None


def _last_day_for(reckoned: _Crop, day: dt.date) -> int | None:
    """Which of the days is the last to go in and be ready on `day`; None if even the first is too late."""
    at = bisect.bisect_right(reckoned.firsts, day, key=lambda first: first.ready.likely) - 1
    return at if at >= 0 else None


def _unmet(reckoned: _Crop, want: Want) -> Unmet:
    at = _last_day_for(reckoned, want.day)
    keeps_until = None if at is None else _keeps_until(reckoned, at, want.day)
    soonest, sown = reckoned.firsts[0].ready.likely, reckoned.days[0] - reckoned.in_trays
    ruled = sown if sown > reckoned.weather.today else None
    return Unmet(want.crop, want.day, want.customer, want.short, reckoned.unit, soonest, keeps_until, ruled)


def _keeps_until(reckoned: _Crop, at: int, day: dt.date) -> dt.date:
    """The last good day of what is sown on that one of the days, by the cuts that are ready by `day`."""
    cuttings = cuts_if_sown(reckoned.season, reckoned.weather, reckoned.crop, None, reckoned.days[at])
    ready = [number for number, cut in enumerate(cuttings.cuts) if cut.ready.likely <= day]
    return cuttings.last_day(ready[-1]) + dt.timedelta(days=keeping_days(reckoned.season, reckoned.crop))


def _sowing(reckoned: _Crop, at: int, short: list[Want], *, late: bool) -> tuple[Sowing, list[Coming]]:
    """The sowing that the first shortage sets, with the later ones that its first cut also serves; what it brings."""
    season, crop, day, first = reckoned.season, reckoned.crop, reckoned.days[at], reckoned.firsts[at]
    cuttings = cuts_if_sown(season, reckoned.weather, crop, None, day)
    good_until = cuttings.last_day(0) + dt.timedelta(days=keeping_days(season, crop))
    served = [want for want in short if first.ready.likely <= want.day <= good_until] or short[:1]
    amount = sum((want.short for want in served), Decimal(0))
    brings = in_unit(season, crop, first.yield_, first.unit, reckoned.unit)
    assert brings is not None  # checked when the crop's reckoning was begun
    usual = usual_length(season)
    length = (amount * usual / brings.likely).to_integral_value(ROUND_CEILING)
    sowing = Sowing(
        crop=crop, day=day, seed_day=day - reckoned.in_trays, late=late, quantity=amount, unit=reckoned.unit,
        length_ft=length, ready_low=first.ready.low, ready=first.ready.likely, ready_high=first.ready.high,
        wanted_for=tuple(For(want.day, want.customer, want.short) for want in served), beds=(), unplaced_ft=length,
        seed=seed_for(season, facts(season, crop), length),
    )  # fmt: skip
    return sowing, _brings(reckoned, cuttings, length / usual)


def _brings(reckoned: _Crop, cuttings: Cuttings, beds: Decimal) -> list[Coming]:
    keeps = dt.timedelta(days=keeping_days(reckoned.season, reckoned.crop))
    lots = []
    for number, cut in enumerate(cuttings.cuts):
        amount = in_unit(reckoned.season, reckoned.crop, cut.yield_, cut.unit, reckoned.unit)
        if amount:
            last = cuttings.last_day(number) + keeps
            lots.append(Coming(cut.ready.likely, last, amount.likely * beds, "to be sown"))
    return lots


def _gaps(season: Season, basis: dict[str, str]) -> tuple[str, ...]:
    gaps = []
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
