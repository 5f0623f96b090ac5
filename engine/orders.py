"""What is wanted, by whom and when: single and standing orders by day, and what of each has gone out."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.asks import Ask
from engine.events import Sold
from engine.plain import day as said
from engine.quantities import convert
from engine.state import Order, Season
from engine.view import View

ALL_AHEAD_DAYS = 14  # shown when no day was asked about
EARLY_DAYS = 6  # a sale counts for a delivery due up to so many days later
LATE_DAYS = 2  # or up to so many days earlier: late, but for that order


@dataclass(frozen=True, slots=True)
class Delivery:
    """One crop wanted by one customer on one day, and what of it went out, both in `unit`."""

    date: dt.date
    customer: str | None
    crop: str
    quantity: Decimal
    unit: str
    delivered: Decimal
    standing: bool
    price: Decimal | None
    entry: int

    @property
    def missing(self) -> Decimal:
        """What has not gone out yet."""
        return max(self.quantity - self.delivered, Decimal(0))


@dataclass(frozen=True, slots=True)
class Standing:
    """A standing order: how much how often, and the next day it is due (None after its end)."""

    customer: str | None
    crop: str
    quantity: Decimal
    unit: str
    every_days: int
    next_day: dt.date | None
    until: dt.date | None
    price: Decimal | None


@dataclass(frozen=True, slots=True)
class Orders:
    """Deliveries by day within the days asked about, and with no day asked all standing orders too."""

    start: dt.date
    end: dt.date
    deliveries: tuple[Delivery, ...]
    standing: tuple[Standing, ...]
    workings: tuple[str, ...]


def orders(view: View, ask: Ask) -> Orders:
    """What is wanted in the days asked about, or with no day asked in the coming two weeks."""
    start, end = ask.days(view.today, ALL_AHEAD_DAYS)
    wanted = deliveries(view, start, end, crop=ask.crop, customer=ask.customer)
    no_day = not (ask.date or ask.start)
    standing = standing_orders(view.season(), view.today, ask) if no_day else ()
    return Orders(
        start,
        end,
        wanted,
        standing,
        tuple(_working(delivery) for delivery in wanted) or ("no delivery is due in those days",),
    )


def deliveries(
    view: View, start: dt.date, end: dt.date, *, crop: str | None = None, customer: str | None = None
) -> tuple[Delivery, ...]:
    """Every delivery due within both days (included), with what went out for it, in order of day and customer."""
    season = view.season(min(start - dt.timedelta(days=1), view.today))
    wider = (start - dt.timedelta(days=EARLY_DAYS + LATE_DAYS), end + dt.timedelta(days=EARLY_DAYS))
    due = [
        _delivery(order, day, amount)
        for order in season.orders
        if crop in (None, order.crop) and customer in (None, order.customer)
        for day, amount in order.deliveries(*wider)
    ]
    due.sort(key=lambda delivery: (delivery.date, delivery.customer or "", delivery.crop, delivery.entry))
    filled = _filled(season, due, _sales(view, *wider, crop, customer))
    return tuple(delivery for delivery in filled if start <= delivery.date <= end)


def _delivery(order: Order, day: dt.date, amount: Decimal) -> Delivery:
    return Delivery(
        date=day,
        customer=order.customer,
        crop=order.crop,
        quantity=amount,
        unit=order.unit,
        delivered=Decimal(0),
        standing=order.every_days is not None,
        price=order.price,
        entry=order.entry,
    )


def _sales(view: View, start: dt.date, end: dt.date, crop: str | None, customer: str | None) -> list[Sold]:
    facts = view.facts(start, min(end, view.today), kinds=("sold",), crop=crop, customer=customer)
    return [fact.event for fact in facts if isinstance(fact.event, Sold)]


def _filled(season: Season, due: list[Delivery], sales: list[Sold]) -> list[Delivery]:
    """Each sale goes to the earliest delivery of that crop to that customer not yet full, from two days after it was
    due to six days before; what is over belongs to no order."""
    waiting: dict[tuple[str | None, str], list[int]] = defaultdict(list)
    for at, delivery in enumerate(due):
        waiting[delivery.customer, delivery.crop].append(at)
    gone = [Decimal(0)] * len(due)
    for sale in sales:
        left = sale.quantity
        for at in waiting.get((sale.customer, sale.crop), ()):
            if left > 0 and -EARLY_DAYS <= (sale.date - due[at].date).days <= LATE_DAYS:
                left -= _put(season, due[at], gone, at, left, sale.unit)
    return [replace(delivery, delivered=out) for delivery, out in zip(due, gone, strict=True)]


def _put(season: Season, delivery: Delivery, gone: list[Decimal], at: int, left: Decimal, unit: str) -> Decimal:
    """Put as much of the sale to the delivery as it still wants; how much of the sale, in its own unit, that took."""
    offered = convert(season, delivery.crop, left, unit, delivery.unit)
    if not offered:
        return Decimal(0)
    taken = min(offered, delivery.quantity - gone[at])
    gone[at] += taken
    return left * taken / offered


def standing_orders(season: Season, today: dt.date, ask: Ask) -> tuple[Standing, ...]:
    """The standing orders that have not ended, narrowed to the crop and customer asked about."""
    found = [
        Standing(
            customer=order.customer,
            crop=order.crop,
            quantity=order.quantity,
            unit=order.unit,
            every_days=order.every_days,
            next_day=next(iter(order.days(today, today + dt.timedelta(days=order.every_days))), None),
            until=order.until,
            price=order.price,
        )
        for order in season.orders
        if order.every_days and (order.until is None or order.until >= today)
        if ask.crop in (None, order.crop) and ask.customer in (None, order.customer)
    ]
    return tuple(sorted(found, key=lambda order: (order.customer or "", order.crop)))


def _working(delivery: Delivery) -> str:
    kind = "standing order" if delivery.standing else "order"
    return (
        f"{kind} of entry {delivery.entry}: {delivery.crop} {delivery.quantity} {delivery.unit} for "
        f"{delivery.customer or 'nobody named'} on {said(delivery.date)}, {delivery.delivered} gone out"
    )
