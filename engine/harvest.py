"""What to pick, take out and hold, leave, or give up, for the days asked about; and whether to wait for another cut."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from engine.asks import Ask
from engine.cooler import has_cooler
from engine.picking import PickPlan, Use, pick_plan
from engine.plain import day as said
from engine.recut import CutAgain as CutAgain
from engine.recut import cut_again as cut_again
from engine.safety import animal_signs
from engine.stock import CropStock, Stock, crop_stock, picking_days, stock
from engine.view import View
from engine.windows import FieldWindow

PLAN_DAYS = dt.timedelta(days=10)  # deliveries so far after the days asked about are planned for
CLOSES_SOON = dt.timedelta(days=1)  # a window that closes by the day after is to be emptied now


@dataclass(frozen=True, slots=True)
class ForOrder:
    """A delivery that is served, and with how much."""

    date: dt.date
    customer: str | None
    quantity: Decimal


@dataclass(frozen=True, slots=True)
class Pick:
    """One bed to pick on `day`.

    `why` is order (for deliveries of that day), hold (the window closes before the delivery: take out and keep cool)
    or closing (the window closes and nothing wants it yet). `keeps_until` is its last good day after that picking.
    `past_best` says that it is picked after its best days for want of anything better.
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


def to_harvest(view: View, ask: Ask) -> ToHarvest:
    """What to pick on the days asked about (default today): most delivered first, then least spoiled, then freshest."""
    start, end = ask.days(view.today)
    notes = ("that day is past; this is for today",) if end < view.today else ()
    start, end = max(start, view.today), max(end, view.today)
    everything = stock(view, end + PLAN_DAYS, ask.crop)
    picks: list[Pick] = []
    cool: list[FromCooler] = []
    left: list[Left] = []
    short: list[Short] = []
    uncounted: list[str] = []
    for name in everything.crops():
        crop = crop_stock(everything, name)
        plan = pick_plan(everything, crop, end + PLAN_DAYS)
        mine = _picks(everything, crop, plan, start, end)
        picks += mine
        cool += _from_cooler(crop, plan, start, end)
        left += _left(everything, crop, mine, start, end)
        short += [_short(crop, delivery.date, delivery.customer, missing) for delivery, missing in plan.short]
        uncounted += [f"{name} not counted: {what} (say what one weighs)" for what in crop.uncounted]
    if ask.plot:
        picks = [pick for pick in picks if pick.plot == ask.plot]
        left = [one for one in left if everything.season.beds[one.bed].plot == ask.plot]
    return ToHarvest(
        start, end, tuple(sorted(picks, key=_order)), tuple(cool), tuple(left), tuple(short),
        has_cooler(everything.season), (*notes, *_signs(everything, picks), *uncounted, *everything.book.notes),
        _workings(everything, {pick.bed for pick in picks} | {one.bed for one in left}),
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


def _picks(everything: Stock, crop: CropStock, plan: PickPlan, start: dt.date, end: dt.date) -> list[Pick]:
    """The pickings within the days asked about, deliveries of the same bed and day together."""
    together: dict[tuple[str, int, dt.date, bool], list[Use]] = {}
    for use in plan.uses:
        if use.window and start <= use.day <= end:
            held = use.delivery.date > use.day
            together.setdefault((use.window.bed, use.window.forecast.cut, use.day, held), []).append(use)
    found = [_pick(everything, crop, uses) for uses in together.values()]
    for window, spare in plan.spare:
        days = picking_days(everything, window, likely=True)
        if spare > 0 and days and not window.assumed and _closes(window, days, start, end):
            found.append(_closing(everything, crop, window, spare, min(end, max(start, days[0], window.best_by))))
    return found


def _closes(window: FieldWindow, days: tuple[dt.date, dt.date], start: dt.date, end: dt.date) -> bool:
    """Whether the window can be picked in the days asked about, and is past its best right after them."""
    return days[0] <= end and days[1] >= start and window.best_by <= end + CLOSES_SOON


def _pick(everything: Stock, crop: CropStock, uses: list[Use]) -> Pick:
    window, day = uses[0].window, uses[0].day
    assert window is not None
    held = any(use.delivery.date > use.day for use in uses)
    orders = tuple(ForOrder(use.delivery.date, use.delivery.customer, use.quantity) for use in uses)
    quantity = sum((use.quantity for use in uses), Decimal(0))
    return _made(everything, crop, window, day, quantity, "hold" if held else "order", orders)


def _closing(everything: Stock, crop: CropStock, window: FieldWindow, spare: Decimal, day: dt.date) -> Pick:
    return _made(everything, crop, window, day, spare, "closing", ())


def _made(
    everything: Stock, crop: CropStock, window: FieldWindow, day: dt.date, quantity: Decimal, why: str,
    orders: tuple[ForOrder, ...],
) -> Pick:  # fmt: skip
    keeps = everything.keeps(crop.crop, day, window.bed)[1]
    return Pick(
        crop.crop, window.bed, window.plot, window.forecast.cut, day, quantity, crop.unit, why, orders,
        window.best_by, day + dt.timedelta(days=keeps), day > window.best_by,
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


def _left(everything: Stock, crop: CropStock, picks: list[Pick], start: dt.date, end: dt.date) -> list[Left]:
    """The beds of the crop that are ready by the last day, or were, and are not picked for any of these days.

    What is there today and will be over before the first day asked about is not for then, and not told.
    """
    picked = {(pick.bed, pick.cut) for pick in picks}
    found = []
    for window, _, likely in crop.windows:
        coming = window.forecast
        if (window.bed, coming.cut) in picked or window.assumed or coming.ready.likely > end:
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
