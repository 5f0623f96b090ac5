"""What takings and prices promise."""

import datetime as dt
from decimal import Decimal
from typing import Any

from assistant.wording.money import money as said
from assistant.wording.money import price as said_price
from engine.asks import Ask
from engine.money import money, price

WEEK = {"start": dt.date(2027, 6, 7), "end": dt.date(2027, 6, 13)}


def ask(**fields: Any) -> Ask:
    return Ask(topic="money", **{**WEEK, **fields})


def sold(day: str, crop: str, quantity: float, **fields: Any) -> dict[str, Any]:
    return {"kind": "sold", "date": day, "crop": crop, "quantity": quantity, "unit": "lb", **fields}


def picked(day: str, crop: str, beds: list[str], quantity: float) -> dict[str, Any]:
    return {"kind": "harvested", "date": day, "crop": crop, "beds": beds, "quantity": quantity, "unit": "lb"}


def priced(day: str, crop: str, amount: float, **fields: Any) -> dict[str, Any]:
    return {"kind": "priced", "date": day, "crop": crop, "price": amount, "unit": "lb", **fields}


def test_the_price_said_with_a_sale_counts_before_any_list(pages: Any) -> None:
    view = pages("2027-06-14", priced("2027-05-01", "radish", 3), sold("2027-06-08", "radish", 10, price=4))
    result = money(view, ask())
    assert (result.total, result.listed) == (Decimal(40), Decimal(0))


def test_the_list_of_the_day_of_the_sale_counts_and_is_said(pages: Any) -> None:
    lists = (priced("2027-05-01", "radish", 3), priced("2027-06-10", "radish", 5))
    view = pages("2027-06-14", *lists, sold("2027-06-08", "radish", 10), sold("2027-06-11", "radish", 10))
    result = money(view, ask())
    assert (result.total, result.listed) == (Decimal(80), Decimal(80))
    assert "by the price list" in said(result, ask(), 80)


def test_a_customers_own_price_holds_over_the_general_one(pages: Any) -> None:
    lists = (priced("2027-05-01", "radish", 3), priced("2027-05-02", "radish", 2, customer="Harbour Oven"))
    sales = (sold("2027-06-08", "radish", 10, customer="Harbour Oven"), sold("2027-06-08", "radish", 10))
    result = money(pages("2027-06-14", *lists, *sales), ask())
    assert {share.name: share.worth for share in result.by_customer} == {
        "no customer named": Decimal(30),
        "Harbour Oven": Decimal(20),
    }


def test_the_price_agreed_in_an_order_holds_over_the_list(pages: Any) -> None:
    order = {"kind": "ordered", "date": "2027-06-11", "crop": "radish", "quantity": 10, "unit": "lb",
             "customer": "Harbour Oven", "price": 6}  # fmt: skip
    sale = sold("2027-06-11", "radish", 10, customer="Harbour Oven")
    assert money(pages("2027-06-14", priced("2027-05-01", "radish", 3), order, sale), ask()).total == Decimal(60)


def test_an_amount_without_any_price_is_listed_and_in_no_sum(pages: Any) -> None:
    result = money(pages("2027-06-14", sold("2027-06-08", "kale", 10)), ask())
    assert result.total == 0
    assert [(share.name, share.amounts) for share in result.without_price] == [("kale", {"lb": Decimal(10)})]
    assert "no price is known: kale 10 lb" in said(result, ask(), 80)


def test_a_price_by_the_pound_values_ounces_but_not_bunches(pages: Any) -> None:
    sales = (sold("2027-06-08", "radish", 32, unit="oz"), sold("2027-06-08", "radish", 5, unit="bunch"))
    result = money(pages("2027-06-14", priced("2027-05-01", "radish", 3), *sales), ask())
    assert result.total == Decimal(6)
    assert result.without_price[0].amounts == {"bunch": Decimal(5)}


def test_returns_take_away_and_takings_without_a_crop_count_once(pages: Any) -> None:
    view = pages(
        "2027-06-14",
        sold("2027-06-08", "radish", 10, price=4, customer="Harbour Oven"),
        priced("2027-05-01", "radish", 4),
        {
            "kind": "returned",
            "date": "2027-06-09",
            "crop": "radish",
            "quantity": 2,
            "unit": "lb",
            "customer": "Harbour Oven",
        },
        {"kind": "took", "date": "2027-06-12", "amount": 250.5, "customer": "Saturday stall"},
    )
    result = money(view, ask())
    assert (result.sold, result.took, result.total) == (Decimal(32), Decimal("250.5"), Decimal("282.5"))
    assert money(view, ask(crop="radish")).total == Decimal(32)
    assert money(view, ask(customer="Saturday stall")).total == Decimal("250.5")


def test_each_bed_brings_what_its_lots_were_sold_for_oldest_first(pages: Any) -> None:
    view = pages(
        "2027-06-14",
        {"kind": "sown", "date": "2027-05-10", "crop": "radish", "beds": ["Brook 1", "Brook 2", "Brook 3"]},
        picked("2027-06-05", "radish", ["Brook 1"], 10),
        picked("2027-06-08", "radish", ["Brook 2", "Brook 3"], 20),
        sold("2027-06-08", "radish", 16, price=2),
    )
    assert {share.name: share.worth for share in money(view, ask()).by_bed} == {
        "Brook 1": Decimal(20),
        "Brook 2": Decimal(6),
        "Brook 3": Decimal(6),
    }
    assert money(view, ask(beds=("Brook 2",))).total == Decimal(6)


def test_a_stretch_that_reaches_ahead_stops_today(pages: Any) -> None:
    result = money(pages("2027-06-10"), ask())
    assert result.end == dt.date(2027, 6, 10)
    assert said(result, ask(), 80) == "No takings on record, Mon 7 to Thu 10 Jun."


def test_the_reply_puts_the_sum_first_and_the_largest_on_top(pages: Any) -> None:
    sales = (
        sold("2027-06-08", "radish", 10, price=4, customer="Harbour Oven"),
        sold("2027-06-09", "kale", 5, price=12, customer="Vale Grocers"),
    )
    lines = said(money(pages("2027-06-14", *sales), ask()), ask(), 80).splitlines()
    assert lines[0] == "$100.00 taken, Mon 7 to Sun 13 Jun."
    assert lines[2].split() == ["kale", "$60.00", "############", "5", "lb"]
    assert lines[3].split() == ["radish", "$40.00", "########", "10", "lb"]


def test_the_price_list_is_told_and_the_last_sale_where_there_is_none(pages: Any) -> None:
    view = pages("2027-06-14", priced("2027-05-01", "radish", 3), sold("2027-06-08", "kale", 5, price=12))
    only = Ask(topic="price", crop="radish")
    assert said_price(price(view, only), only, 80).splitlines()[1].split()[:4] == ["radish", "$3.00", "a", "lb"]
    other = Ask(topic="price", crop="kale")
    assert said_price(price(view, other), other, 80) == (
        "No price is set for kale. Last sold at $12.00 a lb on Tue 8 Jun."
    )
