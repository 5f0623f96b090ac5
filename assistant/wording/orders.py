"""Orders as text: what is wanted day by day, and the standing ones."""

from __future__ import annotations

from decimal import Decimal
from itertools import groupby

from assistant.wording import text
from engine.asks import Ask
from engine.orders import Delivery, Orders, Standing


def orders(result: Orders, ask: Ask, width: int) -> str:
    """The deliveries of each day under it, their sums, then the standing orders where no day was asked."""
    parts = [text.wrapped(_head(result, ask), width)]
    for date, due in groupby(result.deliveries, key=lambda delivery: delivery.date):
        parts.append(text.day(date, result.start))
        parts.append(text.columns([_row(delivery) for delivery in due], width))
    if len(result.deliveries) > 1:
        parts.append(text.wrapped("In all: " + _sums(result.deliveries), width, 2))
    if result.standing:
        parts.append("Standing:")
        parts.append(text.columns([_standing(order) for order in result.standing], width))
    return "\n".join(parts)


def _head(result: Orders, ask: Ask) -> str:
    what = f"{ask.crop} ordered" if ask.crop else "Orders"
    whose = f" for {ask.customer}" if ask.customer else ""
    when = text.days(result.start, result.end)
    if not result.deliveries:
        return f"No {what[0].lower()}{what[1:]}{whose} for {when}."
    return f"{what[0].upper()}{what[1:]}{whose}, {when}:"


def _row(delivery: Delivery) -> tuple[str, ...]:
    notes = []
    if delivery.delivered:
        notes.append("all gone out" if not delivery.missing else f"{text.figure(delivery.delivered)} gone out")
    if delivery.standing:
        notes.append("standing")
    customer = delivery.customer or "no customer named"
    return customer, delivery.crop, text.amount(delivery.quantity, delivery.unit), ", ".join(notes)


def _sums(due: tuple[Delivery, ...]) -> str:
    sums: dict[tuple[str, str], Decimal] = {}
    for delivery in due:
        sums[delivery.crop, delivery.unit] = sums.get((delivery.crop, delivery.unit), Decimal(0)) + delivery.quantity
    return ", ".join(f"{crop} {text.amount(quantity, unit)}" for (crop, unit), quantity in sorted(sums.items()))


def _standing(order: Standing) -> tuple[str, ...]:
    often = {1: "every day", 7: "every week", 14: "every two weeks"}.get(
        order.every_days, f"every {order.every_days} days"
    )
    next_day = f"next {text.day(order.next_day)}" if order.next_day else "ended"
    until = f"{next_day}, until {text.day(order.until, order.next_day)}" if order.until else next_day
    return order.customer or "no customer named", order.crop, text.amount(order.quantity, order.unit), often, until
