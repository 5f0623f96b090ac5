"""Lots and their last good day."""

import datetime as dt
from typing import Any

from engine.asks import Ask
from engine.cooler import lots_left, spoiled_ages
from engine.learning import Seen
from engine.supply import can_sell, in_cooler
from engine.weather import weather_book

TODAY = "2027-06-16"
SOWN = {"kind": "sown", "date": "2027-05-01", "crop": "radish", "beds": ["Brook 1"]}


def picked(day: str, amount: float, crop: str = "radish") -> dict[str, Any]:
    return {"kind": "harvested", "date": day, "crop": crop, "beds": ["Brook 1"], "quantity": amount, "unit": "lb"}


def out(kind: str, day: str, amount: float, **more: Any) -> dict[str, Any]:
    return {"kind": kind, "date": day, "crop": "radish", "quantity": amount, "unit": "lb", **more}


def good_until(view: Any) -> dt.date:
    return lots_left(view.season(), weather_book(view), spoiled_ages(view))[0].good_until


def test_the_oldest_lot_comes_first_and_what_went_out_is_off_it(pages: Any) -> None:
    view = pages(TODAY, SOWN, picked("2027-06-10", 20), picked("2027-06-14", 10), out("sold", "2027-06-15", 12))
    result = in_cooler(view, Ask(topic="in_cooler"))
    assert [(lot.date.day, int(lot.left)) for lot in result.crops[0].lots] == [(10, 8), (14, 10)]
    assert [(int(amount), unit) for amount, unit in result.crops[0].totals] == [(18, "lb")]


def test_a_warm_cooler_shortens_keeping(pages: Any) -> None:
    warm = {"kind": "cooler_reading", "date": "2027-06-15", "temperature": 10, "unit": "C"}
    cold = {**warm, "temperature": 0}
    lot = (SOWN, picked("2027-06-14", 20))
    assert good_until(pages(TODAY, *lot, warm)) < good_until(pages(TODAY, *lot, cold))


def test_a_hot_picking_day_shortens_keeping(pages: Any) -> None:
    hot = {"kind": "weather", "date": "2027-06-14", "high": 36, "low": 20, "unit": "C"}
    lot = (SOWN, picked("2027-06-14", 20))
    assert good_until(pages(TODAY, *lot, hot)) < good_until(pages(TODAY, *lot))


def test_without_a_cooler_it_is_a_day_or_two(pages: Any) -> None:
    none = {"kind": "setting", "date": "2027-01-01", "name": "cooler", "value": "none"}
    view = pages(TODAY, SOWN, none, picked("2027-06-14", 20))
    assert (good_until(view) - dt.date(2027, 6, 14)).days == 2
    assert not in_cooler(view, Ask(topic="in_cooler")).cooler
    assert can_sell(view, Ask(topic="can_sell", date=dt.date(2027, 6, 18), crop="radish")).crops[0].cooler == 0


def test_what_was_thrown_out_for_age_teaches_how_long_it_keeps(pages: Any) -> None:
    lots = [picked(f"2027-0{month}-01", 20) for month in (3, 4, 5)]
    tossed = [out("discarded", f"2027-0{month}-05", 20, cause="slimy") for month in (3, 4, 5)]
    view = pages(TODAY, {**SOWN, "date": "2027-01-10"}, *lots, *tossed, picked("2027-06-14", 20))
    untaught = pages(TODAY, {**SOWN, "date": "2027-01-10"}, *lots, picked("2027-06-14", 20))
    assert spoiled_ages(view) == {"radish": [Seen(2027, 4.0)] * 3}
    fresh = [lots_left(each.season(), weather_book(each), spoiled_ages(each))[-1] for each in (view, untaught)]
    assert fresh[0].good_until < fresh[1].good_until


def test_what_is_past_its_last_good_day_is_told_apart(pages: Any) -> None:
    result = in_cooler(pages(TODAY, SOWN, picked("2027-05-20", 20)), Ask(topic="in_cooler"))
    assert result.crops[0].past == result.crops[0].totals


def test_more_sold_today_than_was_there_is_told(pages: Any) -> None:
    result = in_cooler(pages(TODAY, SOWN, out("sold", TODAY, 5)), Ask(topic="in_cooler"))
    assert [(int(amount), unit) for amount, unit in result.crops[0].unaccounted] == [(5, "lb")]


def test_an_empty_cooler_is_no_error(pages: Any) -> None:
    assert in_cooler(pages(TODAY, farm=()), Ask(topic="in_cooler")).crops == ()
