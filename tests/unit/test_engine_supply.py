"""What can be sold: supply and promises held against each other, day by day."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from engine.asks import Ask
from engine.supply import CropSupply, can_sell

TODAY = "2027-06-16"
FRIDAY = dt.date(2027, 6, 18)
SOWN = {"kind": "sown", "date": "2027-05-01", "crop": "radish", "beds": ["Brook 1"]}
LOT = {"kind": "harvested", "date": "2027-06-15", "crop": "radish", "beds": ["Brook 1"], "quantity": 20, "unit": "lb",
       "last": True}  # fmt: skip


def order(day: str, amount: float, customer: str = "Juniper Table", **more: Any) -> dict[str, Any]:
    return {"kind": "ordered", "date": day, "crop": "radish", "quantity": amount, "unit": "lb", "customer": customer,
            **more}  # fmt: skip


def radish(view: Any, date: dt.date = FRIDAY, **more: Any) -> CropSupply:
    return can_sell(view, Ask(topic="can_sell", date=date, crop="radish", **more)).crops[0]


def test_what_is_in_the_cooler_and_not_promised_is_free(pages: Any) -> None:
    found = radish(pages(TODAY, SOWN, LOT, order("2027-06-18", 12)))
    assert (found.cooler, found.promised, found.free_low, found.free_likely) == (20, 12, 8, 8)


def test_what_is_promised_for_later_is_not_sold_before(pages: Any) -> None:
    found = radish(pages(TODAY, SOWN, LOT, order("2027-06-19", 15)))
    assert found.free_likely == 5
    assert (found.promised, found.promised_later) == (0, 15)


def test_one_lot_is_never_promised_twice(pages: Any) -> None:
    weekly = order("2027-06-18", 12, repeats="weekly")
    other = order("2027-06-18", 8, "Vale Grocers")
    found = radish(pages(TODAY, SOWN, LOT, weekly, other))
    assert found.free_likely == 0
    assert [promise.short for promise in found.promises][:2] == [0, 0]
    assert sum(promise.short for promise in found.promises) == found.promised + found.promised_later - 20


def test_a_delivery_after_the_lot_is_past_it_takes_nothing_from_it(pages: Any) -> None:
    found = radish(pages(TODAY, SOWN, LOT, order("2027-07-05", 15)))
    assert found.free_likely == 20


@pytest.mark.parametrize(("asked", "enough", "margin"), [(5, "yes", 3), (8, "yes", 0), (9, "no", -1), (30, "no", -22)])
def test_enough_or_not_is_told_with_the_margin(pages: Any, asked: int, enough: str, margin: int) -> None:
    view = pages(TODAY, SOWN, LOT, order("2027-06-18", 12))
    result = can_sell(view, Ask(topic="can_sell", date=FRIDAY, crop="radish", quantity=Decimal(asked), unit="lb"))
    assert (result.enough, result.margin) == (enough, margin)


def test_a_field_that_is_likely_but_not_surely_ready_makes_it_likely(pages: Any) -> None:
    view = pages(TODAY, {**SOWN, "date": "2027-05-22"})
    result = can_sell(view, Ask(topic="can_sell", date=FRIDAY, crop="radish", quantity=Decimal(10), unit="lb"))
    assert result.enough == "likely"
    assert result.crops[0].free_low == 0 < result.crops[0].free_likely


def test_the_order_on_the_book_is_not_counted_against_itself(pages: Any) -> None:
    view = pages(TODAY, SOWN, LOT, order("2027-06-18", 12))
    ask = Ask(topic="can_sell", date=FRIDAY, crop="radish", quantity=Decimal(12), unit="lb", customer="Juniper Table")
    result = can_sell(view, ask)
    assert result.counted
    assert (result.enough, result.margin) == ("yes", 8)


def test_ounces_and_pounds_add_up(pages: Any) -> None:
    found = radish(pages(TODAY, SOWN, LOT, {**order("2027-06-18", 32), "unit": "oz"}))
    assert found.free_likely == 18


def test_bunches_that_nobody_can_weigh_are_told_and_not_guessed(pages: Any) -> None:
    view = pages(TODAY, SOWN, LOT, {**order("2027-06-18", 12), "unit": "bunch"})
    found = radish(view)
    assert found.free_likely == 20
    assert any("12 bunch for Juniper Table" in note for note in found.notes)
    result = can_sell(view, Ask(topic="can_sell", date=FRIDAY, crop="radish", quantity=Decimal(40), unit="lb"))
    assert result.enough == "unknown"


def test_a_bed_under_a_wait_of_unknown_length_is_not_counted(pages: Any) -> None:
    spray = {"kind": "sprayed", "date": "2027-06-15", "beds": ["Brook 1"], "material": "something"}
    found = radish(pages(TODAY, {**SOWN, "date": "2027-05-16"}, spray))
    assert found.free_likely == 0
    assert any("unknown length" in note for note in found.notes)


@pytest.mark.parametrize(("days", "counted"), [(2, True), (3, True), (4, False), (9, False)])
def test_a_bed_counts_from_the_day_its_wait_is_over(pages: Any, days: int, counted: bool) -> None:
    """Sprayed on Tuesday the 15th: three days later is Friday the 18th."""
    spray = {"kind": "sprayed", "date": "2027-06-15", "beds": ["Brook 1"], "material": "soap",
             "harvest_wait_days": days}  # fmt: skip
    found = radish(pages(TODAY, {**SOWN, "date": "2027-05-16"}, spray))
    assert (found.free_likely > 0) == counted


def test_all_crops_are_listed_where_none_is_named(pages: Any) -> None:
    kale = {"kind": "transplanted", "date": "2027-04-20", "crop": "kale", "beds": ["Brook 2"]}
    result = can_sell(pages(TODAY, SOWN, LOT, kale), Ask(topic="can_sell", date=FRIDAY))
    assert [crop.crop for crop in result.crops] == ["kale", "radish"]


def test_a_past_day_is_answered_for_today_and_told(pages: Any) -> None:
    result = can_sell(pages(TODAY, SOWN, LOT), Ask(topic="can_sell", date=dt.date(2027, 6, 1)))
    assert result.start == dt.date(2027, 6, 16)
    assert result.notes


def test_a_crop_that_is_nowhere_is_nothing_and_no_error(pages: Any) -> None:
    result = can_sell(pages(TODAY, farm=()), Ask(topic="can_sell", crop="oca", quantity=Decimal(5), unit="lb"))
    assert (result.enough, result.margin) == ("no", -5)


def test_the_workings_add_up_what_the_answer_says(pages: Any) -> None:
    result = can_sell(pages(TODAY, SOWN, LOT, order("2027-06-18", 12)), Ask(topic="can_sell", crop="radish"))
    assert any("20 lb in the cooler" in line for line in result.workings)
    assert any("UC Davis" in line for line in result.workings)
