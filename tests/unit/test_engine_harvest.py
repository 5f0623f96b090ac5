"""The picking list: for orders, to take out and hold, to leave, too late, short."""

import datetime as dt
from decimal import Decimal
from typing import Any

from engine.asks import Ask
from engine.harvest import ToHarvest, to_harvest

TODAY = "2027-06-16"
HEAT = (
    {"kind": "setting", "date": "2027-01-01", "name": "monthly_highs", "value": [31] * 12},
    {"kind": "setting", "date": "2027-01-01", "name": "monthly_lows", "value": [19] * 12},
)
MILD = (
    {"kind": "setting", "date": "2027-01-01", "name": "monthly_highs", "value": [20] * 12},
    {"kind": "setting", "date": "2027-01-01", "name": "monthly_lows", "value": [10] * 12},
)


def sown(day: str, bed: str = "Brook 1", crop: str = "radish") -> dict[str, Any]:
    return {"kind": "sown", "date": day, "crop": crop, "beds": [bed]}


def order(day: str, amount: float, crop: str = "radish", customer: str = "Juniper Table") -> dict[str, Any]:
    return {"kind": "ordered", "date": day, "crop": crop, "quantity": amount, "unit": "lb", "customer": customer}


def asked(view: Any, day: str = TODAY, end: str | None = None, **more: Any) -> ToHarvest:
    first, last = dt.date.fromisoformat(day), dt.date.fromisoformat(end or day)
    return to_harvest(view, Ask(topic="to_harvest", start=first, end=last, **more))


def test_what_is_due_today_is_picked_today(pages: Any) -> None:
    result = asked(pages(TODAY, *MILD, sown("2027-05-18"), order(TODAY, 12)))
    pick = result.picks[0]
    assert (pick.crop, pick.bed, pick.quantity, pick.why) == ("radish", "Brook 1", Decimal(12), "order")
    assert pick.orders[0].customer == "Juniper Table"


def test_what_is_past_its_best_before_the_delivery_is_taken_out_and_held(pages: Any) -> None:
    view = pages(TODAY, *HEAT, sown("2027-06-01"), order("2027-06-21", 12))
    picks = asked(view, TODAY, "2027-06-21").picks
    held = next(pick for pick in picks if pick.why == "hold")
    assert held.day == held.best_until
    assert held.day < dt.date(2027, 6, 21) <= held.keeps_until
    assert (held.quantity, held.orders[0].date) == (Decimal(12), dt.date(2027, 6, 21))


def test_in_mild_weather_the_same_order_is_picked_on_its_day(pages: Any) -> None:
    view = pages(TODAY, *MILD, sown("2027-05-24"), order("2027-06-21", 12))
    assert [(pick.day, pick.why) for pick in asked(view, "2027-06-21").picks if pick.orders] == [
        (dt.date(2027, 6, 21), "order")
    ]


def test_without_a_cooler_nothing_is_held_for_days(pages: Any) -> None:
    none = {"kind": "setting", "date": "2027-01-01", "name": "cooler", "value": "none"}
    view = pages(TODAY, *HEAT, none, sown("2027-06-01"), order("2027-06-24", 12))
    result = asked(view, TODAY, "2027-06-24")
    assert not result.cooler
    assert all((order.date - pick.day).days <= 2 for pick in result.picks for order in pick.orders)


def test_the_cooler_is_used_before_the_bed(pages: Any) -> None:
    lot = {
        "kind": "harvested",
        "date": "2027-06-14",
        "crop": "radish",
        "beds": ["Brook 1"],
        "quantity": 15,
        "unit": "lb",
    }
    result = asked(pages(TODAY, *MILD, sown("2027-05-18"), lot, order(TODAY, 12)))
    assert [(one.quantity, one.picked) for one in result.from_cooler] == [(Decimal(12), dt.date(2027, 6, 14))]
    assert not [pick for pick in result.picks if pick.why == "order"]


def test_the_bed_that_spoils_first_is_picked_first(pages: Any) -> None:
    view = pages(TODAY, *MILD, sown("2027-05-16", "Brook 1"), sown("2027-05-20", "Brook 2"), order(TODAY, 10))
    assert [pick.bed for pick in asked(view).picks if pick.why == "order"] == ["Brook 1"]


def test_a_crop_that_closes_with_no_order_is_told_before_it_is_lost(pages: Any) -> None:
    result = asked(pages(TODAY, *HEAT, sown("2027-05-29")))
    assert [pick.why for pick in result.picks] == ["closing"]


def test_what_is_ready_and_can_wait_is_left(pages: Any) -> None:
    result = asked(pages(TODAY, *MILD, sown("2027-03-20", crop="carrot")))
    assert [(one.crop, one.why) for one in result.left] == [("carrot", "later")]
    assert not result.picks


def test_what_is_over_is_told_as_too_late(pages: Any) -> None:
    result = asked(pages(TODAY, *HEAT, sown("2027-05-10")))
    assert [(one.bed, one.why) for one in result.left] == [("Brook 1", "gone")]


def test_a_bed_in_its_waiting_time_is_never_on_the_list(pages: Any) -> None:
    spray = {"kind": "sprayed", "date": "2027-06-15", "beds": ["Brook 1"], "material": "soap", "harvest_wait_days": 4}
    view = pages(TODAY, *MILD, sown("2027-05-18"), spray, order(TODAY, 12))
    result = asked(view)
    assert not result.picks
    assert [(one.why, one.until) for one in result.left] == [("waiting", dt.date(2027, 6, 19))]
    assert [(one.quantity, one.customer) for one in result.short] == [(Decimal(12), "Juniper Table")]


def test_asked_of_a_bed_only_that_bed_is_told(pages: Any) -> None:
    view = pages(TODAY, *MILD, sown("2027-05-18"), sown("2027-05-18", "Brook 2"), order(TODAY, 12))
    told = to_harvest(view, Ask(topic="to_harvest", beds=("Brook 2",)))
    assert {one.bed for one in (*told.picks, *told.left)} == {"Brook 2"}


def test_raw_manure_keeps_a_bed_off_the_list(pages: Any) -> None:
    manure = {"kind": "amended", "date": "2027-05-01", "beds": ["Brook 1"], "material": "raw manure"}
    assert not asked(pages(TODAY, *MILD, manure, sown("2027-05-18"), order(TODAY, 12))).picks


def test_what_is_not_there_is_told_as_short(pages: Any) -> None:
    result = asked(pages(TODAY, *MILD, order("2027-06-18", 12)))
    assert [(one.crop, one.quantity) for one in result.short] == [("radish", Decimal(12))]


def test_two_orders_share_a_bed_without_sharing_a_pound(pages: Any) -> None:
    view = pages(TODAY, *MILD, sown("2027-05-18"), order(TODAY, 20), order(TODAY, 20, customer="Vale Grocers"))
    result = asked(view)
    picked = sum((pick.quantity for pick in result.picks), Decimal(0))
    missing = sum((one.quantity for one in result.short), Decimal(0))
    assert picked + missing == 40
    assert picked == Decimal("29.0")


def test_a_plot_narrows_the_list(pages: Any) -> None:
    view = pages(TODAY, *HEAT, sown("2027-05-29"), sown("2027-05-29", "Gate 1"))
    assert {pick.plot for pick in asked(view, plot="Gate").picks} == {"Gate"}


def test_an_empty_farm_has_nothing_to_pick(pages: Any) -> None:
    result = to_harvest(pages(TODAY, farm=()), Ask(topic="to_harvest"))
    assert (result.picks, result.left, result.short) == ((), (), ())


def test_what_is_over_before_the_day_asked_about_is_not_told_for_then(pages: Any) -> None:
    view = pages(TODAY, *MILD, sown("2027-05-18"), sown("2027-06-14", "Brook 2"))
    far = asked(view, "2027-07-12")
    told = {one.bed for one in (*far.picks, *far.left)}
    assert told == {"Brook 2"}


def test_signs_of_animals_go_with_the_picking_list(pages: Any) -> None:
    deer = {"kind": "sighted", "date": "2027-06-15", "beds": ["Brook 1"], "what": "deer droppings"}
    result = asked(pages(TODAY, *MILD, sown("2027-05-18"), deer, order(TODAY, 12)))
    assert any("Brook 1: deer droppings" in note and "leave what is soiled" in note for note in result.notes)


def hours_told(hours: str, on: str | None = None) -> dict[str, Any]:
    value: Any = hours if on is None else {"on": on, "hours": hours}
    return {"kind": "setting", "date": "2027-06-01", "name": "picking_hours", "value": value}


PACE = {"kind": "setting", "date": "2027-06-01", "name": "picking_pace", "value": {"quantity": "10", "unit": "lb"}}


def test_without_a_limit_hours_are_not_spoken_of(pages: Any) -> None:
    result = asked(pages(TODAY, *MILD, PACE, sown("2027-05-18"), order(TODAY, 12)))
    assert result.hours is None
    assert [pick.hours for pick in result.picks] == [None]


def test_what_does_not_fit_into_the_hours_is_told_with_who_waits_for_it(pages: Any) -> None:
    view = pages(TODAY, *MILD, PACE, hours_told("1"), sown("2027-05-18"), order(TODAY, 12))
    result = asked(view)
    assert [(pick.quantity, pick.hours) for pick in result.picks if pick.why == "order"] == [(10, 1)]
    assert result.hours is not None
    assert [(day.hours, day.taken) for day in result.hours.days] == [(1, 1)]
    (left,) = [one for one in result.hours.left if one.order]
    assert (left.quantity, left.hours, left.instead) == (2, Decimal("0.2"), None)
    assert left.order is not None
    assert left.order.customer == "Juniper Table"


def test_a_short_day_sends_the_picking_to_the_day_before_where_the_crop_keeps(pages: Any) -> None:
    view = pages(TODAY, *MILD, PACE, hours_told("0", "2027-06-18"), sown("2027-05-18"), order("2027-06-18", 12))
    assert [(pick.day.isoformat(), pick.why) for pick in asked(view, TODAY, "2027-06-18").picks if pick.orders] == [
        ("2027-06-17", "hold")
    ]
    friday = asked(view, "2027-06-18")
    assert not [pick for pick in friday.picks if pick.orders]
    assert friday.hours is not None
    assert [(one.quantity, str(one.instead)) for one in friday.hours.left if one.order] == [(12, "2027-06-17")]


def test_orders_go_before_what_only_closes(pages: Any) -> None:
    beds = [sown("2027-05-13", f"Brook {number}") for number in (1, 2)]
    view = pages(TODAY, *MILD, PACE, hours_told("1"), *beds, order(TODAY, 12))
    free = asked(pages(TODAY, *MILD, PACE, *beds, order(TODAY, 12)))
    assert {pick.why for pick in free.picks} == {"order", "closing"}
    result = asked(view)
    assert [(pick.why, pick.hours) for pick in result.picks] == [("order", 1)]
    assert result.hours is not None
    assert [one.order is None for one in result.hours.left] == [False, True, True]


def test_without_a_pace_the_limit_is_not_held_to_and_that_is_said(pages: Any) -> None:
    result = asked(pages(TODAY, *MILD, hours_told("1"), sown("2027-05-18"), order(TODAY, 12)))
    assert result.hours is None
    assert [pick.quantity for pick in result.picks if pick.orders] == [12]
    assert any("say how much you pick in an hour" in note for note in result.notes)


def test_the_pace_is_learned_from_days_with_hours_and_amounts(pages: Any) -> None:
    day = {"date": "2027-06-10", "crop": "radish", "beds": ["Brook 1"]}
    picked = {"kind": "harvested", **day, "quantity": 8, "unit": "lb"}
    worked = {"kind": "worked", "date": "2027-06-10", "hours": 2, "task": "harvested"}
    view = pages(TODAY, *MILD, hours_told("1"), sown("2027-05-10"), picked, worked, order(TODAY, 12))
    result = asked(view)
    assert [(pick.quantity, pick.hours) for pick in result.picks if pick.why == "order"] == [(4, 1)]
    assert any("4 lb an hour" in line for line in result.workings)


def test_a_crop_of_unknown_pace_is_left_out_of_the_hours_and_named(pages: Any) -> None:
    arugula = sown("2027-05-04", "Brook 2", "arugula")
    pace = PACE | {"crop": "radish"}
    view = pages(TODAY, *MILD, pace, hours_told("1"), sown("2027-05-18"), order(TODAY, 12), arugula,
                 order(TODAY, 5, "arugula"))  # fmt: skip
    result = asked(view)
    assert {pick.crop: pick.hours for pick in result.picks if pick.orders} == {"radish": 1, "arugula": None}
    assert any(note.endswith("not known: arugula (lb)") for note in result.notes)
