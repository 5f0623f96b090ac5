"""What is wanted of a crop and not yet on its way: deliveries against the cooler and the crops that stand."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.bed_yield import in_unit
from engine.cooler import has_cooler
from engine.crops import facts
from engine.meant import meant_sowings
from engine.orders import deliveries
from engine.promises import Batch, Wanted, met
from engine.quantities import convert
from engine.state import Season
from engine.view import View
from engine.weather import WeatherBook
from engine.windows import all_windows

LOOK_AHEAD_DAYS = 180  # cuts of standing crops that are counted
LOOK_BACK_DAYS = 28  # sales of the last four weeks stand for what is wanted where there is no order
NO_COOLER_DAYS = 1  # cut produce without a cooler is for that day and the next (common practice)


@dataclass(frozen=True, slots=True)
class Want:
    """An amount of a crop wanted on a day; `met` of it is on its way."""

    day: dt.date
    crop: str
    quantity: Decimal
    unit: str
    customer: str | None
    price: Decimal | None = None
    met: Decimal = Decimal(0)

    @property
    def short(self) -> Decimal:
        return self.quantity - self.met


@dataclass(frozen=True, slots=True)
class Coming:
    """An amount that can be handed over on any day from `ready` to `last`, and where it comes from."""

    ready: dt.date
    last: dt.date
    quantity: Decimal
    source: str


def keeping_days(season: Season, crop: str) -> int:
    """Days that a picked crop stays fit to sell, counted from the day it was picked."""
    keeps = facts(season, crop).figure("keeps")
    days = int(keeps.likely) if keeps else NO_COOLER_DAYS
    return days if has_cooler(season) else min(days, NO_COOLER_DAYS)


def wanted(
    view: View, start: dt.date, end: dt.date, crop: str | None = None, customer: str | None = None
) -> list[Want]:
    """What orders still ask for within the days, both included, in order of day."""
    return [
        Want(delivery.date, delivery.crop, delivery.missing, delivery.unit, delivery.customer, delivery.price)
        for delivery in deliveries(view, start, end, crop=crop, customer=customer)
        if delivery.missing > 0
    ]


def usual_sales(view: View, crop: str) -> tuple[Decimal, str] | None:
    """What went out of the crop in a week of the last four, in the unit most used, or None if nothing did."""
    by_unit: dict[str, Decimal] = {}
    start = view.today - dt.timedelta(days=LOOK_BACK_DAYS - 1)
    for fact in view.facts(start, view.today, kinds=("sold",), crop=crop):
        quantity, unit = getattr(fact.event, "quantity", None), getattr(fact.event, "unit", None)
        if quantity is not None and unit is not None:
            by_unit[unit] = by_unit.get(unit, Decimal(0)) + quantity
    if not by_unit:
        return None
    unit, total = max(by_unit.items(), key=lambda pair: pair[1])
    return (total * 7 / LOOK_BACK_DAYS).quantize(Decimal("0.1")), unit


def coming(season: Season, weather: WeatherBook, crop: str, unit: str) -> tuple[list[Coming], list[str]]:
    """Cooler lots and the cuts to come of all that stands or is planned, in `unit`; and what could not be counted."""
    keeps = dt.timedelta(days=keeping_days(season, crop))
    found, uncounted = [], []
    for lot in season.lots:
        if lot.crop == crop and lot.left > 0:
            amount = convert(season, crop, lot.left, lot.unit, unit)
            if amount is None:
                uncounted.append(f"{lot.left} {lot.unit} in the cooler, which I cannot turn into {unit}")
            else:
                found.append(Coming(lot.date, lot.date + keeps, amount, "cooler"))
    for window in all_windows(season, weather, weather.today + dt.timedelta(days=LOOK_AHEAD_DAYS), crop):
        brings = in_unit(season, crop, window.forecast.yield_, window.forecast.unit, unit)
        if window.forecast.frosted:
            uncounted.append(f"{window.bed}, which frost usually kills first")
        elif brings is None:
            uncounted.append(f"{window.bed}, whose yield I cannot give in {unit}")
        elif window.pick_from is not None and window.pick_from <= window.gone_by:
            first = max(window.pick_from, weather.today)
            last = max(first, window.best_by) if window.last else first
            found.append(Coming(first, last + keeps, brings.likely, window.bed))
    return found + _planned(season, weather, crop, unit, keeps), uncounted


def _planned(season: Season, weather: WeatherBook, crop: str, unit: str, keeps: dt.timedelta) -> list[Coming]:
    """The cuts of sowings that are planned."""
    return [
        Coming(cut.ready.likely, meant.cuttings.last_day(number) + keeps, brings.likely, f"{meant.bed}, planned")
        for meant in meant_sowings(season, weather, crop)
        for number, cut in enumerate(meant.cuttings.cuts)
        if (brings := in_unit(season, crop, cut.yield_, cut.unit, unit)) is not None
    ]


def met_by(wants: Iterable[Want], lots: Iterable[Coming]) -> list[Want]:
    """The wants in order of day, each with what of it the lots meet; the most that can be met of all together."""
    in_order = sorted(wants, key=lambda want: want.day)
    batches = [Batch(lot.source, lot.quantity, lot.ready, lot.last) for lot in lots]
    amounts = met(batches, [Wanted(want.day, want.quantity) for want in in_order])
    return [replace(want, met=amount) for want, amount in zip(in_order, amounts, strict=True)]
