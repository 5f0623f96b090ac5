"""What takings and prices promise."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

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


STALL = "Saturday stall"


def took(amount: float, customer: str | None = STALL, day: str = "2027-06-12") -> dict[str, Any]:
    return {"kind": "took", "date": day, "amount": amount, **({"customer": customer} if customer else {})}


def at_stall(crop: str, quantity: float, **fields: Any) -> dict[str, Any]:
    return sold("2027-06-12", crop, quantity, **{"customer": STALL, **fields})


LIST = (priced("2027-05-01", "radish", 3), priced("2027-05-01", "arugula", 6))


@pytest.mark.parametrize(
    ("records", "sums", "left"),
    [
        # radish 30 and arugula 60 by the list are a third and two thirds of what was taken
        ([*LIST, at_stall("radish", 10), at_stall("arugula", 10), took(120)], {"radish": 40, "arugula": 80}, 0),
        ([*LIST, at_stall("radish", 10), at_stall("arugula", 10), took(60), took(10)],
         {"radish": "23.33", "arugula": "46.67"}, 0),
        # said prices stay, the rest goes to the others
        ([*LIST, at_stall("radish", 10, price=4), at_stall("arugula", 10), took(120)],
         {"radish": 40, "arugula": 80}, 0),
        # only said prices: what was taken beside them is of no crop
        ([at_stall("radish", 10, price=4), took(100)], {"radish": 40}, 60),
        ([at_stall("radish", 10, price=4), took(40)], {"radish": 40}, 0),
        # one without a price: the other keeps its list worth, what is left is of no crop
        ([*LIST, at_stall("radish", 10), at_stall("kale", 10), took(100)], {"radish": 30}, 70),
        ([*LIST, at_stall("radish", 10), at_stall("kale", 10), took(20)], {"radish": 20}, 0),
        ([at_stall("kale", 10), took(100)], {}, 100),
        # another day, another customer, no name: no share in it
        ([*LIST, at_stall("radish", 10), took(100, day="2027-06-11")], {"radish": 30}, 100),
        ([*LIST, at_stall("radish", 10), took(100, "Wednesday market")], {"radish": 30}, 100),
        ([*LIST, at_stall("radish", 10), took(100, None)], {"radish": 30}, 100),
        ([*LIST, at_stall("radish", 10, customer=None), took(100, None)], {"radish": 100}, 0),
    ],
)  # fmt: skip
def test_takings_of_a_customers_day_are_all_that_its_sales_brought(
    pages: Any, records: list[dict[str, Any]], sums: dict[str, Any], left: int
) -> None:
    result = money(pages("2027-06-14", *records), ask())
    assert {share.name: share.worth for share in result.by_crop} == {
        crop: Decimal(str(worth)) for crop, worth in sums.items()
    }
    assert result.took == left
    assert result.total == sum(share.worth for share in result.by_crop) + left
    assert result.without_price == ()
    assert sum(share.worth for share in result.by_customer) == result.total
    assert result.too_little is None


def test_one_crop_and_its_beds_have_their_share_of_the_takings(pages: Any) -> None:
    view = pages("2027-06-14", *LIST, {"kind": "sown", "date": "2027-05-01", "crop": "radish", "beds": ["Brook 1"]},
                 picked("2027-06-10", "radish", ["Brook 1"], 10), at_stall("radish", 10), at_stall("arugula", 10),
                 took(120))  # fmt: skip
    assert money(view, ask(crop="radish")).total == Decimal(40)
    assert money(view, ask(beds=("Brook 1",))).total == Decimal(40)
    assert "$120.00 of it was taken as a sum" in said(money(view, ask()), ask(), 80)


def test_a_sale_without_a_price_is_told_as_part_of_the_takings(pages: Any) -> None:
    view = pages("2027-06-14", at_stall("kale", 10), took(100))
    result = money(view, ask())
    assert [(share.name, share.amounts) for share in result.unshared or ()] == [("kale", {"lb": Decimal(10)})]
    for asked in (ask(), ask(crop="kale")):
        told = said(money(view, asked), asked, 100)
        assert "Part of a sum taken, with no price to tell which part: kale 10 lb." in told
        assert "Not counted" not in told


def test_takings_of_less_than_the_sales_were_said_to_bring_are_told_and_not_added(pages: Any) -> None:
    result = money(pages("2027-06-14", *LIST, at_stall("radish", 10, price=4), at_stall("arugula", 1), took(30)), ask())
    assert (result.total, result.took) == (Decimal(46), Decimal(0))
    assert [line.taken for line in result.too_little or ()] == [Decimal(30)]
    assert "The $30.00 taken on Sat 12 Jun (Saturday stall) is not added" in said(result, ask(), 100)


@given(
    st.lists(st.tuples(st.sampled_from(["radish", "arugula"]), st.integers(1, 30), st.none() | st.integers(1, 9)),
             max_size=5),
    st.lists(st.integers(0, 400), max_size=2),
)  # fmt: skip
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
def test_no_money_counts_twice(pages: Any, sales: list[tuple[str, int, int | None]], sums: list[int]) -> None:
    """A day brings what was taken; where that was not told, or cannot be, what was said and what the list gives."""
    records = [at_stall(crop, much, **({"price": price} if price else {})) for crop, much, price in sales]
    result = money(pages("2027-06-14", *LIST, *records, *map(took, sums)), ask())
    listed = {"radish": 3, "arugula": 6}
    certain = sum(much * price for _, much, price in sales if price)
    usual = certain + sum(much * listed[crop] for crop, much, price in sales if not price)
    assert result.total == (sum(sums) if sums and sum(sums) >= certain else usual)


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
