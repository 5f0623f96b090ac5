"""What to pick, take out and hold, leave, or give up, for the days asked about; and whether to wait for another cut."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.asks import Ask
from engine.cooler import has_cooler
from engine.in_hours import ForOrder as ForOrder
from engine.in_hours import InHours, Picking, for_order, in_hours, pickings
from engine.picking import PickPlan, pick_plan
from engine.plain import day as said
from engine.recut import CutAgain as CutAgain
from engine.recut import cut_again as cut_again
from engine.safety import animal_signs
from engine.stock import CropStock, Stock, crop_stock, stock
from engine.view import View
from engine.windows import FieldWindow

PLAN_DAYS = dt.timedelta(days=10)  # deliveries so far after the days asked about are planned for


@dataclass(frozen=True, slots=True)
class Pick:
    """One bed to pick on `day`.

    `why` is order (for deliveries of that day), hold (the window closes before the delivery, or its own day has no
    hours left: take out and keep cool) or closing (the window closes and nothing wants it yet). `keeps_until` is its
    last good day after that picking. `past_best` says that it is picked after its best days for want of anything
    better. `hours` are what it takes, where hours are limited and the pace is known.
    """

    crop: str
    bed: str
    plot: str
    cut: int
    day: dt.date
    quantity: Decimal
    unit: str
    why: str
    orders: tuple[ForOrder, ...]
    best_until: dt.date
    keeps_until: dt.date
    past_best: bool
    hours: Decimal | None = None


@dataclass(frozen=True, slots=True)
class FromCooler:
    """A delivery in the days asked about that is served from a lot."""

    crop: str
    date: dt.date
    customer: str | None
    quantity: Decimal
    unit: str
    picked: dt.date
    good_until: dt.date


@dataclass(frozen=True, slots=True)
class Left:
    """A bed not picked now: `why` is later (ready, but better left), waiting (waiting time) or gone (too late)."""

    crop: str
    bed: str
    cut: int
    quantity: Decimal
    unit: str
    why: str
    ready: dt.date
    best_until: dt.date
    gone: dt.date
    until: dt.date | None


@dataclass(frozen=True, slots=True)
class Short:
    """A delivery that the likely supply does not meet, and what is missing."""

    crop: str
    date: dt.date
    customer: str | None
    quantity: Decimal
    unit: str


@dataclass(frozen=True, slots=True)
class ToHarvest:
    """The picking of the days asked about, and what the plan for the ten days after rests on."""

    start: dt.date
    end: dt.date
    picks: tuple[Pick, ...]
    from_cooler: tuple[FromCooler, ...]
    left: tuple[Left, ...]
    short: tuple[Short, ...]
    cooler: bool
    notes: tuple[str, ...]
    workings: tuple[str, ...]
    hours: InHours | None = None


def to_harvest(view: View, ask: Ask) -> ToHarvest:
    """What to pick on the days asked about (default today): most delivered first, then least spoiled, then freshest.

    Where hours for picking are limited, what fits into them, the most urgent first, and what does not.
    """
    start, end = ask.days(view.today)
    notes = ("that day is past; this is for today",) if end < view.today else ()
    start, end = max(start, view.today), max(end, view.today)
    everything = stock(view, end + PLAN_DAYS, ask.crop)
    crops = [crop_stock(everything, name) for name in everything.crops()]
    plans = [pick_plan(everything, crop, end + PLAN_DAYS) for crop in crops]
    meant = [
        one for crop, plan in zip(crops, plans, strict=True) for one in pickings(everything, crop, plan, start, end)
    ]
    limited = in_hours(view, everything, meant, start, end)
    picks = _picks(everything, limited.pickings, start, end)
    no_time = limited.hours.left if limited.hours else ()
    told = {(one.crop, one.bed, one.cut) for one in picks} | {(one.crop, one.bed, one.cut) for one in no_time}
    cool, left, short, uncounted = list[FromCooler](), list[Left](), list[Short](), list[str]()
    for crop, plan in zip(crops, plans, strict=True):
        cool += _from_cooler(crop, plan, start, end)
        left += _left(everything, crop, told, start, end)
        short += [_short(crop, delivery.date, delivery.customer, missing) for delivery, missing in plan.short]
        uncounted += [f"{crop.crop} not counted: {what} (say what one weighs)" for what in crop.uncounted]
    if ask.plot or ask.beds:
        named = {
            bed.name for bed in everything.season.beds.values() if bed.name in (ask.beds or ()) or bed.plot == ask.plot
        }
        picks = [pick for pick in picks if pick.bed in named]
        left = [one for one in left if one.bed in named]
        no_time = tuple(one for one in no_time if one.bed in named)
    return ToHarvest(
        start, end, tuple(sorted(picks, key=_order)), tuple(cool), tuple(left), tuple(short),
        has_cooler(everything.season),
        (*notes, *_signs(everything, picks), *uncounted, *limited.notes, *everything.book.notes),
        (*_workings(everything, {pick.bed for pick in picks} | {one.bed for one in left}), *limited.workings),
        replace(limited.hours, left=no_time) if limited.hours else None,
    )  # fmt: skip


def _signs(everything: Stock, picks: list[Pick]) -> tuple[str, ...]:
    """What was seen of animals in the beds that are to be picked: for the people who pick them."""
    beds = {(pick.bed, pick.crop) for pick in picks}
    return tuple(
        f"{planting.bed}: {sign} seen there; leave what is soiled and what stands around it"
        for planting in everything.season.plantings()
        if (planting.bed, planting.crop) in beds
        for sign in animal_signs(planting)
    )


def _order(pick: Pick) -> tuple[dt.date, int, str, str]:
    return pick.day, ("order", "hold", "closing").index(pick.why), pick.crop, pick.bed


def _picks(everything: Stock, meant: Sequence[Picking], start: dt.date, end: dt.date) -> list[Pick]:
    """The pickings within the days asked about, deliveries of the same bed and day together."""
    together: dict[tuple[str, str, int, dt.date, str], list[Picking]] = {}
    for one in meant:
        if start <= one.day <= end:
            key = (one.crop, one.window.bed, one.window.forecast.cut, one.day, one.why)
            together.setdefault(key, []).append(one)
    return [_pick(everything, ones) for ones in together.values()]


def _pick(everything: Stock, ones: list[Picking]) -> Pick:
    first = ones[0]
    window, day = first.window, first.day
    keeps = everything.keeps(first.crop, day, window.bed)[1]
    known = [one.hours for one in ones if one.hours is not None]
    return Pick(
        first.crop, window.bed, window.plot, window.forecast.cut, day, sum((one.quantity for one in ones), Decimal(0)),
        first.unit, first.why, tuple(for_order(one) for one in ones if one.delivery), window.best_by,
        day + dt.timedelta(days=keeps), day > window.best_by, sum(known, Decimal(0)) if known else None,
    )  # fmt: skip


def _from_cooler(crop: CropStock, plan: PickPlan, start: dt.date, end: dt.date) -> list[FromCooler]:
    return [
        FromCooler(
            crop.crop, use.delivery.date, use.delivery.customer, use.quantity, crop.unit, use.lot.date,
            use.lot.good_until,
        )
        for use in plan.uses
        if use.lot and start <= use.delivery.date <= end
    ]  # fmt: skip


def _left(
    everything: Stock, crop: CropStock, told: set[tuple[str, str, int]], start: dt.date, end: dt.date
) -> list[Left]:
    """The beds of the crop that are ready by the last day, or were, and are not told of as to be picked.

    What is there today and will be over before the first day asked about is not for then, and not told.
    """
    found = []
    for window, _, likely in crop.windows:
        coming = window.forecast
        if (crop.crop, window.bed, coming.cut) in told or window.assumed or coming.ready.likely > end:
            continue
        if everything.today < window.gone_by <= start:
            continue
        why = _why_left(everything, window)
        found.append(
            Left(crop.crop, window.bed, coming.cut, likely, crop.unit, why, coming.ready.likely, window.best_by,
                 window.gone_by, window.pick_from)
        )  # fmt: skip
    return found


def _why_left(everything: Stock, window: FieldWindow) -> str:
    if window.gone_by <= everything.today:
        return "gone"
    return "waiting" if window.wait else "later"


def _short(crop: CropStock, day: dt.date, customer: str | None, missing: Decimal) -> Short:
    return Short(crop.crop, day, customer, missing, crop.unit)


def _workings(everything: Stock, beds: set[str]) -> tuple[str, ...]:
    lines: list[str] = []
    for window in everything.windows:
        if window.bed in beds and not window.assumed:
            lines += [f"{window.crop} in {window.bed}, cut {window.forecast.cut}:", *window.forecast.workings]
    lines += [
        f"wanted: {one.missing} {one.unit} {one.crop} on {said(one.date)} for {one.customer or 'a customer'}"
        for one in everything.wanted
        if one.missing > 0
    ]
    return tuple(lines)
