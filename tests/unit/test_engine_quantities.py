"""Conversions are exact, and only where a standard or the farm says how units compare."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from engine.quantities import MASS, UNITS, convert, shares
from engine.state import Season

BARE = Season(dt.date(2027, 6, 14))


def farm(*weights: tuple[str | None, str, str, str]) -> Season:
    """A farm that has said what its containers hold: (crop, unit, quantity, in)."""
    overrides: dict[str, list[dict[str, Any]]] = {}
    for crop, unit, quantity, held in weights:
        value = {"unit": unit, "quantity": quantity, "in": held}
        overrides.setdefault(crop or "", []).append({"name": "weight", "value": value})
    return Season(dt.date(2027, 6, 14), overrides=overrides)


@pytest.mark.parametrize(
    ("quantity", "unit", "other", "expected"),
    [
        # NIST Handbook 44 (2024), appendix C, tables of equivalents and of exact conversions; SP 811 (2008), B.8.
        ("1", "lb", "g", "453.59237"),
        ("1", "lb", "kg", "0.45359237"),
        ("1", "oz", "g", "28.349523125"),
        ("1", "lb", "oz", "16"),
        ("9.5", "lb", "oz", "152"),
        ("152", "oz", "lb", "9.5"),
        ("1", "kg", "g", "1000"),
        ("250", "g", "kg", "0.25"),
        ("1", "gal", "l", "3.785411784"),
    ],
)
def test_exact_conversions_of_the_handbook(quantity: str, unit: str, other: str, expected: str) -> None:
    assert convert(BARE, None, Decimal(quantity), unit, other) == Decimal(expected)


def test_a_kilogram_is_the_handbooks_pounds_to_all_its_digits() -> None:
    """NIST SP 811 (2008), B.8: 1 lb = 4.535 924 E-01 kg; Handbook 44, appendix C: 1 kg = 2.204 623 lb."""
    pounds = convert(BARE, None, Decimal(1), "kg", "lb")

    assert pounds is not None
    assert round(pounds, 6) == Decimal("2.204623")


@pytest.mark.parametrize(
    ("unit", "kilograms"),
    [("lb", constants.pound), ("oz", constants.ounce), ("g", constants.gram), ("kg", constants.kilo * constants.gram)],
)
def test_masses_are_those_of_the_reference_library(unit: str, kilograms: float) -> None:
    assert float(MASS[unit]) / 1000 == pytest.approx(kilograms, rel=1e-15)


def test_the_gallon_is_that_of_the_reference_library() -> None:
    litres = convert(BARE, None, Decimal(1), "gal", "l")

    assert litres is not None
    assert float(litres) / 1000 == pytest.approx(constants.gallon_US, rel=1e-15)


@given(
    st.decimals(Decimal("0.001"), 100_000, places=3),
    st.sampled_from(["lb", "oz", "kg", "g"]),
    st.sampled_from(["oz", "g"]),
)
def test_there_and_back_is_the_same_amount(quantity: Decimal, unit: str, other: str) -> None:
    there = convert(BARE, None, quantity, unit, other)

    assert there is not None
    back = convert(BARE, None, there, other, unit)
    assert back is not None
    assert abs(back - quantity) < Decimal("1E-18")


@pytest.mark.parametrize("unit", UNITS)
def test_every_unit_is_itself(unit: str) -> None:
    assert convert(BARE, "radish", Decimal("2.5"), unit, unit) == Decimal("2.5")


@pytest.mark.parametrize(
    ("unit", "other"),
    [("bunch", "lb"), ("tote", "lb"), ("lb", "l"), ("head", "each"), ("gal", "lb"), ("case", "tote"), ("yd3", "l")],
)
def test_nothing_is_assumed_that_nobody_said(unit: str, other: str) -> None:
    assert convert(BARE, "radish", Decimal(1), unit, other) is None


def test_a_tote_weighs_what_the_farm_says_of_that_crop() -> None:
    season = farm(("radish", "tote", "20", "lb"), (None, "tote", "12", "kg"))

    assert convert(season, "radish", Decimal(3), "tote", "lb") == 60
    assert convert(season, "radish", Decimal(30), "lb", "tote") == Decimal("1.5")
    assert convert(season, "carrot", Decimal(2), "tote", "kg") == 24


def test_containers_within_containers_come_out_in_pounds() -> None:
    season = farm(("radish", "case", "24", "bunch"), ("radish", "bunch", "0.5", "lb"))

    assert convert(season, "radish", Decimal(2), "case", "lb") == 24
    assert convert(season, "radish", Decimal(12), "lb", "bunch") == 24


def test_containers_said_in_a_circle_convert_to_nothing() -> None:
    season = farm(("radish", "case", "2", "tote"), ("radish", "tote", "3", "case"))

    assert convert(season, "radish", Decimal(1), "case", "lb") is None


@given(
    st.decimals(Decimal("0.01"), 10_000, places=2),
    st.lists(st.sampled_from([Decimal(25), Decimal(50), Decimal(100), Decimal("37.5"), None]), min_size=1, max_size=9),
    st.sampled_from(["lb", "bunch", None]),
)
def test_shares_add_up_exactly_and_none_is_negative(
    quantity: Decimal, parts: list[Decimal | None], unit: str | None
) -> None:  # fmt: skip
    split = shares(quantity, parts, unit)

    assert sum(split) == quantity
    assert len(split) == len(parts)
    assert min(split) >= 0


def test_shares_follow_the_lengths_and_the_last_takes_what_is_left_over() -> None:
    assert shares(Decimal(30), [Decimal(50), Decimal(100)], "lb") == [10, 20]
    assert shares(Decimal(10), [Decimal(50)] * 3, "lb") == [Decimal("3.33"), Decimal("3.33"), Decimal("3.34")]


def test_whole_bunches_stay_whole() -> None:
    assert shares(Decimal(10), [Decimal(50)] * 3, "bunch") == [3, 3, 4]


def test_beds_of_unknown_length_share_evenly() -> None:
    assert shares(Decimal(9), [Decimal(50), None, Decimal(100)], "lb") == [3, 3, 3]
