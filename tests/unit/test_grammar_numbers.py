"""Numbers, amounts, money, shares, times, heat, rain and lengths: what is said, and what it means."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from grammar.measures import numbers, readings
from grammar.said import Amount, Lasting, Length, Money, Percent, Rain, Temperature


def meaning(name: str, phrase: str) -> Any:
    """The cheapest reading of the whole phrase."""
    return next(iter(readings(phrase, name)), None)


def lb(quantity: str, **said: Any) -> Amount:
    return Amount(Decimal(quantity), "lb", **said)


@pytest.mark.parametrize(
    ("phrase", "value"),
    [
        ("35", "35"),
        ("thirty five", "35"),
        ("thirty-five", "35"),
        ("14.5", "14.5"),
        (".75", "0.75"),
        ("1,250", "1250"),
        ("a hundred and ten", "110"),
        ("two hundred forty", "240"),
        ("six thousand and twelve", "6012"),
        ("3k", "3000"),
        ("two and a half", "2.5"),
        ("4 1/2", "4.5"),
        ("4½", "4.5"),
        ("¾", "0.75"),
        ("five eighths", "0.625"),
        ("three point two five", "3.25"),
        ("a dozen", "12"),
        ("half a dozen", "6"),
        ("three dozen", "36"),
        ("a couple of", "2"),
        ("a dozen and a half", "18"),
        ("one forty", "140"),
    ],
)
def test_a_number_is_read_however_it_is_said(phrase: str, value: str) -> None:
    assert meaning("number", phrase) == Decimal(value)


@pytest.mark.parametrize(
    "phrase", ["twenty thirty", "thirty thirteen", "two hundred five hundred", "7/4", "5/0", "and", "bed"]
)
def test_words_that_make_no_number_are_not_one(phrase: str) -> None:
    assert meaning("number", phrase) is None


@pytest.mark.parametrize(
    ("phrase", "value"), [("second", 2), ("the 3rd", 3), ("twenty first", 21), ("the twelfth", 12)]
)
def test_a_place_in_an_order_is_read(phrase: str, value: int) -> None:
    assert meaning("ordinal", phrase) == value


@pytest.mark.parametrize(
    ("phrase", "amount"),
    [
        ("30 lb", lb("30")),
        ("14.5#", lb("14.5")),
        ("22lbs", lb("22")),
        ("9 lb 8 oz", lb("9.5")),
        ("9 lb, 8 oz", lb("9.5")),
        ("half a pound", lb("0.5")),
        ("a pound and a half", lb("1.5")),
        ("two pounds and a quarter", lb("2.25")),
        ("three quarters of a pound", lb("0.75")),
        ("about 20 lb", lb("20", about=True)),
        ("20 lb or so", lb("20", about=True)),
        ("25 to 30 lb", lb("25", to=Decimal(30))),
        ("between 25 and 30 lb", lb("25", to=Decimal(30))),
        ("20 lb each", lb("20", each=True)),
        ("20 lb a bed", lb("20", each=True)),
        ("20# per bed", lb("20", each=True)),
        ("31# total", lb("31")),
        ("a dozen bunches", Amount(Decimal(12), "bunch")),
        ("two dozen", Amount(Decimal(24), "each")),
        ("3 dz hd", Amount(Decimal(36), "head")),
        ("5 kilos", Amount(Decimal(5), "kg")),
        ("a tote", Amount(Decimal(1), "tote")),
        ("a couple of totes", Amount(Decimal(2), "tote")),
        ("a few bunches", Amount(Decimal(3), "bunch", about=True)),
        ("two yards", Amount(Decimal(2), "yd3")),
        ("ten bags of 2 lb", lb("20")),
        ("10 x 2 lb bags", lb("20")),
        ("4 five gallon buckets", Amount(Decimal(4), "bucket")),
        ("30", Amount(Decimal(30))),
        ("30 each", Amount(Decimal(30), each=True)),
    ],
)
def test_an_amount_has_its_unit_and_how_exact_it_is(phrase: str, amount: Amount) -> None:
    assert meaning("amount", phrase) == amount


def test_an_abbreviation_of_two_units_is_read_as_both() -> None:
    """Nobody can tell bunches from bushels in "3 bu": the talk must ask."""
    assert {amount.unit for amount in readings("3 bu", "amount")} == {"bunch", "bushel"}


@pytest.mark.parametrize("phrase", ["30 to 25 lb", "9 lb 20 oz", "9 oz 8 lb", "4.5 lb 3 oz"])
def test_amounts_that_do_not_go_together_are_not_joined(phrase: str) -> None:
    assert meaning("amount", phrase) is None


@pytest.mark.parametrize(
    ("phrase", "amount", "per", "each"),
    [
        ("$40", "40", None, False),
        ("forty bucks", "40", None, False),
        ("9 a lb", "9", "lb", False),
        ("$3.50/lb", "3.50", "lb", False),
        ("at nine dollars a pound", "9", "lb", False),
        ("£4 a bunch", "4", "bunch", False),
        ("75 cents each", "0.75", None, True),
        ("three fifty a pound", "3.5", "lb", False),
        ("two dollars and fifty cents", "2.5", None, False),
        ("at 9", "9", None, False),
        ("@ $2.25/lb", "2.25", "lb", False),
        ("$2 a piece", "2", None, True),
        ("a buck fifty", "1.5", None, False),
        ("2 for $5", "2.5", None, True),
        ("$6 a dozen", "0.5", "each", False),
    ],
)
def test_money_is_read_with_what_it_is_for(phrase: str, amount: str, per: str | None, each: bool) -> None:
    assert meaning("money", phrase) == Money(Decimal(amount), per, each)


@pytest.mark.parametrize("phrase", ["3 for $10", "$10 a dozen", "half a pound", "two dollars fifty five hundred"])
def test_a_price_that_does_not_come_out_even_or_is_none_is_not_read(phrase: str) -> None:
    assert meaning("money", phrase) is None


@pytest.mark.parametrize(
    ("phrase", "value"),
    [
        ("80%", "80"),
        ("eighty percent", "80"),
        ("a quarter of", "25"),
        ("half the", "50"),
        ("a third", "33.33"),
        ("3/4", "75"),
        ("two thirds of the", "66.67"),
    ],
)
def test_a_share_is_read_in_hundredths(phrase: str, value: str) -> None:
    assert meaning("percent", phrase) == Percent(Decimal(value))


@pytest.mark.parametrize("phrase", ["8/14", "6/14", "7/23", "140%"])
def test_a_date_with_a_slash_is_no_share(phrase: str) -> None:
    assert meaning("percent", phrase) is None


@pytest.mark.parametrize(
    ("phrase", "minutes", "unit"),
    [
        ("30 min", "30", "minute"),
        ("half hr", "30", "hour"),
        ("half an hour", "30", "hour"),
        ("2 hrs", "120", "hour"),
        ("an hour and a half", "90", "hour"),
        ("2.5h", "150", "hour"),
        ("1h30", "90", "hour"),
        ("an hour and 45 minutes", "105", "hour"),
        ("3 days", "4320", "day"),
        ("a fortnight", "20160", "fortnight"),
        ("for twenty minutes", "20", "minute"),
    ],
)
def test_a_length_of_time_is_read_in_minutes(phrase: str, minutes: str, unit: str) -> None:
    assert meaning("lasting", phrase) == Lasting(Decimal(minutes), unit)


@pytest.mark.parametrize(
    ("phrase", "value", "unit"),
    [
        ("38 F", "38", "F"),
        ("thirty eight fahrenheit", "38", "F"),
        ("4 C", "4", "C"),
        ("86 degrees", "86", None),
        ("38°", "38", None),
        ("38°F", "38", "F"),
        ("minus 2", "-2", None),
        ("-2 C", "-2", "C"),
        ("3 below", "-3", None),
        ("four degrees celsius", "4", "C"),
    ],
)
def test_heat_is_read_with_its_scale(phrase: str, value: str, unit: str | None) -> None:
    assert meaning("temperature", phrase) == Temperature(Decimal(value), unit)


@pytest.mark.parametrize(
    ("phrase", "value", "unit"),
    [
        ("half an inch of rain", "0.5", "in"),
        ("12 mm", "12", "mm"),
        ("rain .4 in", "0.4", "in"),
        ("an inch and a half of rain", "1.5", "in"),
    ],
)
def test_rain_is_read_with_its_unit(phrase: str, value: str, unit: str) -> None:
    assert meaning("rain", phrase) == Rain(Decimal(value), unit)


@pytest.mark.parametrize(
    ("phrase", "feet", "unit"),
    [
        ("50 ft", "50", "ft"),
        ("a hundred feet", "100", "ft"),
        ("30 in", "2.5", "in"),
        ("fifty-foot", "50", "ft"),
        ("3 ft 6 in", "3.5", "ft"),
    ],
)
def test_a_length_is_read_in_feet(phrase: str, feet: str, unit: str) -> None:
    assert meaning("length", phrase) == Length(Decimal(feet), unit)


@pytest.mark.parametrize(
    ("phrase", "value", "unit"),
    [
        ("three quarts of feed", "3", "quart"),
        ("12 lb of kale", "12", "pound"),
        ("forty", "40", None),
        ("6 ft", "6", "foot"),
    ],
)
def test_the_measure_of_numbers_gives_value_and_unit(phrase: str, value: str, unit: str | None) -> None:
    assert numbers(phrase) == {"value": Decimal(value), "unit": unit}


def test_a_phrase_that_is_no_number_is_not_answered() -> None:
    assert numbers("the radish bed") is None
