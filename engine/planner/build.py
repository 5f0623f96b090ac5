"""From the book to a problem: what each crop would bring from each sowing day, what is wanted, and the beds."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from engine.bed_yield import in_unit, unit_of, units_in_one
from engine.crops import facts, usual_length
from engine.cuttings import cuts_if_sown, first_if_sown
from engine.filling import own_crops
from engine.in_season import out_of_season
from engine.meant import Meant, beyond_meant, meant_sowings
from engine.openings import turn_over_days
from engine.planner.empty import rests, room_for
from engine.planner.limits import Bar, LeaveEmpty, Limit, bars
from engine.planner.model import Barred, Choice, Cut, Demand, Problem, Rest, Site, Stock
from engine.rotation import rest_years, resting
from engine.safety import clear_from
from engine.shortfalls import coming, keeping_days, usual_sales, wanted
from engine.sow_days import seedlings_fit
from engine.state import Bed, Season
from engine.view import View
from engine.weather import WeatherBook, weather_book
from engine.worth import price_of

LEAST_AHEAD = 84  # days of sowing that are looked at, so that the last week asked about is not filled blindly
HARVEST_AHEAD = 84  # days after the last sowing of which the orders still count
FAR_SHARE = (
    0.5  # of that, what counts less for a delivery on the last day: a later plan may still mend it; our estimate
)
SHORT_SHARE = 0.5  # of the price: what a unit short costs beside the lost sale; our estimate, `short_share` changes it
VISIT_COST = 5.0  # what a trip to a plot costs, in the farm's money; our estimate, `visit_cost` changes it
NO_SALES_BEDS = 0.5  # usual beds' first cuts that a market takes a week where no sale is on record; our estimate
BARE_PRICE = 1.0  # of a unit, where no price at all is known: then amounts count alike


@dataclass(frozen=True, slots=True)
class Built:
    """The problem with what names its numbers: the unit of each crop, and what was assumed or missing."""

    problem: Problem
    season: Season
    units: dict[str, str]
    priced: bool
    notes: tuple[str, ...]
    meant: tuple[Meant, ...]
    limits: tuple[Limit, ...]

    def date(self, day: int) -> dt.date:
        return self.problem.start + dt.timedelta(days=day)


@dataclass(slots=True)
class Ground:
    """What the builder works with, gathered once."""

    view: View
    season: Season
    weather: WeatherBook
    start: dt.date
    sow_days: tuple[int, ...]
    last_day: int
    meant: tuple[Meant, ...]
    notes: list[str]


def build(view: View, start: dt.date, end: dt.date, limits: Sequence[Limit] = ()) -> Built:
    """The problem of sowing from `start` (never before today) to `end`, looked at far enough ahead to be fair."""
    start = max(start, view.today)
    span = max((end - start).days + 1, LEAST_AHEAD)
    step = 7 if span > 35 else 3
    season = view.season()
    edges = {(day - start).days for limit in limits for day in _edges(limit)}
    days = {0, min(turn_over_days(season), span - 1), *range(0, span, step), *(edges & set(range(span)))}
    weather = weather_book(view)
    meant = meant_sowings(season, weather)
    ground = Ground(view, season, weather, start, tuple(sorted(days)), span + HARVEST_AHEAD, meant, [])
    units = _units(ground)
    families = {crop: facts(ground.season, crop).family for crop in units if rest_years(ground.season, crop) > 0}
    families = {crop: family for crop, family in families.items() if family}
    rests = {
        family: max(rest_years(ground.season, crop) for crop in families if families[crop] == family) * 365
        for family in set(families.values())
    }
    demands = tuple(demand for crop, unit in units.items() for demand in _demands(ground, crop, unit))
    problem = Problem(
        start=start,
        sow_days=ground.sow_days,
        beds=tuple(site for bed in ground.season.beds.values() if (site := _site(ground, bed, families, limits))),
        choices=tuple(choice for crop, unit in units.items() for choice in _choices(ground, crop, unit)),
        demands=demands,
        stocks=tuple(stock for crop, unit in units.items() for stock in _stocks(ground, crop, unit)),
        families=families,
        rests=rests,
        visit_cost=_setting(ground.season, "visit_cost", VISIT_COST),
        empty=_empty(ground, limits),
    )
    priced = any(price_of(ground.season, crop, None, unit) is not None for crop, unit in units.items())
    priced = priced or any(order.price is not None for order in ground.season.orders)
    notes = tuple(dict.fromkeys(ground.notes + _gaps(ground, priced)))
    return Built(problem, ground.season, units, priced, notes, meant, tuple(limits))


def _edges(limit: Limit) -> Iterator[dt.date]:
    """The last day before a limit for some days begins, and the first after it."""
    if limit.start is not None:
        yield limit.start - dt.timedelta(days=1)
    if limit.end is not None:
        yield limit.end + dt.timedelta(days=1)


def _setting(season: Season, name: str, otherwise: float) -> float:
    try:
        return float(season.settings.get(name, otherwise))
    except (TypeError, ValueError):
        return otherwise


def _units(ground: Ground) -> dict[str, str]:
    """The farm's crops with the unit that each is wanted, priced or counted in; without those of no known yield."""
    season, units = ground.season, {}
    for crop in own_crops(season):
        expected = first_if_sown(season, ground.weather, crop, None, ground.start)
        unit = unit_of(season, expected, (order.unit for order in season.orders if order.crop == crop))
        if unit:
            units[crop] = unit
        else:
            ground.notes.append(f"{crop}: left out, since what a bed of it brings is not known")
    return units


def _site(ground: Ground, bed: Bed, families: dict[str, str], limits: Sequence[Limit]) -> Site | None:
    season = ground.season
    bed, opening = beyond_meant(season, ground.weather, bed, ground.meant)
    clear = clear_from(season, bed.name, None, ground.start)
    if clear is None:
        ground.notes.append(f"{bed.name}: left out, since a waiting time of unknown length is on it")
        return None
    rested = []
    for family in sorted(set(families.values())):
        rests = [resting(season, bed, crop, opening) for crop, kin in families.items() if kin == family]
        until = max((rest.until for rest in rests if rest), default=None)
        if until and until > ground.start:
            rested.append((family, (until - ground.start).days))
    length = float(bed.length_ft or usual_length(season))
    barred = {crop: found for crop in own_crops(season) if (found := bars(season, bed.name, crop, limits))}
    never = {crop for crop, found in barred.items() if any(bar.always for bar in found)}
    return Site(
        bed.name, bed.plot, length, max(0, (opening - ground.start).days), tuple(rested),
        frozenset(own_crops(season)) - never if never else None, tuple(_barred(ground, barred)),
        max(0, (clear - ground.start).days),
    )  # fmt: skip


def _barred(ground: Ground, barred: Mapping[str, Sequence[Bar]]) -> Iterator[Barred]:
    """The days of the plan on which crops are kept out."""
    for crop, found in barred.items():
        for bar in found:
            if not bar.always and bar.end >= ground.start:
                first, last = (max(bar.start, ground.start) - ground.start).days, (bar.end - ground.start).days
                yield Barred(crop, first, last, bar.standing)


def _choices(ground: Ground, crop: str, unit: str) -> list[Choice]:
    today = ground.view.today
    days = [
        day for day in ground.sow_days if seedlings_fit(ground.season, crop, ground.start + dt.timedelta(day), today)
    ]
    return [choice for day in days for choice in _choices_on(ground, crop, unit, day)]


def _choices_on(ground: Ground, crop: str, unit: str, day: int) -> list[Choice]:
    """The ways to use a bed sown on this day: by the number of cuts, the last one pulled at once or left to stand."""
    season = ground.season
    cuttings = cuts_if_sown(season, ground.weather, crop, None, ground.start + dt.timedelta(days=day))
    if out_of_season(season, ground.weather, cuttings.cuts[0]):
        return []
    keeps, turn = keeping_days(season, crop), turn_over_days(season)
    cost = _setting(season, "sowing_cost_per_ft", 0.0)
    made, cuts = [], list[Cut]()
    for number, cut in enumerate(cuttings.cuts):
        amount = in_unit(season, crop, cut.yield_, cut.unit, unit)
        ready = (cut.ready.likely - ground.start).days
        if amount is None or ready >= ground.last_day:
            break
        per_ft = float(amount.likely / usual_length(season))
        held = Cut(ready, ready + keeps, per_ft)
        made.append(Choice(crop, day, ready + turn + 1, (*cuts, held), cost))
        stands = (cut.best_until.likely - ground.start).days
        if stands > ready + 1:
            made.append(Choice(crop, day, stands + turn, (*cuts, Cut(ready, stands + keeps, per_ft)), cost))
        waits = (cuttings.last_day(number) - ground.start).days if number + 1 < len(cuttings.cuts) else ready
        cuts.append(replace(held, last=waits + keeps))
    return made


def _demands(ground: Ground, crop: str, unit: str) -> list[Demand]:
    """Orders by delivery, and what the market takes each week beside them."""
    season, view = ground.season, ground.view
    first, last = max(ground.start, view.today), ground.start + dt.timedelta(days=ground.last_day)
    share = _setting(season, "short_share", SHORT_SHARE)
    made = []
    for want in wanted(view, first, last, crop):
        factor = units_in_one(season, crop, want.unit, unit)
        if factor is None:
            ground.notes.append(f"{crop}: orders in {want.unit} are left out, since I cannot turn that into {unit}")
            continue
        said = None if want.price is None else want.price / factor
        price = said if said is not None else price_of(season, crop, want.customer, unit)
        each = float(price) if price is not None else BARE_PRICE
        day = (want.day - ground.start).days
        made.append(
            Demand(
                crop,
                day,
                float(want.quantity * factor),
                each,
                each * share * _nearness(ground, day),
                want.customer or "an order",
            )
        )
    return made + _market(ground, crop, unit, sum(demand.amount for demand in made))


def _nearness(ground: Ground, day: int) -> float:
    return 1.0 - FAR_SHARE * day / ground.last_day


def _market(ground: Ground, crop: str, unit: str, ordered: float) -> list[Demand]:
    season = ground.season
    price = price_of(season, crop, None, unit)
    if price is None:
        return []
    weeks = ground.last_day / 7
    usual = usual_sales(ground.view, crop)
    factor = units_in_one(season, crop, usual[1], unit) if usual else None
    if usual and factor:
        amount = max(0.0, float(usual[0] * factor) - ordered / weeks)
    else:
        expected = first_if_sown(season, ground.weather, crop, None, ground.start)
        first = in_unit(season, crop, expected.yield_, expected.unit, unit)
        amount = NO_SALES_BEDS * float(first.likely) if first else 0.0
        ground.notes.append(f"{crop}: no sales on record, so a market is taken to buy half a bed's cut of it a week")
    return [Demand(crop, 7 * week + 5, amount, float(price), 0.0, "market") for week in range(int(weeks)) if amount > 0]


def _stocks(ground: Ground, crop: str, unit: str) -> list[Stock]:
    lots, uncounted = coming(ground.season, ground.weather, crop, unit)
    ground.notes += [f"{crop}: not counted are {what}" for what in uncounted]
    return [
        Stock(crop, (lot.ready - ground.start).days, (lot.last - ground.start).days, float(lot.quantity), lot.source)
        for lot in lots
    ]


def _empty(ground: Ground, limits: Sequence[Limit]) -> tuple[Rest, ...]:
    """The wishes for empty beds, as far as there are beds for them; the others are told."""
    wishes = [limit for limit in limits if isinstance(limit, LeaveEmpty)]
    beds = [(bed.name, bed.plot) for bed in ground.season.beds.values()]
    opening = {
        bed.name: (beyond_meant(ground.season, ground.weather, bed, ground.meant)[1] - ground.start).days
        for bed in (ground.season.beds.values() if wishes else ())
    }
    kept: list[Rest] = []
    for limit in wishes:
        start, end = max(0, (limit.start - ground.start).days), (limit.end - ground.start).days
        for rest in rests(limit, start, end, opening):
            room = room_for(rest, kept, beds, opening)
            if room < rest.count:
                ground.notes.append(f"{limit}: {room or 'none'} of them can be empty by then")
            kept += [replace(rest, count=room)] if room else []
    return tuple(kept)


def _gaps(ground: Ground, priced: bool) -> list[str]:
    gaps = []
    if not ground.season.beds:
        gaps.append("no beds are named yet")
    if not own_crops(ground.season):
        gaps.append("no crops are grown, ordered or priced yet")
    if not ground.season.orders:
        gaps.append("there are no orders to plan for")
    if not priced:
        gaps.append("no prices are known, so every unit of an order counts alike and no market is planned for")
    return gaps
