"""The fold's part for what is wanted: orders once and standing, prices, plans."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from decimal import Decimal

from engine.events import Beds, Event, OrderCancelled, OrderChanged, Ordered, Planned, Priced
from engine.quantities import convert
from engine.state import Order, Plan, Price, Season

PAST = dt.timedelta(days=31)  # how long a delivery that is over stays in sight
STALE = dt.timedelta(days=60)  # a plan nobody came back to is no longer one
ONE_TIME = frozenset({"prepared", "cleared", "covered", "uncovered", "sown", "transplanted", "tray_sown"})
DONE_EARLY = {True: dt.timedelta(days=14), False: dt.timedelta(days=2)}  # by ONE_TIME: beds are picked twice a week
NOT_DONE = frozenset({
    "ordered", "order_changed", "order_cancelled", "planned", "priced", "setting", "crop_added", "plot_added",
    "customer_added", "corrected", "undone",
})  # fmt: skip
NUMBERS = {"one": 1, "single": 1, "other": 2, "second": 2, "two": 2, "third": 3, "three": 3, "four": 4, "six": 6}
WEEKDAYS = frozenset({"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"})
LENGTHS = {"day": 1, "week": 7, "fortnight": 14, "month": 28}
WORDS = {"daily": 1, "weekly": 7, "biweekly": 14, "fortnightly": 14, "monthly": 28}


def every_days(repeats: str) -> int | None:
    """The days from one delivery to the next, or None where the words do not tell.

    A month counts as four weeks, so that a market order keeps its weekday; "every friday" is every week.
    """
    words = repeats.lower().strip()
    if words in WORDS:
        return WORDS[words]
    found = re.fullmatch(r"(?:every|each|once a)(?:\s+(\d+|[a-z]+))?\s+(\w+?)s?", words)
    if not found:
        return None
    count, length = found[1] or "one", found[2]
    times = int(count) if count.isdigit() else NUMBERS.get(count, 0)
    return times * (7 if length in WEEKDAYS else LENGTHS.get(length, 0)) or None


def ordered(season: Season, entry: int, event: Ordered) -> None:
    season.orders.append(
        Order(
            entry, event.crop, event.quantity, event.unit, event.date, event.customer, event.price,
            every_days(event.repeats) if event.repeats else None, event.until,
        )
    )  # fmt: skip


def how_often(every: int) -> str:
    """How often a standing order of every so many days is delivered, in the words of the contract."""
    said = (words for words in ("daily", "weekly", "every two weeks", "monthly") if every_days(words) == every)
    return next(said, f"every {every} days")


def order_meant(season: Season, event: OrderChanged | OrderCancelled) -> Order | None:
    """The order that a change or cancellation is about: the one due on its day, else the next one due."""
    wants_standing = event.repeats is not None
    found = [
        (due, order.every_days is not None, -order.entry, order)
        for order in season.orders
        if order.crop == event.crop and event.customer in (None, order.customer)
        and (due := next_due(order, event.date)) is not None
        and (order.every_days is not None or not wants_standing)
    ]  # fmt: skip
    return min(found, key=lambda one: one[:3])[3] if found else None


def next_due(order: Order, day: dt.date) -> dt.date | None:
    """The first delivery day from `day` on, cancelled ones included."""
    days = order.days(day, max(day, order.date) + dt.timedelta(order.every_days or 0))
    return days[0] if days else None


def order_changed(season: Season, entry: int, event: OrderChanged) -> None:
    """One delivery becomes another, or the standing order is another from that day on."""
    order = order_meant(season, event)
    due = next_due(order, event.date) if order else None
    if order is None or due is None:
        return
    after = _with_changes(replace(order, changes={}), entry, event)
    if order.every_days is None:
        _put(season, order, replace(after, entry=order.entry, date=event.moved_to or due))
    elif event.repeats is not None:
        every = every_days(event.repeats) or order.every_days
        later = {day: amount for day, amount in order.changes.items() if day >= due}
        rest = replace(after, date=event.moved_to or due, every_days=every, changes={} if event.moved_to else later)
        _put(season, order, *_until(order, due), rest)
    elif event.moved_to is None and event.unit in (None, order.unit) and event.price in (None, order.price):
        _put(season, order, replace(order, changes={**order.changes, due: after.quantity}))
    else:
        once = replace(after, quantity=event.quantity or order.amount(due), date=event.moved_to or due, every_days=None)
        _put(season, order, replace(order, changes={**order.changes, due: Decimal(0)}), replace(once, until=None))


def order_cancelled(season: Season, event: OrderCancelled) -> None:
    """One delivery is off, or the standing order ends before that day."""
    order = order_meant(season, event)
    due = next_due(order, event.date) if order else None
    if order is None or due is None:
        return
    if order.every_days is None:
        _put(season, order)
    elif event.repeats is not None:
        _put(season, order, *_until(order, due))
    else:
        _put(season, order, replace(order, changes={**order.changes, due: Decimal(0)}))


def priced(season: Season, event: Priced) -> None:
    season.prices[event.crop, event.customer] = Price(event.price, event.unit, event.date)


def planned(season: Season, entry: int, event: Planned) -> None:
    """A plan, unless just that was done in the days before."""
    plan = Plan(
        entry, event.date, event.task, event.beds or (), event.crop, event.quantity, event.unit, event.who
    )  # fmt: skip
    early = event.date - DONE_EARLY[event.task in ONE_TIME]
    beds = tuple(bed for bed in plan.beds if season.done.get((plan.task, bed), dt.date.min) < early)
    crop_done = plan.crop is not None and season.done.get((plan.task, plan.crop), dt.date.min) >= early
    if plan.beds and plan.crop and not crop_done:
        beds = plan.beds
    if (plan.beds and not beds) or (not plan.beds and crop_done):
        return
    season.plans.append(replace(plan, beds=beds))


def done(season: Season, event: Event) -> None:
    """Remember the day such a thing was last done there, and take it off the plans."""
    if event.kind in NOT_DONE:
        return
    beds: Beds = getattr(event, "beds", None) or ()
    crop: str | None = getattr(event, "crop", None)
    for key in (*beds, crop):
        if key is not None:
            season.done[event.kind, key] = event.date
    if any(plan.task == event.kind for plan in season.plans):
        season.plans = [left for plan in season.plans if (left := _left_to_do(plan, event, beds, crop)) is not None]


def _left_to_do(plan: Plan, event: Event, beds: Beds, crop: str | None) -> Plan | None:
    if plan.task != event.kind or (plan.crop is not None and crop is not None and plan.crop != crop):
        return plan
    if plan.beds:
        left = tuple(bed for bed in plan.beds if bed not in beds)
        return replace(plan, beds=left) if left else None
    return None if plan.crop is not None and plan.crop == crop else plan


def carry(season: Season) -> None:
    """Drop what has been over for a month, and plans nobody came back to for two."""
    over = season.day - PAST
    if season.orders and any(_is_over(order, over) for order in season.orders):
        season.orders = [order for order in season.orders if not _is_over(order, over)]
    for place, order in enumerate(season.orders):
        if any(day < over for day in order.changes):
            kept = {day: amount for day, amount in order.changes.items() if day >= over}
            season.orders[place] = replace(order, changes=kept)
    if any(plan.date < season.day - STALE for plan in season.plans):
        season.plans = [plan for plan in season.plans if plan.date >= season.day - STALE]


def tell_delivered(season: Season) -> None:
    """Hold the latest sales against the coming deliveries, the earliest delivery first."""
    groups: dict[tuple[str | None, str], list[Order]] = {(sale.customer, sale.crop): [] for sale in season.sales}
    for order in season.orders:
        if (order.customer, order.crop) in groups:  # of the others nothing was delivered
            groups[order.customer, order.crop].append(order)
    delivered = {order: done for group in groups.values() for order, done in _delivered(season, group).items()}
    season.orders = [
        order if order.delivered == delivered.get(order.entry, 0)
        else replace(order, delivered=delivered.get(order.entry, Decimal(0)))
        for order in season.orders
    ]  # fmt: skip


def _delivered(season: Season, orders: list[Order]) -> dict[int, Decimal]:
    coming = sorted((due, order.entry, order) for order in orders if (due := _coming(order, season.day)) is not None)
    if not coming:
        return {}
    first, customer, crop = coming[0][0], orders[0].customer, orders[0].crop
    days = [day for order in orders for day in order.days(first - PAST, first - dt.timedelta(1))]
    last = max(days, default=first - dt.timedelta(7))
    sales = [sale for sale in season.sales if sale.date > last and (sale.customer, sale.crop) == (customer, crop)]
    given: dict[int, Decimal] = {}
    for place, (due, entry, order) in enumerate(coming):
        out = [convert(season, crop, sale.quantity, sale.unit, order.unit) for sale in sales]
        before = [convert(season, crop, given[one.entry], one.unit, order.unit) for _, _, one in coming[:place]]
        left = sum((one for one in out if one is not None), Decimal(0)) - sum(
            (one for one in before if one is not None), Decimal(0)
        )
        given[entry] = max(Decimal(0), min(left, order.amount(due)))
    return given


def _coming(order: Order, day: dt.date) -> dt.date | None:
    """The next delivery that still stands; a year without one is as good as none."""
    deliveries = order.deliveries(day, max(day, order.date) + dt.timedelta(365))
    return deliveries[0][0] if deliveries else None


def _with_changes(order: Order, entry: int, event: OrderChanged) -> Order:
    return replace(
        order, entry=entry, quantity=event.quantity if event.quantity is not None else order.quantity,
        unit=event.unit or order.unit, price=event.price if event.price is not None else order.price,
    )  # fmt: skip


def _until(order: Order, due: dt.date) -> list[Order]:
    """The standing order as it was before a day, if it was due at all before it."""
    if order.date >= due:
        return []
    earlier = {day: amount for day, amount in order.changes.items() if day < due}
    return [replace(order, until=due - dt.timedelta(1), changes=earlier)]


def _put(season: Season, order: Order, *instead: Order) -> None:
    """Put these orders where that one was."""
    place = next(place for place, one in enumerate(season.orders) if one is order)
    season.orders[place : place + 1] = instead


def _is_over(order: Order, before: dt.date) -> bool:
    last = order.date if order.every_days is None else order.until
    return last is not None and last < before
