"""What each kind of record does to the farm."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest

from engine.events import KINDS, Event, Json, from_json
from engine.season import fold, season_of, start
from engine.season_wants import every_days
from engine.state import Lot, Order, Season
from engine.view import Fact

BROOK = [f"Brook {number}" for number in range(1, 5)]
FARM: list[Json] = [
    {"kind": "plot_added", "date": "2027-03-01", "plot": "Brook", "beds": BROOK, "length_ft": 50, "width_in": 30},
    {"kind": "plot_added", "date": "2027-03-01", "plot": "Gate", "beds": ["Gate 1"], "length_ft": 100},
    {"kind": "customer_added", "date": "2027-03-01", "customer": "Harbour Oven"},
]
TODAY = dt.date(2027, 6, 14)


def said(kind: str, day: str, **fields: Any) -> Json:
    return {"kind": kind, "date": f"2027-{day}", **fields}


def farm(*records: Json, on: str = "06-14") -> Season:
    """The farm on a day of 2027 after these records, entered in this order; the first of them is entry 4."""
    facts = [Fact(entry, from_json(record), "") for entry, record in enumerate([*FARM, *records], 1)]
    return season_of(facts, dt.date.fromisoformat(f"2027-{on}"))


SOWN = said("sown", "05-01", crop="radish", beds=["Brook 1", "Brook 2"], variety="Early Red")
PICKED = said("harvested", "06-01", crop="radish", beds=["Brook 1"], quantity=30, unit="lb")


def left(season: Season) -> list[tuple[int, Decimal, str]]:
    return [(lot.entry, lot.left, lot.unit) for lot in season.lots]


def moved(season: Season, crop: str = "radish") -> dict[str, Decimal]:
    return {f"{way} {unit}": amount for (way, unit), amount in season.tallies[crop].moved.items()}


# -- the whole


@pytest.mark.parametrize("kind", KINDS)
def test_the_fold_knows_every_kind(kind: str) -> None:
    values: dict[str, Any] = {
        "date": TODAY, "plot": "Brook", "beds": ("Brook 1",), "customer": "Harbour Oven", "crop": "radish",
        "name": "currency", "value": "EUR", "percent": Decimal(80), "material": "tarp", "what": "flowers",
        "quantity": Decimal(1), "unit": "lb", "amount": Decimal(1), "item": "twine", "price": Decimal(1),
        "task": "weeded", "hours": Decimal(1), "temperature": Decimal(3), "text": "", "entry": 1, "replaces": {},
        "kind_undone": "sown",
    }  # fmt: skip
    event = KINDS[kind](
        **{name: value for name, value in values.items() if name in KINDS[kind].__slots__ or name == "date"}
    )

    fold(start(TODAY), Fact(1, event, ""))


def test_a_kind_nobody_taught_the_fold_is_a_fault_and_not_passed_over() -> None:
    class Danced(Event):
        kind = "danced"

    with pytest.raises(AssertionError, match="danced"):
        fold(start(TODAY), Fact(1, Danced(date=TODAY), ""))


def test_what_was_registered_today_holds_for_what_is_told_of_last_month() -> None:
    records: Sequence[Json] = [
        said("plot_added", "06-14", plot="Terrace", beds=["Terrace 1"], length_ft=40),
        said("sown", "05-20", crop="beet", beds=["Terrace 1"]),
    ]

    bed = farm(*records, on="05-20").beds["Terrace 1"]

    assert (bed.plot, bed.length_ft, bed.state) == ("Terrace", 40, "growing")


def test_a_setting_holds_from_its_day_and_the_first_one_also_before() -> None:
    records = [
        said("setting", "04-01", name="currency", value="EUR"),
        said("setting", "06-01", name="currency", value="USD"),
    ]

    assert farm(*records, on="03-02").settings["currency"] == "EUR"
    assert farm(*records, on="05-31").settings["currency"] == "EUR"
    assert farm(*records, on="06-01").settings["currency"] == "USD"


def test_a_crop_setting_takes_the_place_of_the_one_before() -> None:
    days = [
        said("setting", day, name="days", crop="radish", value=value) for day, value in (("04-01", 30), ("05-01", 26))
    ]

    assert [one["value"] for one in farm(*days).overrides["radish"]] == [26]


def test_aliases_do_not_take_each_others_place() -> None:
    aliases = [
        said("setting", "04-01", name="alias", value={"say": say, "mean": "salad mix"})
        for say in ("green stuff", "mix")
    ]

    assert [one["value"]["say"] for one in farm(*aliases).overrides[""]] == ["green stuff", "mix"]


# -- beds


def test_sowing_opens_the_bed_for_the_crop() -> None:
    tarp = said("covered", "04-20", beds=["Brook 1"], material="tarp")

    bed = farm(said("prepared", "04-19", beds=["Brook 1"]), tarp, SOWN).beds["Brook 1"]

    assert (bed.state, bed.covered_since, bed.prepared_since, bed.open_since) == ("growing", None, None, None)
    assert [(one.crop, one.variety, one.sown) for one in bed.plantings] == [
        ("radish", "Early Red", dt.date(2027, 5, 1))
    ]


def test_one_harvest_from_two_beds_is_split_by_their_lengths() -> None:
    sown = said("sown", "05-01", crop="radish", beds=["Brook 1", "Gate 1"])
    season = farm(sown, said("harvested", "06-01", crop="radish", beds=["Brook 1", "Gate 1"], quantity=31, unit="lb"))

    shares = {one.bed: one.pickings[0].quantity for one in season.plantings()}

    assert shares == {"Brook 1": Decimal("10.33"), "Gate 1": Decimal("20.67")}
    assert left(season) == [(5, Decimal(31), "lb")]


def test_cuts_count_up_by_days() -> None:
    again = [said("harvested", day, crop="radish", beds=["Brook 1"]) for day in ("06-01", "06-01", "06-08")]

    pickings = farm(SOWN, *again).beds["Brook 1"].plantings[0].pickings

    assert [picking.cut for picking in pickings] == [1, 1, 2]


def test_a_cut_that_was_numbered_keeps_its_number() -> None:
    third = said("harvested", "06-01", crop="radish", beds=["Brook 1"], cut=3)
    after = said("harvested", "06-08", crop="radish", beds=["Brook 1"])

    assert farm(SOWN, third, after).beds["Brook 1"].plantings[0].cuts_taken == 4


def test_the_last_harvest_ends_the_crop_and_opens_the_bed() -> None:
    bed = farm(SOWN, PICKED | {"last": True}).beds["Brook 1"]

    assert (bed.state, bed.open_since, bed.plantings) == ("open", dt.date(2027, 6, 1), [])
    assert [(one.crop, one.ended, len(one.pickings)) for one in bed.past] == [("radish", dt.date(2027, 6, 1), 1)]


def test_clearing_one_of_two_crops_leaves_the_other() -> None:
    beet = said("sown", "05-02", crop="beet", beds=["Brook 1"])

    bed = farm(SOWN, beet, said("cleared", "06-02", beds=["Brook 1"], crop="radish")).beds["Brook 1"]

    assert ([one.crop for one in bed.plantings], bed.open_since) == (["beet"], None)


def test_turning_a_bed_over_clears_it_too() -> None:
    bed = farm(SOWN, said("prepared", "06-02", beds=["Brook 1"])).beds["Brook 1"]

    assert (bed.state, bed.open_since, bed.prepared_since) == ("ready", dt.date(2027, 6, 2), dt.date(2027, 6, 2))


def test_a_bed_stays_open_since_the_day_it_became_empty() -> None:
    bed = farm(SOWN, said("cleared", "06-01", beds=["Brook 1"]), said("prepared", "06-05", beds=["Brook 1"])).beds[
        "Brook 1"
    ]

    assert (bed.open_since, bed.prepared_since) == (dt.date(2027, 6, 1), dt.date(2027, 6, 5))


def test_losses_take_a_share_of_what_stands() -> None:
    up = said("germinated", "05-08", beds=["Brook 1"], percent=80)
    half = said("lost", "05-20", beds=["Brook 1"], crop="radish", percent=50)

    stands = {one.bed: one.stand for one in farm(SOWN, up, half).plantings()}

    assert stands == {"Brook 1": 40, "Brook 2": 100}


def test_seedlings_set_out_leave_their_trays_oldest_first() -> None:
    trays = [said("tray_sown", day, crop="lettuce", trays=2, cells=72) for day in ("04-01", "04-08")]
    out = said("transplanted", "05-10", crop="lettuce", beds=["Brook 3"], quantity=180)

    season = farm(*trays, out)

    assert [(one.entry, one.trays) for one in season.trays] == [(5, Decimal("1.5"))]
    assert season.beds["Brook 3"].plantings[0].transplanted


def test_manure_is_worked_in_when_the_bed_is_turned_before_planting() -> None:
    manure = said("amended", "03-10", beds=["Brook 1", "Brook 2"], material="manure", quantity=4, unit="wheelbarrow")
    turned = said("prepared", "03-20", beds=["Brook 1"])
    late = said("prepared", "06-10", beds=["Brook 2"])

    treatments = {one.bed: (one.worked_in, one.quantity) for one in farm(manure, turned, SOWN, late).treatments}

    assert treatments == {"Brook 1": (dt.date(2027, 3, 20), 2), "Brook 2": (None, 2)}


def test_a_bed_remembers_six_years_of_crops_and_three_of_pickings() -> None:
    old = [
        {"kind": "sown", "date": f"{year}-05-01", "crop": "radish", "beds": ["Brook 1"]} for year in (2020, 2022, 2025)
    ]
    picked = [
        record | {"kind": "harvested", "date": record["date"].replace("-05-", "-06-"), "last": True} for record in old
    ]

    past = farm(*old, *picked).beds["Brook 1"].past

    assert [(one.sown.year, len(one.pickings)) for one in past] == [(2022, 0), (2025, 1)]


# -- the cooler


def test_sales_draw_from_the_oldest_lot_first() -> None:
    lots = [
        said("harvested", day, crop="radish", beds=["Brook 1"], quantity=10, unit="lb") for day in ("06-01", "06-03")
    ]

    season = farm(SOWN, *lots, said("sold", "06-04", crop="radish", quantity=12, unit="lb", customer="Harbour Oven"))

    assert left(season) == [(5, Decimal(0), "lb"), (6, Decimal(8), "lb")]


def test_a_sale_in_kilograms_draws_from_a_lot_in_pounds_exactly() -> None:
    season = farm(SOWN, PICKED, said("sold", "06-02", crop="radish", quantity=10, unit="kg"))

    assert moved(season)["picked lb"] == moved(season)["sold lb"] + season.lots[0].left
    assert float(moved(season)["sold lb"]) == pytest.approx(22.046226)


def test_a_sale_in_a_unit_that_does_not_compare_leaves_the_lot_alone() -> None:
    season = farm(SOWN, PICKED, said("sold", "06-02", crop="radish", quantity=10, unit="bunch"))

    assert left(season) == [(5, Decimal(30), "lb")]
    assert moved(season) == {"picked lb": 30, "sold bunch": 10, "short bunch": 10}


def test_selling_more_than_there_is_is_a_shortage_and_no_negative_lot() -> None:
    season = farm(SOWN, PICKED, said("sold", "06-02", crop="radish", quantity=45, unit="lb"))

    assert left(season) == [(5, Decimal(0), "lb")]
    assert moved(season) == {"picked lb": 30, "sold lb": 45, "short lb": 15}


def test_a_harvest_told_after_the_sale_of_its_day_fills_it() -> None:
    sale = said("sold", "06-01", crop="radish", quantity=12, unit="lb")

    in_order, other_way = farm(SOWN, PICKED, sale), farm(SOWN, sale, PICKED)

    assert moved(in_order) == moved(other_way) == {"picked lb": 30, "sold lb": 12}
    assert [lot.left for lot in other_way.lots] == [18]


def test_a_harvest_of_the_next_day_does_not_fill_yesterdays_shortage() -> None:
    season = farm(SOWN, said("sold", "05-31", crop="radish", quantity=12, unit="lb"), PICKED)

    assert moved(season) == {"sold lb": 12, "short lb": 12, "picked lb": 30}
    assert [lot.left for lot in season.lots] == [30]


def test_what_comes_back_goes_into_the_lot_it_came_from() -> None:
    sale = said("sold", "06-02", crop="radish", quantity=30, unit="lb")
    back = said("returned", "06-03", crop="radish", quantity=4, unit="lb")

    season = farm(SOWN, PICKED, sale, back)

    assert left(season) == [(5, Decimal(4), "lb")]


def test_what_comes_back_from_nowhere_is_a_lot_of_its_own() -> None:
    season = farm(said("returned", "06-03", crop="radish", quantity=4, unit="lb"))

    assert season.lots == [Lot(4, "radish", (), dt.date(2027, 6, 3), Decimal(0), Decimal(4), "lb")]


def test_an_emptied_lot_stays_two_weeks() -> None:
    sale = said("sold", "06-02", crop="radish", quantity=30, unit="lb")

    assert left(farm(SOWN, PICKED, sale, on="06-15")) == [(5, Decimal(0), "lb")]
    assert left(farm(SOWN, PICKED, sale, on="06-16")) == []


def test_a_tote_sold_before_anybody_said_what_it_weighs_is_drawn_once_that_is_said() -> None:
    weight = said(
        "setting", "06-14", name="weight", crop="radish", value={"unit": "tote", "quantity": "20", "in": "lb"}
    )

    season = farm(SOWN, PICKED, said("sold", "06-02", crop="radish", quantity=1, unit="tote"), weight)

    assert left(season) == [(5, Decimal(10), "lb")]


# -- orders, prices, plans

WEEKLY = said("ordered", "06-04", crop="radish", quantity=20, unit="lb", customer="Harbour Oven", repeats="weekly")


def due(season: Season, start: str, end: str) -> list[tuple[str, Decimal]]:
    days = dt.date.fromisoformat(f"2027-{start}"), dt.date.fromisoformat(f"2027-{end}")
    return sorted((f"{day:%m-%d}", amount) for order in season.orders for day, amount in order.deliveries(*days))


@pytest.mark.parametrize(
    ("words", "days"),
    [
        ("weekly", 7), ("every week", 7), ("each week", 7), ("every two weeks", 14), ("every 2 weeks", 14),
        ("every other week", 14), ("fortnightly", 14), ("daily", 1), ("every day", 1), ("every other day", 2),
        ("every 10 days", 10), ("every friday", 7), ("every other tuesday", 14), ("once a week", 7), ("monthly", 28),
        ("every three weeks", 21), ("Weekly", 7), ("every fortnight", 14),
    ],
)  # fmt: skip
def test_words_of_repetition_are_days(words: str, days: int) -> None:
    assert every_days(words) == days


@pytest.mark.parametrize("words", ["", "sometimes", "every now and then", "twice a week", "every 0 days", "every moon"])
def test_words_that_do_not_say_how_often_are_none(words: str) -> None:
    assert every_days(words) is None


def test_an_order_for_next_week_is_known_today() -> None:
    once = said("ordered", "06-18", crop="radish", quantity=5, unit="lb", customer="Harbour Oven")

    assert due(farm(once), "06-14", "06-30") == [("06-18", 5)]


def test_a_standing_order_is_due_every_week() -> None:
    assert due(farm(WEEKLY), "06-14", "07-04") == [("06-18", 20), ("06-25", 20), ("07-02", 20)]


def test_a_standing_order_ends_with_its_until() -> None:
    assert due(farm(WEEKLY | {"until": "2027-06-25"}), "06-14", "07-31") == [("06-18", 20), ("06-25", 20)]


def test_one_delivery_changes_alone() -> None:
    change = said("order_changed", "06-18", crop="radish", customer="Harbour Oven", quantity=30)

    assert due(farm(WEEKLY, change), "06-14", "06-30") == [("06-18", 30), ("06-25", 20)]


def test_one_delivery_moves_alone() -> None:
    change = said("order_changed", "06-18", crop="radish", customer="Harbour Oven", moved_to="2027-06-19")

    assert due(farm(WEEKLY, change), "06-14", "06-30") == [("06-19", 20), ("06-25", 20)]


def test_one_delivery_at_another_price_is_an_order_of_its_own() -> None:
    change = said("order_changed", "06-18", crop="radish", customer="Harbour Oven", price=3)

    season = farm(WEEKLY, change)

    assert due(season, "06-14", "06-30") == [("06-18", 20), ("06-25", 20)]
    assert [order.price for order in season.orders if order.every_days is None] == [3]


def test_of_two_customers_only_the_one_meant_is_changed() -> None:
    other = WEEKLY | {"customer": "Juniper Table", "quantity": 7}
    change = said("order_changed", "06-18", crop="radish", customer="Juniper Table", quantity=9)

    assert due(farm(WEEKLY, other, change), "06-14", "06-20") == [("06-18", 9), ("06-18", 20)]


def test_two_orders_for_one_day_are_delivered_one_after_the_other() -> None:
    once = said("ordered", "06-18", crop="radish", quantity=5, unit="lb", customer="Harbour Oven")
    sale = said("sold", "06-14", crop="radish", quantity=22, unit="lb", customer="Harbour Oven")

    assert [(order.quantity, order.delivered) for order in farm(WEEKLY, once, sale).orders] == [(20, 20), (5, 2)]


def test_a_change_to_an_order_that_nobody_placed_changes_nothing() -> None:
    assert farm(said("order_changed", "06-18", crop="radish", quantity=9)).orders == []


def test_a_standing_order_changes_from_a_day_on() -> None:
    change = said("order_changed", "06-25", crop="radish", customer="Harbour Oven", quantity=30, repeats="weekly")

    assert due(farm(WEEKLY, change), "06-14", "07-04") == [("06-18", 20), ("06-25", 30), ("07-02", 30)]


def test_a_standing_order_is_off_once_or_for_good() -> None:
    once = said("order_cancelled", "06-18", crop="radish", customer="Harbour Oven")
    for_good = once | {"repeats": "weekly"}

    assert due(farm(WEEKLY, once), "06-14", "06-30") == [("06-25", 20)]
    assert due(farm(WEEKLY, for_good), "06-01", "06-30") == [("06-04", 20), ("06-11", 20)]


def test_a_single_order_is_changed_moved_and_cancelled() -> None:
    once = said("ordered", "06-18", crop="radish", quantity=5, unit="lb", customer="Harbour Oven")
    more = said("order_changed", "06-18", crop="radish", quantity=8, moved_to="2027-06-20")

    assert due(farm(once, more), "06-14", "06-30") == [("06-20", 8)]
    assert due(farm(once, said("order_cancelled", "06-18", crop="radish")), "06-14", "06-30") == []


def test_a_sale_to_the_customer_counts_for_the_coming_delivery() -> None:
    early = said("sold", "06-13", crop="radish", quantity=12, unit="lb", customer="Harbour Oven")
    last_week = said("sold", "06-11", crop="radish", quantity=20, unit="lb", customer="Harbour Oven")

    assert [order.delivered for order in farm(WEEKLY, last_week, early).orders] == [12]


def test_a_delivery_sold_on_its_day_is_delivered_that_evening_and_the_next_is_not() -> None:
    sale = said("sold", "06-11", crop="radish", quantity=20, unit="lb", customer="Harbour Oven")

    assert [order.delivered for order in farm(WEEKLY, sale, on="06-11").orders] == [20]
    assert [order.delivered for order in farm(WEEKLY, sale, on="06-12").orders] == [0]


def test_a_passed_order_is_out_of_sight_after_a_month() -> None:
    once = said("ordered", "05-01", crop="radish", quantity=5, unit="lb")

    assert len(farm(once, on="06-01").orders) == 1
    assert farm(once, on="06-02").orders == []


def test_delivery_days_are_counted_from_the_first_one() -> None:
    order = Order(1, "radish", Decimal(5), "lb", dt.date(2027, 6, 4), every_days=14)

    assert order.days(dt.date(2027, 6, 10), dt.date(2027, 7, 10)) == [dt.date(2027, 6, 18), dt.date(2027, 7, 2)]


def test_the_latest_price_holds() -> None:
    prices = [said("priced", day, crop="radish", price=price, unit="lb") for day, price in (("05-01", 4), ("06-01", 5))]

    assert farm(*prices, on="05-31").prices["radish", None].price == 4
    assert farm(*prices, on="06-01").prices["radish", None].price == 5


def test_a_plan_goes_when_it_is_done_bed_by_bed() -> None:
    plan = said("planned", "06-16", task="prepared", beds=["Brook 1", "Brook 2"])

    season = farm(plan, said("prepared", "06-13", beds=["Brook 1"]))

    assert [one.beds for one in season.plans] == [("Brook 2",)]
    assert farm(plan, said("prepared", "06-13", beds=["Brook 1", "Brook 2"])).plans == []


def test_picking_on_monday_does_not_do_fridays_picking() -> None:
    plan = said("planned", "06-18", task="harvested", crop="radish")

    assert len(farm(SOWN, plan, said("harvested", "06-14", crop="radish", beds=["Brook 1"])).plans) == 1
    assert farm(SOWN, plan, said("harvested", "06-17", crop="radish", beds=["Brook 1"]), on="06-17").plans == []


def test_a_plan_in_the_growers_own_words_stays_for_two_months() -> None:
    plan = said("planned", "06-01", task="mend the fence")

    assert len(farm(plan, on="07-31").plans) == 1
    assert farm(plan, on="08-01").plans == []
