"""What should go into a bed: every crop that the farm grows, weighed for that bed from the day it opens.

A crop's worth there is what it likely brings: first what orders still lack at their price, the rest at the market's
price as far as the market has been taking it, over the days that it holds the bed. Crops of a family that the bed is
resting from are set aside, with the day it may come back.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.asks import Ask
from engine.bed_yield import in_unit, unit_of
from engine.crops import facts, usual_length
from engine.cuttings import Cuttings, cuts_if_sown, first_if_sown
from engine.in_season import OutOfSeason, out_of_season
from engine.meant import Meant, beyond_meant, meant_sowings
from engine.openings import turn_over_days
from engine.plain import day as said
from engine.planner.limits import bars, first_day
from engine.planner.rules import limits_of
from engine.quantities import CENT
from engine.rotation import Resting, resting
from engine.safety import clear_from
from engine.seeds import Seed, seed_for
from engine.shortfalls import Coming, keeping_days, wanted
from engine.sow_days import seedlings_fit, tray_days
from engine.state import Bed, Season
from engine.view import View
from engine.weather import weather_book
from engine.worth import Scales, weeks_of, worth

AHEAD_DAYS = 120  # orders so far ahead can be met by what is sown now
STARTERS = ("arugula", "radish", "salad mix", "salad turnip", "spinach")  # quick and sure; common practice


@dataclass(frozen=True, slots=True)
class Option:
    """One crop for the bed: in on `day`, likely ready on `ready` (between `ready_low` and `ready_high`), out by `out`.

    `for_orders` of `quantity` (of all `cuts`) is what orders lack; `money` is None without a price, `a_week` is by week
    of the bed. `clear_from` is the day a waiting time on the bed ends, where that holds up picking.
    """

    crop: str
    day: dt.date
    seed_day: dt.date
    cuts: int
    ready_low: dt.date
    ready: dt.date
    ready_high: dt.date
    out: dt.date
    quantity: Decimal | None
    unit: str | None
    for_orders: Decimal
    customers: tuple[str, ...]
    money: Decimal | None
    a_week: Decimal | None
    seed: Seed
    clear_from: dt.date | None = None


@dataclass(frozen=True, slots=True)
class BedAdvice:
    """A bed's options, best first, and the crops that it is resting from; `late` are those not ready by the asked day,
    `waiting` those that a waiting time (spray, manure) would hold up beyond their time, `barred` those that a rule of
    the grower keeps out, `off` those that are out of season by then. `planned` is what is meant for the bed already:
    the options are for after it."""

    bed: str
    length_ft: Decimal
    opens: dt.date
    growing: str | None
    options: tuple[Option, ...]
    resting: tuple[Resting, ...]
    late: tuple[str, ...]
    waiting: tuple[str, ...]
    barred: tuple[str, ...] = ()
    planned: tuple[Meant, ...] = ()
    off: tuple[OutOfSeason, ...] = ()


@dataclass(frozen=True, slots=True)
class FillBed:
    """Advice for each bed asked about; `by_money` is False where no price is known and order and speed decide."""

    today: dt.date
    by: dt.date | None
    beds: tuple[BedAdvice, ...]
    by_money: bool
    own_crops: bool
    currency: str | None
    missing: tuple[str, ...]
    workings: tuple[str, ...]


def fill_bed(view: View, ask: Ask) -> FillBed:
    """The best crops for the beds asked about, or where none is named for all that are empty."""
    season = view.season()
    wants = wanted(view, view.today, view.today + dt.timedelta(days=AHEAD_DAYS))
    scales = Scales(view, season, weather_book(view), wants)
    names = ask.beds or tuple(bed.name for bed in season.beds.values() if not bed.plantings)
    crops = own_crops(season)
    beds = []
    for name in names:
        if name in season.beds:
            advice, lots = _advice(scales, season.beds[name], crops or STARTERS, ask.by)
            beds.append(advice)
            if advice.options and advice.options[0].unit:
                best = advice.options[0]
                scales.meant.setdefault((best.crop, best.unit or ""), []).extend(lots[best.crop])
    by_money = any(option.money is not None for bed in beds for option in bed.options)
    return FillBed(
        view.today, ask.by, tuple(beds), by_money, bool(crops), season.currency,
        _missing(beds, scales, by_money), _workings(beds),
    )  # fmt: skip


def own_crops(season: Season) -> tuple[str, ...]:
    """Every crop that the farm has added, grown, been asked for or priced, in order of name."""
    named = set(season.crops) | {order.crop for order in season.orders} | {crop for crop, _ in season.prices}
    stood = {planting.crop for bed in season.beds.values() for planting in (*bed.plantings, *bed.past)}
    return tuple(sorted(named | stood | set(season.tallies)))


def _advice(
    scales: Scales, bed: Bed, crops: Iterable[str], by: dt.date | None
) -> tuple[BedAdvice, dict[str, list[Coming]]]:
    """The advice for a bed, and what each of its options would bring."""
    season = scales.season
    meant = tuple(one for one in meant_sowings(season, scales.weather) if one.bed == bed.name)
    bed, opening = beyond_meant(season, scales.weather, bed, meant)
    crops = tuple(crops)
    limits = limits_of(season)
    options, rests, late, waiting, barred, off, brings = [], [], [], [], [], [], {}
    for crop in crops:
        kept_out = bars(season, bed.name, crop, limits)
        day = first_day(kept_out, planting_day(season, crop, opening, scales.view.today))
        if day is None:
            barred.append(crop)
            continue
        rest = resting(season, bed, crop, opening)
        if rest and rest.until > day:
            rests.append(rest)
            continue
        not_now = out_of_season(season, scales.weather, first_if_sown(season, scales.weather, crop, bed.name, day))
        if not_now:
            off.append(not_now)
            continue
        made = _best_cuts(scales, bed, crop, day)
        if made is None:
            waiting.append(crop)
        elif any(bar.holds(day, made[0].out) for bar in kept_out):
            barred.append(crop)
        elif by and made[0].ready > by:
            late.append(crop)
        else:
            options.append(made[0])
            brings[crop] = made[1]
    growing = ", ".join(planting.crop for planting in bed.plantings) or None
    length = bed.length_ft or usual_length(season)
    best_first = tuple(sorted(options, key=_rank))
    advice = BedAdvice(
        bed.name,
        length,
        opening,
        growing,
        best_first,
        tuple(rests),
        tuple(late),
        tuple(waiting),
        tuple(barred),
        meant,
        tuple(off),
    )
    return advice, brings


def _rank(option: Option) -> tuple[bool, Decimal, bool, int, str]:
    """Most money a week first; without money, what orders lack and then what is soonest out of the bed."""
    weekly = option.a_week if option.a_week is not None else Decimal(0)
    return option.a_week is None, -weekly, option.for_orders <= 0, (option.out - option.day).days, option.crop


def _best_cuts(scales: Scales, bed: Bed, crop: str, day: dt.date) -> tuple[Option, list[Coming]] | None:
    """The crop taken for as many cuts as earn most a week of the bed; all usual ones where there is no price.

    None where a waiting time on the bed would outlast the crop.
    """
    cuttings = cuts_if_sown(scales.season, scales.weather, crop, bed.name, day)
    clear = clear_from(scales.season, bed.name, crop, day)
    if clear is None or clear > cuttings.cuts[-1].gone.likely:
        return None
    made = [_option(scales, bed, cuttings, count, clear) for count in range(1, len(cuttings.cuts) + 1)]
    priced = [option for option in made if option[0].a_week is not None]
    return max(priced, key=lambda option: option[0].a_week or 0) if priced else made[-1]


def _option(scales: Scales, bed: Bed, cuttings: Cuttings, count: int, clear: dt.date) -> tuple[Option, list[Coming]]:
    """The crop with its first `count` cuts, and what they bring."""
    season, first = scales.season, cuttings.cuts[0]
    known, length = facts(season, first.crop), bed.length_ft or usual_length(season)
    out = max(cuttings.out(count - 1), clear) + dt.timedelta(days=turn_over_days(season))
    option = Option(
        first.crop, first.sown, first.sown - tray_days(season, first.crop), count,
        max(first.ready.low, clear), max(first.ready.likely, clear), max(first.ready.high, clear), out,
        None, None, Decimal(0), (), None, None, seed_for(season, known, length, bed.width_in),
        clear if clear > first.ready.likely else None,
    )  # fmt: skip
    unit = unit_of(season, first, (want.unit for want in scales.wants if want.crop == first.crop))
    if unit is None:
        return option, []
    lots = _lots(season, cuttings, count, unit, clear)
    weighed = worth(scales, first.crop, unit, lots)
    weekly = None if weighed.money is None else (weighed.money / weeks_of(option.day, out)).quantize(CENT)
    return replace(
        option, quantity=weighed.quantity, unit=unit, for_orders=weighed.for_orders, customers=weighed.customers,
        money=weighed.money, a_week=weekly,
    ), lots  # fmt: skip


def _lots(season: Season, cuttings: Cuttings, count: int, unit: str, clear: dt.date) -> list[Coming]:
    keeps = dt.timedelta(days=keeping_days(season, cuttings.cuts[0].crop))
    lots = []
    for number, cut in enumerate(cuttings.cuts[:count]):
        amount = in_unit(season, cut.crop, cut.yield_, cut.unit, unit)
        if amount is not None and cut.gone.likely >= clear:
            ready = max(cut.ready.likely, clear)
            lots.append(Coming(ready, max(ready, cuttings.last_day(number)) + keeps, amount.likely, f"cut {cut.cut}"))
    return lots


def planting_day(season: Season, crop: str, opening: dt.date, today: dt.date) -> dt.date:
    """The first day from the bed's opening on which the crop can go in: at once, or when seedlings are old enough."""
    age = tray_days(season, crop)
    if not age:
        return opening
    if seedlings_fit(season, crop, opening, today):
        return opening
    started = [trays.date + age for trays in season.trays if trays.crop == crop and trays.date + age > opening]
    return max(opening, min([today + age, *started]))


def _missing(beds: list[BedAdvice], scales: Scales, by_money: bool) -> tuple[str, ...]:
    missing = []
    if not scales.season.beds:
        missing.append("beds: none are named yet")
    elif not beds:
        missing.append("an empty bed: every bed has a crop in it")
    if not by_money and any(bed.options for bed in beds):
        missing.append("prices, so I go by what orders lack and what is quickest out of the bed")
    if not scales.wants:
        missing.append("orders ahead")
    unknown = sorted({option.crop for bed in beds for option in bed.options if option.quantity is None})
    if unknown:
        missing.append("yields of " + ", ".join(unknown))
    return tuple(missing)


def _workings(beds: list[BedAdvice]) -> tuple[str, ...]:
    return tuple(
        f"{bed.bed}: {option.crop} in {said(option.day)}, ready {said(option.ready)}, out"
        f" {said(option.out)}, {_figure(option.quantity)} {option.unit or ''}, of it {_figure(option.for_orders)}"
        f" for orders, worth {_figure(option.money)}, {_figure(option.a_week)} a week of the bed"
        for bed in beds
        for option in bed.options
    )


def _figure(number: Decimal | None) -> str:
    return "not known" if number is None else f"{number.quantize(Decimal('0.1')).normalize():f}"
