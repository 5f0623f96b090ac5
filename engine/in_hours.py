"""The pickings of a plan, held against the hours that there are for them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.orders import Delivery
from engine.picking import PickPlan
from engine.picking_hours import Fitted, Job, Pace, fitted, limit_on, pace
from engine.state import Season
from engine.stock import CropStock, Stock, picking_days
from engine.view import View
from engine.windows import FieldWindow

CLOSES_SOON = dt.timedelta(days=1)  # a window that closes by the day after is to be emptied now


@dataclass(frozen=True, slots=True)
class Picking:
    """So much of one window on a day, for a delivery or because the window closes; possible from `first` to `last`."""

    crop: str
    unit: str
    window: FieldWindow
    day: dt.date
    quantity: Decimal
    delivery: Delivery | None
    first: dt.date
    last: dt.date
    hours: Decimal | None = None

    @property
    def why(self) -> str:
        """order, hold or closing."""
        if self.delivery is None:
            return "closing"
        return "hold" if self.delivery.date > self.day else "order"


@dataclass(frozen=True, slots=True)
class ForOrder:
    """A delivery that is served, and with how much."""

    date: dt.date
    customer: str | None
    quantity: Decimal


@dataclass(frozen=True, slots=True)
class DayHours:
    """The hours for picking on a day, and what of them is taken."""

    date: dt.date
    hours: Decimal
    taken: Decimal


@dataclass(frozen=True, slots=True)
class NoTime:
    """What does not fit into the hours of its `day`: picked on `instead`, or (None) on no day; and who is waiting."""

    crop: str
    bed: str
    cut: int
    day: dt.date
    quantity: Decimal
    unit: str
    hours: Decimal
    order: ForOrder | None
    best_until: dt.date
    instead: dt.date | None


@dataclass(frozen=True, slots=True)
class InHours:
    """The limited days among those asked about, and what has no place in them, the most urgent first."""

    days: tuple[DayHours, ...]
    left: tuple[NoTime, ...]


@dataclass(frozen=True, slots=True)
class Limited:
    """The pickings as the hours allow; `hours` is None where none are limited or no pace is known at all."""

    pickings: tuple[Picking, ...]
    hours: InHours | None = None
    notes: tuple[str, ...] = ()
    workings: tuple[str, ...] = ()


def pickings(everything: Stock, crop: CropStock, plan: PickPlan, start: dt.date, end: dt.date) -> list[Picking]:
    """All that the plan picks for deliveries, and what closes in the days asked about with nothing that wants it."""
    found = [
        Picking(crop.crop, crop.unit, use.window, use.day, use.quantity, use.delivery, use.first, use.last)
        for use in plan.uses
        if use.window
    ]
    for window, spare in plan.spare:
        days = picking_days(everything, window, likely=True)
        if spare > 0 and days and not window.assumed and _closes(window, days, start, end):
            first, last = max(start, days[0]), min(end, days[1])
            day = min(end, max(start, days[0], window.best_by))
            found.append(Picking(crop.crop, crop.unit, window, day, spare, None, first, max(first, last)))
    return found


def _closes(window: FieldWindow, days: tuple[dt.date, dt.date], start: dt.date, end: dt.date) -> bool:
    """Whether the window can be picked in the days asked about, and is past its best right after them."""
    return days[0] <= end and days[1] >= start and window.best_by <= end + CLOSES_SOON


def for_order(one: Picking) -> ForOrder:
    """The delivery that a picking is for."""
    assert one.delivery is not None
    return ForOrder(one.delivery.date, one.delivery.customer, one.quantity)


def in_hours(view: View, everything: Stock, meant: Sequence[Picking], start: dt.date, end: dt.date) -> Limited:
    """The pickings moved or left where a day has fewer hours than they take.

    Which bed serves which delivery stays as planned; the hours are shared out exactly, the most urgent first.
    """
    last = max([end, *(one.last for one in meant)])
    days = [view.today + dt.timedelta(days=away) for away in range((last - view.today).days + 1)]
    season = everything.season
    if all(limit_on(season, day) is None for day in days):
        return Limited(tuple(meant))
    known = pace(view, season)
    jobs = [_job(one, known) for one in meant]
    if meant and all(job.hours is None for job in jobs):
        return Limited(tuple(meant), notes=(NO_PACE,))
    parts = fitted(jobs, season)
    kept = tuple(
        replace(meant[part.job], day=part.day, quantity=part.quantity, hours=part.hours) for part in parts if part.day
    )
    asked = [day for day in days if start <= day <= end]
    return Limited(
        kept,
        InHours(_day_hours(season, kept, asked), _left(meant, parts, start, end)),
        _uncounted(meant, jobs),
        tuple(known.lines()),
    )


NO_PACE = (
    "the hours for picking are not held to: say how much you pick in an hour, or log the hours of a day's picking"
    " with all that was picked"
)


def _job(one: Picking, known: Pace) -> Job:
    hours = known.hours(one.crop, one.quantity, one.unit)
    due = one.delivery.date if one.delivery else one.window.best_by
    return Job(one.quantity, one.unit, hours, one.day, one.first, one.last, due, one.delivery is not None)


def _day_hours(season: Season, kept: Sequence[Picking], asked: Sequence[dt.date]) -> tuple[DayHours, ...]:
    return tuple(
        DayHours(day, limit, sum((one.hours for one in kept if one.day == day and one.hours), Decimal(0)))
        for day in asked
        if (limit := limit_on(season, day)) is not None
    )


def _left(meant: Sequence[Picking], parts: Sequence[Fitted], start: dt.date, end: dt.date) -> tuple[NoTime, ...]:
    """What was to be picked in the days asked about and is picked later, earlier or not at all, by urgency."""
    moved = [
        (replace(meant[part.job], quantity=part.quantity), part)
        for part in parts
        if start <= meant[part.job].day <= end and not (part.day and start <= part.day <= end)
    ]
    found = [
        NoTime(
            one.crop, one.window.bed, one.window.forecast.cut, one.day, one.quantity, one.unit,
            part.hours or Decimal(0), for_order(one) if one.delivery else None, one.window.best_by, part.day,
        )
        for one, part in moved
    ]  # fmt: skip
    return tuple(sorted(found, key=_urgency))


def _urgency(one: NoTime) -> tuple[bool, dt.date, dt.date, str, str]:
    return one.order is None, one.order.date if one.order else one.best_until, one.best_until, one.crop, one.bed


def _uncounted(meant: Sequence[Picking], jobs: Sequence[Job]) -> tuple[str, ...]:
    unknown = sorted({f"{one.crop} ({one.unit})" for one, job in zip(meant, jobs, strict=True) if job.hours is None})
    return (f"not in the hours, since how fast it is picked is not known: {', '.join(unknown)}",) if unknown else ()
