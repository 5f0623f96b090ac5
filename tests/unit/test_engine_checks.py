"""What is doubted, what is not, and that each doubt brings what is needed to ask well."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from engine.checks import Doubt, celsius, doubts
from engine.crops import facts
from engine.events import Event, Json, from_json
from engine.season import season_of
from engine.state import Season
from engine.view import Fact

TODAY = dt.date(2027, 6, 14)
BOOK: list[Json] = [
    {"kind": "plot_added", "date": "2027-03-01", "plot": "Brook", "beds": [f"Brook {n}" for n in range(1, 7)],
     "length_ft": 50},
    {"kind": "plot_added", "date": "2027-03-01", "plot": "Gate", "beds": ["Gate 1", "Gate 4"], "length_ft": 100},
    {"kind": "customer_added", "date": "2027-03-01", "customer": "Harbour Oven"},
    {"kind": "sown", "date": "2027-05-01", "crop": "radish", "beds": ["Brook 4"]},
    {"kind": "sown", "date": "2027-05-01", "crop": "arugula", "beds": ["Brook 5"]},
    {"kind": "sown", "date": "2027-05-01", "crop": "radish", "beds": ["Gate 1"]},
    {"kind": "harvested", "date": "2027-06-10", "crop": "radish", "beds": ["Gate 1"], "quantity": 40, "unit": "lb"},
    {"kind": "ordered", "date": "2027-06-18", "crop": "radish", "quantity": 10, "unit": "lb",
     "customer": "Harbour Oven", "repeats": "weekly"},
    {"kind": "sprayed", "date": "2027-06-13", "beds": ["Brook 5"], "material": "soap", "harvest_wait_days": 3},
    {"kind": "amended", "date": "2027-04-20", "beds": ["Brook 6"], "material": "raw manure"},
    {"kind": "sown", "date": "2027-05-01", "crop": "carrot", "beds": ["Brook 6"]},
    {"kind": "cleared", "date": "2027-06-05", "beds": ["Brook 1"]},
    {"kind": "setting", "date": "2027-03-01", "name": "weight", "crop": "radish",
     "value": {"unit": "tote", "quantity": "20", "in": "lb"}},
]  # fmt: skip


def farm(day: dt.date = TODAY) -> Season:
    return season_of([Fact(entry, from_json(record), "") for entry, record in enumerate(BOOK, 1)], day)


def event(kind: str, day: str = "2027-06-14", **fields: Any) -> Event:
    return from_json({"kind": kind, "date": day, **fields})


def asked(one: Event, day: dt.date = TODAY) -> list[Doubt]:
    return list(doubts(one, farm(day), TODAY))


def codes(kind: str, day: str = "2027-06-14", **fields: Any) -> list[str]:
    return [doubt.code for doubt in asked(event(kind, day, **fields))]


def picked(**fields: Any) -> Event:
    return event("harvested", **({"crop": "radish", "beds": ["Brook 4"], "quantity": 30, "unit": "lb"} | fields))


@pytest.mark.parametrize(
    "one",
    [
        picked(),
        picked(quantity=2, unit="tote"),
        picked(quantity=24, unit="bunch"),
        event("sown", crop="beet", beds=["Brook 1"]),
        event("transplanted", crop="lettuce", beds=["Brook 2"], quantity=200),
        event("sold", crop="radish", quantity=40, unit="lb", customer="Harbour Oven", price=4),
        event("sold", crop="radish", quantity=2, unit="tote", customer="Harbour Oven"),
        event("ordered", "2027-07-02", crop="radish", quantity=10, unit="lb", customer="Harbour Oven"),
        event("order_changed", "2027-06-18", crop="radish", customer="Harbour Oven", quantity=0),
        event("order_cancelled", "2027-06-18", crop="radish"),
        event("planned", "2027-06-20", task="harvested", beds=["Brook 4"]),
        event("cleared", beds=["Brook 2"]),
        event("covered", beds=["Brook 4"], material="row cover"),
        event("lost", beds=["Brook 4"], crop="radish", percent=100),
        event("sighted", beds=["Brook 2"], what="bindweed"),
        event("sprayed", beds=["Brook 4"], material="soap", harvest_wait_days=0, entry_wait_hours=4),
        event("weather", high=104, low=60, unit="F", rain=2, rain_unit="in"),
        event("weather", high=-10, low=-25, unit="C"),
        event("cooler_reading", temperature=38, unit="F"),
        event("worked", hours=9.5, who="Ines"),
        event("worked", hours=40),
        event("took", amount=1840, customer="Harbour Oven"),
        event("plot_added", plot="Terrace", beds=["Terrace 1"], length_ft=50),
        event("noted", text="quiet day"),
    ],
    ids=lambda one: one.kind,
)
def test_an_ordinary_evening_raises_no_doubt(one: Event) -> None:
    assert asked(one) == []


@pytest.mark.parametrize(
    ("code", "kind", "fields"),
    [
        ("bed_unknown", "watered", {"beds": ["Brook 9"]}),
        ("bed_empty", "harvested", {"crop": "radish", "beds": ["Brook 2"]}),
        ("crop_not_in_bed", "harvested", {"crop": "beet", "beds": ["Brook 4"]}),
        ("crop_not_in_bed", "cleared", {"crop": "beet", "beds": ["Brook 4"]}),
        ("bed_empty", "germinated", {"beds": ["Brook 2"], "percent": 80}),
        ("crop_not_in_bed", "lost", {"beds": ["Brook 4"], "crop": "beet", "percent": 10}),
        ("bed_planted", "sown", {"crop": "beet", "beds": ["Brook 4"]}),
        ("bed_planted", "transplanted", {"crop": "lettuce", "beds": ["Brook 4"]}),
        ("not_positive", "harvested", {"crop": "radish", "beds": ["Brook 4"], "quantity": 0, "unit": "lb"}),
        ("not_positive", "sold", {"crop": "radish", "quantity": -3, "unit": "lb"}),
        ("not_positive", "worked", {"hours": 0}),
        ("negative", "priced", {"crop": "radish", "price": -4, "unit": "lb"}),
        ("negative", "weather", {"rain": -1, "rain_unit": "mm"}),
        ("over_100_percent", "lost", {"beds": ["Brook 4"], "percent": 110}),
        ("price_absurd", "priced", {"crop": "radish", "price": 4000, "unit": "lb"}),
        ("hours_absurd", "worked", {"hours": 25, "who": "Ines"}),
        ("hours_absurd", "worked", {"hours": 800}),
        ("temperature_impossible", "weather", {"high": 85, "unit": "C"}),
        ("temperature_impossible", "weather", {"low": -95, "unit": "F"}),
        ("high_below_low", "weather", {"high": 9, "low": 20, "unit": "C"}),
        ("rain_impossible", "weather", {"rain": 80, "rain_unit": "in"}),
        ("temperature_impossible", "cooler_reading", {"temperature": 41, "unit": "C"}),
        ("wait_absurd", "sprayed", {"beds": ["Brook 4"], "material": "soap", "harvest_wait_days": 400}),
        ("more_than_was_picked", "sold", {"crop": "radish", "quantity": 400, "unit": "lb"}),
        ("more_than_was_picked", "given", {"crop": "beet", "quantity": 4, "unit": "lb"}),
        ("lot_holds_less", "sold", {"crop": "radish", "quantity": 1, "unit": "lb", "lot": "33-XXX"}),
        ("customer_unknown", "sold", {"crop": "radish", "quantity": 4, "unit": "lb", "customer": "Vale Grocers"}),
        ("no_such_order", "order_cancelled", {"crop": "carrot", "customer": "Harbour Oven"}),
        ("repeats_unclear", "ordered", {"crop": "radish", "quantity": 4, "unit": "lb", "repeats": "now and then"}),
        ("ends_before_it_starts", "ordered", {"crop": "radish", "quantity": 4, "unit": "lb", "until": "2027-06-01"}),
    ],
)
def test_what_cannot_be_or_hardly_is_doubted(code: str, kind: str, fields: dict[str, Any]) -> None:
    assert codes(kind, **fields) == [code]


@pytest.mark.parametrize("kind", ["harvested", "watered", "sown", "sold", "weather", "worked"])
def test_nothing_was_done_in_days_to_come(kind: str) -> None:
    fields: dict[str, dict[str, Any]] = {
        "harvested": {"crop": "radish", "beds": ["Brook 4"]}, "watered": {"beds": ["Brook 4"]},
        "sown": {"crop": "beet", "beds": ["Brook 2"]}, "sold": {"crop": "radish", "quantity": 1, "unit": "lb"},
        "weather": {"high": 20, "unit": "C"}, "worked": {"hours": 3},
    }  # fmt: skip
    (doubt,) = doubts(event(kind, "2027-06-15", **fields[kind]), farm(dt.date(2027, 6, 15)), TODAY)

    assert (doubt.code, doubt.about, doubt.firm) == ("in_the_future", "date", True)


def test_wants_lie_ahead_but_not_years() -> None:
    wanted = {"crop": "radish", "quantity": 1, "unit": "lb"}

    assert codes("ordered", "2028-06-01", **wanted) == []
    assert codes("ordered", "2037-06-18", **wanted) == ["far_away"]


def test_a_deed_of_years_ago_is_asked_about_once() -> None:
    assert codes("watered", "2024-06-14", beds=["Brook 4"]) == ["long_ago"]


def test_an_unknown_bed_brings_the_beds_of_that_number() -> None:
    (doubt,) = asked(event("watered", beds=["Terrace 4"]))

    assert (doubt.about, doubt.choices, doubt.firm) == ("bed", ("Brook 4", "Gate 4"), True)


def test_a_crop_that_is_not_there_brings_what_is_and_where_it_is() -> None:
    (doubt,) = asked(picked(beds=["Brook 5"], quantity=None))[:1]

    assert (doubt.about, doubt.choices, doubt.figure("beds")) == ("crop", ("arugula",), ("Brook 4", "Gate 1"))


def test_an_empty_bed_brings_the_beds_with_that_crop() -> None:
    (doubt,) = asked(picked(beds=["Brook 2"], quantity=None))

    assert (doubt.about, doubt.choices) == ("bed", ("Brook 4", "Gate 1"))


def test_picking_within_the_wait_after_a_spray_names_the_first_day_that_is_right() -> None:
    (doubt,) = asked(event("harvested", crop="arugula", beds=["Brook 5"]))

    assert (doubt.code, doubt.about, doubt.figure("until")) == ("waiting_time", "confirm", dt.date(2027, 6, 16))


def test_roots_after_raw_manure_wait_as_the_organic_rule_says() -> None:
    """USDA AMS, 7 CFR 205.203(c)(1): 120 days where the edible part touches the soil; 20 Apr + 120 days is 18 Aug."""
    (doubt,) = asked(event("harvested", crop="carrot", beds=["Brook 6"]))

    assert (doubt.code, doubt.figure("until")) == ("waiting_time", dt.date(2027, 8, 18))


def test_ten_times_a_harvest_is_doubted_and_a_very_good_one_is_not() -> None:
    """The published yields of radish, in pounds by the bed foot, are the measure; a slip of a key is ten times that."""
    most = max(figure.high for _, figure in facts(farm(), "radish").yields if figure.unit == "lb")
    very_good, slip = Decimal(50) * most * Decimal("1.5"), Decimal(50) * most * 10

    assert asked(picked(quantity=float(very_good))) == []
    (doubt,) = asked(picked(quantity=float(slip)))
    assert (doubt.code, doubt.about) == ("far_more_than_a_bed_yields", "quantity")


def test_a_crop_without_figures_is_measured_generously() -> None:
    sown = [Fact(99, event("sown", "2027-05-01", crop="sea holly", beds=["Brook 2"]), "")]
    season = season_of([*(Fact(n, from_json(record), "") for n, record in enumerate(BOOK, 1)), *sown], TODAY)

    def harvest(pounds: int) -> list[str]:
        one = event("harvested", crop="sea holly", beds=["Brook 2"], quantity=pounds, unit="lb")
        return [doubt.code for doubt in doubts(one, season, TODAY)]

    assert harvest(150) == []
    assert harvest(1500) == ["far_more_than_a_bed_yields"]


def test_picking_on_the_day_of_sowing_is_doubted() -> None:
    one = event("harvested", "2027-05-01", crop="radish", beds=["Brook 4"])

    assert [doubt.code for doubt in asked(one, dt.date(2027, 5, 1))] == ["picked_when_sown"]


def test_two_crops_sown_side_by_side_on_one_day_are_no_doubt_but_the_same_twice_is() -> None:
    first_of_may = dt.date(2027, 5, 1)

    assert asked(event("sown", "2027-05-01", crop="beet", beds=["Brook 4"]), first_of_may) == []
    assert [one.code for one in asked(event("sown", "2027-05-01", crop="radish", beds=["Brook 4"]), first_of_may)] == [
        "bed_planted"
    ]


def test_a_sowing_told_late_that_would_be_over_already_is_asked_about() -> None:
    late = event("sown", "2027-05-20", crop="beet", beds=["Brook 1"])

    (doubt,) = doubts(late, farm(dt.date(2027, 5, 20)), TODAY, farm())

    assert (doubt.code, doubt.figure("since")) == ("over_since", dt.date(2027, 6, 5))


@pytest.mark.parametrize(
    ("kind", "fields", "expected"),
    [
        ("setting", {"name": "days", "value": "900", "crop": "radish"}, ["figure_impossible"]),
        ("setting", {"name": "days_to_maturity", "value": "900", "crop": "radish"}, ["figure_impossible"]),
        ("setting", {"name": "keeps", "value": "1000", "crop": "carrot"}, ["figure_impossible"]),
        ("setting", {"name": "yield_per_bed", "value": ["20000", "lb"], "crop": "kale"}, ["figure_impossible"]),
        ("setting", {"name": "yield_per_bed", "value": ["4000", "lb"], "crop": "arugula"}, ["yield_absurd"]),
        ("setting", {"name": "yield_per_bed", "value": ["40", "lb"], "crop": "arugula"}, []),
        ("setting", {"name": "days", "value": "26", "crop": "radish"}, []),
        ("setting", {"name": "visit_cost", "value": "900"}, []),
        ("setting", {"name": "weight", "value": {"unit": "tote", "quantity": "900", "in": "lb"}, "crop": "kale"}, []),
        ("crop_added", {"crop": "frisee", "days": 900, "cuts": 3}, ["figure_impossible"]),
        ("crop_added", {"crop": "frisee", "days": 45, "yield_per_ft": 40, "yield_unit": "lb"}, ["yield_absurd"]),
        ("crop_added", {"crop": "frisee", "days": 45, "cuts": 3, "yield_per_ft": "0.5", "yield_unit": "lb"}, []),
    ],
)  # fmt: skip
def test_a_figure_of_a_crop_that_nobody_can_mean_is_doubted(kind: str, fields: Json, expected: list[str]) -> None:
    assert codes(kind, **fields) == expected


def test_units_that_do_not_compare_raise_no_doubt_of_too_much() -> None:
    assert codes("sold", crop="radish", quantity=400, unit="bunch") == []


@pytest.mark.parametrize(("fahrenheit", "expected"), [(212, 100), (32, 0), (-40, -40)])
def test_fahrenheit_is_celsius_by_the_fixed_points(fahrenheit: int, expected: int) -> None:
    """NIST SP 811 (2008), B.8: t/C = (t/F - 32)/1.8; water boils at 212 F, freezes at 32 F."""
    assert celsius(Decimal(fahrenheit), "F") == expected
