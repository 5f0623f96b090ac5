"""Doubts about an event, as values: what cannot be true as it stands, or hardly, with the figures that say so.

No sentence is made here. `doubts` looks at the event and at the farm as it was that day; the order of the doubts is the
order to raise them in, since a bed that is not there makes every other doubt about it idle.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from engine.crops import PICKED, SAID_AS, STANDARD_BED_FT, doubt, facts, usual_length
from engine.events import (
    Cleared,
    CoolerReading,
    CropAdded,
    Discarded,
    Event,
    Germinated,
    Given,
    Harvested,
    Lost,
    OrderCancelled,
    OrderChanged,
    Ordered,
    PlotAdded,
    Priced,
    Returned,
    Setting,
    Sighted,
    Sold,
    Sown,
    Sprayed,
    Took,
    Transplanted,
    Watered,
    Weather,
    Worked,
)
from engine.lot_codes import entry_of
from engine.normals import impossible_months
from engine.quantities import convert
from engine.safety import waits_on
from engine.season import WANTED
from engine.season_wants import every_days, order_meant
from engine.state import Bed, Season
from engine.weather import rain_mm

GENEROUS = Decimal(4)  # lb from one bed foot in one cut, for crops without a figure: more than greens or roots give
FAR_MORE = 3  # times the highest figure; a very good year is 1.5 times, a slip of a key ten times an ordinary one
OVERSOLD = Decimal("1.25")  # more of a crop going out than this share of what the cooler holds is worth a question
LONG_AGO_DAYS = 300
MOST_CUTS = 12  # of one sowing of greens or herbs: common practice, from memory
MONTHLY = {"monthly_highs": "high", "monthly_lows": "low"}
HOTTEST_C, COLDEST_C = Decimal("56.7"), Decimal("-67.8")  # records of the World Meteorological Organization
COOLER_C = (Decimal(-5), Decimal(40))  # frozen solid, or left open on a summer day: common practice
RAINIEST_MM = Decimal(1825)  # the most rain on record in one day, Foc-Foc 1966: World Meteorological Organization
LONG_WATERING = Decimal(12 * 60)  # minutes; drip on sandy soil may run a few hours: common practice
DENSEST = Decimal(
    40
)  # plants set to one bed foot; onion sets four inches apart in five rows are about 15: common practice
DAY_HOURS = Decimal(24)  # for one person; a crew may say its hours as one sum
CREW = 30
DEAR = Decimal(500)  # for one unit that holds many, as a crate does: common practice, from memory
DEAR_ALONE = Decimal(100)  # ... for one that does not; the finest salad costs less by the pound
ALONE = frozenset(("lb", "oz", "kg", "g", "bunch", "head", "each"))
LONG_WAIT_DAYS, LONG_WAIT_HOURS = 365, 24 * 30
F_OFFSET, F_SCALE = Decimal(32), Decimal(5) / 9


@dataclass(frozen=True, slots=True)
class Doubt:
    """`about` is the field to ask after (a word of the record contract), `code` what is wrong, `figures` the proof.

    `choices` are the values that would do, where they can be told; with `firm` the event cannot be true, else it is
    only hard to believe and a yes settles it.
    """

    about: str
    code: str
    figures: tuple[tuple[str, Any], ...] = ()
    choices: tuple[str, ...] = ()
    firm: bool = False

    def figure(self, name: str) -> Any:
        """A figure by its name, None if it is not among them."""
        return dict(self.figures).get(name)


Doubts = Iterator[Doubt]


def doubts(
    event: Event, season: Season, today: dt.date | None = None, now: Season | None = None
) -> tuple[Doubt, ...]:  # fmt: skip
    """Everything doubtful about an event that is not written yet; `season` is the farm at the end of the event's day.

    `today` is the day it is (default: the season's own day); nothing can have been done after it. `now` is the farm
    today, for what is told late.
    """
    check = _CHECKS.get(type(event))
    return (
        *_days(event, today or season.day),
        *_amounts(event),
        *_beds(event, season),
        *(check(event, season) if check else ()),
        *(_ended_since(event, now) if now and isinstance(event, Sown | Transplanted) else ()),
    )


def _doubt(about: str, code: str, *, choices: tuple[str, ...] = (), firm: bool = False, **figures: Any) -> Doubt:
    return Doubt(about, code, tuple(figures.items()), choices, firm)


def _days(event: Event, today: dt.date) -> Doubts:
    """Nothing was done in days to come; what is told after most of a year is rather a day still to come, missaid."""
    due = {*WANTED, "priced", "setting", "plot_added", "customer_added", "crop_added"}
    if event.kind not in due and event.date > today:
        yield _doubt("date", "in_the_future", firm=True, date=event.date, today=today)
    if event.kind not in due and (today - event.date).days > LONG_AGO_DAYS:
        yield _doubt("date", "long_ago", date=event.date, today=today)
    if event.kind in WANTED and abs((event.date - today).days) > 400:
        yield _doubt("date", "far_away", date=event.date, today=today)


POSITIVE = (
    "quantity", "trays", "cells", "hours", "minutes", "length_ft", "width_in", "days", "cuts", "yield_per_ft", "cut",
)  # fmt: skip
NOT_NEGATIVE = ("price", "amount", "harvest_wait_days", "entry_wait_hours", "rain", "percent")


def _amounts(event: Event) -> Doubts:
    """No amount is nothing or less; a change of an order may make it nothing."""
    for name in POSITIVE:
        value = getattr(event, name, None)
        if value is not None and value <= 0 and not isinstance(event, OrderChanged):
            yield _doubt(_about(name), "not_positive", firm=True, field=name, value=value)
    for name in NOT_NEGATIVE:
        value = getattr(event, name, None)
        if value is not None and value < 0:
            yield _doubt(_about(name), "negative", firm=True, field=name, value=value)
    percent = getattr(event, "percent", None)
    if percent is not None and percent > 100:
        yield _doubt("quantity", "over_100_percent", firm=True, percent=percent)
    price = getattr(event, "price", None)
    most = DEAR_ALONE if getattr(event, "unit", None) in ALONE else DEAR
    if price is not None and price > most:
        yield _doubt("amount", "price_absurd", price=price, most=most)


def _about(name: str) -> str:
    return "amount" if name in ("price", "amount") else "quantity"


def _beds(event: Event, season: Season) -> Doubts:
    """Every bed is one of the farm's."""
    if isinstance(event, PlotAdded):
        return
    for name in getattr(event, "beds", None) or ():
        if name not in season.beds:
            number = name.rpartition(" ")[2]
            alike = tuple(bed for bed in season.beds if bed.rpartition(" ")[2] == number)
            yield _doubt("bed", "bed_unknown", choices=alike, firm=True, bed=name)


def _known_beds(event: Any, season: Season) -> list[Bed]:
    return [season.beds[name] for name in event.beds if name in season.beds]


def _in_the_beds(event: Harvested | Germinated | Lost | Sighted | Cleared, season: Season) -> Doubts:
    """The crop stands in each of the beds, or some crop does where none was named."""
    for bed in _known_beds(event, season):
        crops = tuple(dict.fromkeys(planting.crop for planting in bed.plantings))
        elsewhere = _beds_with(season, event.crop)
        if not crops:
            yield _doubt("bed", "bed_empty", choices=elsewhere, bed=bed.name, crop=event.crop)
        elif event.crop is not None and event.crop not in crops:
            yield _doubt("crop", "crop_not_in_bed", choices=crops, bed=bed.name, crop=event.crop, beds=elsewhere)


def _beds_with(season: Season, crop: str | None) -> tuple[str, ...]:
    return tuple(one.bed for one in season.plantings() if one.crop == crop)


def _planting(event: Sown | Transplanted, season: Season) -> Doubts:
    feet = sum((bed.length_ft or STANDARD_BED_FT for bed in _known_beds(event, season)), Decimal(0))
    if isinstance(event, Transplanted) and event.quantity is not None and feet and event.quantity > DENSEST * feet:
        yield _doubt("quantity", "far_more_than_a_bed_holds", firm=True, crop=event.crop, quantity=event.quantity,
                     most=DENSEST * feet, beds=event.beds)  # fmt: skip
    for bed in _known_beds(event, season):
        standing = [one for one in bed.plantings if one.sown < event.date or one.crop == event.crop]
        if standing:
            crops = tuple(dict.fromkeys(one.crop for one in standing))
            yield _doubt("confirm", "bed_planted", bed=bed.name, crops=crops, since=standing[0].sown)


def _ended_since(event: Sown | Transplanted, now: Season) -> Doubts:
    """A sowing told late, in a bed that was opened or planted again since: as it stands it would be over already."""
    for name in event.beds:
        bed = now.beds.get(name)
        if bed is None:
            continue
        opened = [day for day in (bed.open_since, bed.prepared_since) if day is not None and day > event.date]
        again = [one.sown for one in (*bed.past, *bed.plantings) if one.sown > event.date]
        if opened or again:
            yield _doubt("date", "over_since", bed=name, crop=event.crop, since=min([*opened, *again]))


def _harvested(event: Harvested, season: Season) -> Doubts:
    yield from _in_the_beds(event, season)
    for bed in _known_beds(event, season):
        for planting in bed.plantings:
            if planting.crop == event.crop and planting.sown == event.date:
                yield _doubt("date", "picked_when_sown", bed=bed.name, crop=event.crop, sown=planting.sown)
        for wait in waits_on(season, bed.name, event.crop, event.date):
            yield _doubt("confirm", "waiting_time", bed=bed.name, reason=wait.kind, material=wait.material,
                         since=wait.since, until=wait.until, hour=wait.hour, why=wait.why)  # fmt: skip
    yield from _yield(event, season)


def _yield(event: Harvested, season: Season) -> Doubts:
    """Far more than beds of that length can bring in one cut, by the highest figure known."""
    if event.quantity is None or event.unit is None:
        return
    feet = sum((bed.length_ft or STANDARD_BED_FT for bed in _known_beds(event, season)), Decimal(0))
    foot = _most_per_foot(season, event.crop, event.unit)
    if foot is not None and feet and event.quantity > FAR_MORE * foot * feet:
        yield _doubt("quantity", "far_more_than_a_bed_yields", crop=event.crop, quantity=event.quantity,
                     unit=event.unit, most=(foot * feet).quantize(Decimal("0.1")), beds=event.beds)  # fmt: skip


def _most_per_foot(season: Season, crop: str, unit: str) -> Decimal | None:
    """The most that one bed foot gives, in the unit: by the published or the grower's figure, else a generous one."""
    known = facts(season, crop)
    amounts = [
        amount for _, figure in known.yields
        if (amount := convert(season, crop, Decimal(str(figure.high)), figure.unit, unit)) is not None
    ]  # fmt: skip
    if amounts:
        return max(amounts)
    return convert(season, crop, GENEROUS, "lb", unit)


def _went_out(event: Sold | Given | Discarded, season: Season) -> Doubts:
    """Far more than the cooler holds, by the book; nothing is said where the units do not compare."""
    held = [
        convert(season, lot.crop, lot.left, lot.unit, event.unit) for lot in season.lots if lot.crop == event.crop
    ]  # fmt: skip
    there = sum((amount for amount in held if amount is not None), Decimal(0))
    if None not in held and event.quantity > OVERSOLD * there:
        yield _doubt("confirm", "more_than_was_picked", crop=event.crop, quantity=event.quantity, unit=event.unit,
                     there=there.normalize() if there else Decimal(0))  # fmt: skip
    if isinstance(event, Sold):
        yield from _lot(event, season)
        yield from _customer(event, season)


def _lot(event: Sold, season: Season) -> Doubts:
    """The lot that was said is one of that crop, and holds what was sold of it."""
    if event.lot is None:
        return
    entry = entry_of(event.lot)
    lot = next((lot for lot in season.lots if lot.entry == entry and lot.crop == event.crop), None)
    there = convert(season, lot.crop, lot.left, lot.unit, event.unit) if lot is not None else Decimal(0)
    if there is not None and there < event.quantity:
        yield _doubt("confirm", "lot_holds_less", crop=event.crop, lot=event.lot, quantity=event.quantity,
                     unit=event.unit, there=there.normalize() if there else Decimal(0))  # fmt: skip


def _customer(event: Sold | Returned | Took | Ordered | Priced, season: Season) -> Doubts:
    if event.customer is not None and event.customer not in season.customers:
        yield _doubt("customer", "customer_unknown", choices=tuple(season.customers), customer=event.customer)


def _ordered(event: Ordered, season: Season) -> Doubts:
    yield from _customer(event, season)
    if event.repeats is not None and every_days(event.repeats) is None:
        yield _doubt("date", "repeats_unclear", firm=True, repeats=event.repeats)
    if event.until is not None and event.until < event.date:
        yield _doubt("date", "ends_before_it_starts", firm=True, date=event.date, until=event.until)


def _order(event: OrderChanged | OrderCancelled, season: Season) -> Doubts:
    """There is an order to change."""
    if order_meant(season, event) is None:
        others = tuple(dict.fromkeys(one.customer for one in season.orders if one.crop == event.crop and one.customer))
        yield _doubt("customer", "no_such_order", choices=others, firm=True, crop=event.crop, customer=event.customer,
                     date=event.date)  # fmt: skip
    if event.repeats is not None and every_days(event.repeats) is None:
        yield _doubt("date", "repeats_unclear", firm=True, repeats=event.repeats)


def _sprayed(event: Sprayed, season: Season) -> Doubts:
    """A wait longer than any label's is a slip; the figure itself is the label's, never ours."""
    for value, most, field in (
        (event.harvest_wait_days, LONG_WAIT_DAYS, "harvest_wait_days"),
        (event.entry_wait_hours, LONG_WAIT_HOURS, "entry_wait_hours"),
    ):
        if value is not None and value > most:
            yield _doubt("quantity", "wait_absurd", field=field, value=value, most=most)


def _watered(event: Watered, season: Season) -> Doubts:
    """A bed that is watered for half a day or more is a slip of the unit."""
    if event.minutes is not None and event.minutes > LONG_WATERING:
        yield _doubt("quantity", "watering_absurd", minutes=event.minutes, most=LONG_WATERING)


def _worked(event: Worked, season: Season) -> Doubts:
    most = DAY_HOURS if event.who else DAY_HOURS * CREW
    if event.hours > most:
        yield _doubt("amount", "hours_absurd", firm=event.who is not None, hours=event.hours, most=most)


def celsius(value: Decimal, unit: str | None) -> Decimal:
    """A temperature in degrees Celsius."""
    return (value - F_OFFSET) * F_SCALE if unit == "F" else value


def _weather(event: Weather, season: Season) -> Doubts:
    for field in ("high", "low"):
        value = getattr(event, field)
        if value is not None and not COLDEST_C <= celsius(value, event.unit) <= HOTTEST_C:
            yield _doubt("quantity", "temperature_impossible", firm=True, field=field, value=value, unit=event.unit)
    if event.high is not None and event.low is not None and event.high < event.low:
        yield _doubt("quantity", "high_below_low", firm=True, high=event.high, low=event.low)
    if rain_mm(event) > RAINIEST_MM:
        yield _doubt("quantity", "rain_impossible", firm=True, rain=event.rain, unit=event.rain_unit)


def _cooler(event: CoolerReading, season: Season) -> Doubts:
    coldest, hottest = COOLER_C
    if not coldest <= celsius(event.temperature, event.unit) <= hottest:
        yield _doubt("quantity", "temperature_impossible", temperature=event.temperature, unit=event.unit)


def _figures(event: Setting | CropAdded, season: Season) -> Doubts:
    """A crop's figure that nobody can mean, or a yield far above what such a crop brings; averages that no year has."""
    if isinstance(event, Setting) and event.name in MONTHLY:
        yield from _monthly(event.name, event.value, season)
    feet = {"yield_per_ft": Decimal(1), "yield_per_bed": usual_length(season)}
    for name, value, unit in _said_of_crop(event):
        reason = doubt(name, value) or _too_many_cuts(name, value, event.crop, season)
        most = _most_per_foot(season, event.crop or "", unit) if name in feet else None
        if reason:
            yield _doubt("quantity", "figure_impossible", firm=True, field=name, crop=event.crop, reason=reason)
        elif most is not None and Decimal(str(value)) > FAR_MORE * most * feet[name]:
            yield _doubt("quantity", "yield_absurd", field=name, crop=event.crop, value=Decimal(str(value)), unit=unit,
                         most=(most * feet[name]).quantize(Decimal("0.1")))  # fmt: skip


def _too_many_cuts(name: str, value: Any, crop: str | None, season: Season) -> str | None:
    """Why so many cuts cannot be meant of a crop that is cut rather than picked over; None where they can."""
    if name != "cuts" or not crop or facts(season, crop).habit == PICKED or Decimal(str(value)) <= MOST_CUTS:
        return None
    return f"no {crop} stands for {value} cuts, {MOST_CUTS} at most"


def _monthly(name: str, said: list[Any], season: Season) -> Doubts:
    """Averages that are not twelve, a month beyond any on record, a month whose low is above its high."""
    side, unit = MONTHLY[name], season.settings.get("temperature_unit")
    if len(said) != 12:
        yield _doubt("quantity", "not_twelve_months", firm=True, field=side, count=len(said))
    for value in map(Decimal, said):
        if unit and not COLDEST_C <= celsius(value, unit) <= HOTTEST_C:
            yield _doubt("quantity", "temperature_impossible", firm=True, field=side, value=value, unit=unit)
    for month in impossible_months({**season.settings, name: said})[:1]:
        yield _doubt("quantity", "month_low_above_high", month=month)


def _said_of_crop(event: Setting | CropAdded) -> list[tuple[str, Any, str]]:
    """The figures that are said of a crop: name, value, and the unit of a yield."""
    if isinstance(event, CropAdded):
        said = [(name, getattr(event, name)) for name in ("days", "cuts", "yield_per_ft")]
        return [(name, value, event.yield_unit or "lb") for name, value in said if value is not None]
    if event.crop is None or isinstance(event.value, dict):  # what a tote weighs is no figure of the crop
        return []
    value, unit = event.value if isinstance(event.value, list | tuple) else (event.value, "lb")
    return [(SAID_AS.get(event.name, event.name), value, unit)]


_CHECKS: dict[type[Event], Callable[[Any, Season], Doubts]] = {
    Sown: _planting, Transplanted: _planting, Germinated: _in_the_beds, Harvested: _harvested, Lost: _in_the_beds,
    Sighted: lambda event, season: _in_the_beds(event, season) if event.crop else iter(()),
    Cleared: lambda event, season: _in_the_beds(event, season) if event.crop else iter(()),
    Sold: _went_out, Given: _went_out, Discarded: _went_out, Returned: _customer, Took: _customer, Priced: _customer,
    Ordered: _ordered, OrderChanged: _order, OrderCancelled: _order, Sprayed: _sprayed, Worked: _worked,
    Watered: _watered, Weather: _weather, CoolerReading: _cooler, Setting: _figures, CropAdded: _figures,
}  # fmt: skip
