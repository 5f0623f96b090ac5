"""What the orders answer promises."""

import datetime as dt
from decimal import Decimal
from typing import Any

from assistant.wording.orders import orders as said
from engine.asks import Ask
from engine.orders import deliveries, orders

FRIDAY = dt.date(2027, 6, 18)
STANDING = {
    "kind": "ordered", "date": "2027-06-04", "crop": "radish", "quantity": 15, "unit": "lb",
    "customer": "Juniper Table", "repeats": "weekly",
}  # fmt: skip
ONCE = {
    "kind": "ordered",
    "date": "2027-06-18",
    "crop": "arugula",
    "quantity": 6,
    "unit": "lb",
    "customer": "Vale Grocers",
}


def sold(day: str, quantity: float, unit: str = "lb", customer: str = "Juniper Table") -> dict[str, Any]:
    return {"kind": "sold", "date": day, "crop": "radish", "quantity": quantity, "unit": unit, "customer": customer}


def due(view: Any, start: str, end: str) -> list[tuple[dt.date, Decimal]]:
    found = deliveries(view, dt.date.fromisoformat(start), dt.date.fromisoformat(end))
    return [(delivery.date, delivery.delivered) for delivery in found]


def test_single_and_standing_orders_are_told_day_by_day(pages: Any) -> None:
    result = orders(pages("2027-06-16", STANDING, ONCE), Ask(topic="orders"))
    assert [(d.date, d.crop, d.standing) for d in result.deliveries] == [
        (FRIDAY, "radish", True),
        (FRIDAY, "arugula", False),
        (dt.date(2027, 6, 25), "radish", True),
    ]
    assert [(order.crop, order.every_days, order.next_day) for order in result.standing] == [("radish", 7, FRIDAY)]


def test_what_went_out_counts_for_the_delivery_it_was_meant_for(pages: Any) -> None:
    view = pages("2027-06-20", STANDING, sold("2027-06-17", 10), sold("2027-06-18", 5), sold("2027-06-04", 15))
    assert due(view, "2027-06-01", "2027-06-30") == [
        (dt.date(2027, 6, 4), Decimal(15)),
        (dt.date(2027, 6, 11), Decimal(0)),
        (FRIDAY, Decimal(15)),
        (dt.date(2027, 6, 25), Decimal(0)),
    ]


def test_a_delivery_a_day_late_still_fills_its_order(pages: Any) -> None:
    view = pages("2027-06-20", STANDING, sold("2027-06-12", 15))
    assert due(view, "2027-06-11", "2027-06-11") == [(dt.date(2027, 6, 11), Decimal(15))]


def test_ounces_fill_an_order_in_pounds(pages: Any) -> None:
    view = pages("2027-06-20", STANDING, sold("2027-06-18", 80, "oz"))
    assert due(view, "2027-06-18", "2027-06-18") == [(FRIDAY, Decimal(5))]


def test_what_another_customer_bought_fills_nothing(pages: Any) -> None:
    view = pages("2027-06-20", STANDING, sold("2027-06-18", 15, customer="Vale Grocers"))
    assert due(view, "2027-06-18", "2027-06-18") == [(FRIDAY, Decimal(0))]


def test_orders_of_days_long_past_are_still_told(pages: Any) -> None:
    view = pages("2027-12-20", STANDING, ONCE)
    assert [day for day, _ in due(view, "2027-06-18", "2027-06-18")] == [FRIDAY, FRIDAY]


def test_a_changed_delivery_and_a_cancelled_one_are_told_as_they_stand(pages: Any) -> None:
    changes = (
        {"kind": "order_changed", "date": "2027-06-18", "crop": "radish", "customer": "Juniper Table", "quantity": 20},
        {"kind": "order_cancelled", "date": "2027-06-25", "crop": "radish", "customer": "Juniper Table"},
    )
    result = orders(pages("2027-06-16", STANDING, *changes), Ask(topic="orders", crop="radish"))
    assert [(d.date, d.quantity) for d in result.deliveries] == [(FRIDAY, Decimal(20))]


def test_the_reply_says_the_days_the_sums_and_what_is_gone_out(pages: Any) -> None:
    ask = Ask(topic="orders")
    text = said(orders(pages("2027-06-18", STANDING, ONCE, sold("2027-06-18", 15)), ask), ask, 72)
    assert text.splitlines() == [
        "Orders, Fri 18 Jun to Thu 1 Jul:",
        "Fri 18 Jun",
        "  Juniper Table  radish   15 lb  all gone out, standing",
        "  Vale Grocers   arugula   6 lb",
        "Fri 25 Jun",
        "  Juniper Table  radish  15 lb  standing",
        "In all: arugula 6 lb, radish 30 lb",
        "Standing:",
        "  Juniper Table  radish  15 lb  every week  next Fri 18 Jun",
    ]


def test_no_orders_is_said_with_the_days(pages: Any) -> None:
    ask = Ask(topic="orders", date=FRIDAY, customer="Harbour Oven")
    assert said(orders(pages("2027-06-16"), ask), ask, 72) == "No orders for Harbour Oven for Fri 18 Jun."
