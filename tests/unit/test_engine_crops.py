"""What is known of a crop: published figures, and the grower's own laid over them."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from engine.crop_table import published, sources, sprouting
from engine.crops import doubt, facts
from engine.state import Bed, Figures, Season

DAY = dt.date(2027, 6, 16)


def season(*overrides: dict[str, Any], crop: str = "radish") -> Season:
    beds = {name: Bed(name, name.split()[0], Decimal(50)) for name in ("Brook 1", "Terrace 1")}
    return Season(day=DAY, beds=beds, overrides={crop: list(overrides)} if overrides else {})


def test_at_least_sixty_crops_have_days_yield_and_keeping_each_with_a_source() -> None:
    assert len(published()) >= 60
    for crop, row in published().items():
        assert {"family", "habit", "part"} <= row.words.keys(), crop
        assert {"days", "days_transplanted"} & row.figures.keys(), crop
        assert {"keeps", "stands", "base_temperature", "upper_temperature"} <= row.figures.keys(), crop
        assert row.yields, crop
        for figure in (*row.figures.values(), *(each for _, each in row.yields)):
            assert figure.low <= figure.high, crop
            assert figure.source, crop
            assert figure.how in ("read", "memory", "computed"), crop


def test_every_source_is_used_and_every_seed_named_is_in_the_emergence_table() -> None:
    used = {each.source for row in published().values() for each in row.figures.values()}
    used |= {each.source for row in published().values() for _, each in row.yields}
    assert used <= set(sources().values())
    named = {row.words["sprouts_like"] for row in published().values() if "sprouts_like" in row.words}
    assert named <= sprouting().keys()


def test_the_growers_days_take_the_place_of_the_published_ones() -> None:
    figure = facts(season({"name": "days", "value": 26}), "radish").figure("days")
    assert figure is not None
    assert (figure.likely, figure.how) == (26, "yours")
    assert figure.span == "26 days from sowing"


def test_what_holds_for_a_variety_or_plot_holds_only_there() -> None:
    told = season(
        {"name": "days", "value": 26},
        {"name": "days", "value": 30, "variety": "icicle"},
        {"name": "days", "value": 24, "plot": "Terrace"},
    )
    days = [
        facts(told, "radish", variety=variety, plot=plot).number("days")
        for variety, plot in ((None, None), ("icicle", "Brook"), ("cherry", "Terrace"), ("icicle", "Terrace"))
    ]
    assert days == [26, 30, 24, 24]


def test_an_amount_a_bed_is_spread_over_the_usual_bed() -> None:
    told = season({"name": "yield_per_bed", "value": 40, "unit": "lb"}, crop="arugula")
    way, figure = facts(told, "arugula").yields[0]
    assert (way, figure.likely, figure.unit) == ("cut", Decimal("0.8"), "lb")


def test_a_crop_added_with_figures_uses_them() -> None:
    told = Season(day=DAY, crops={"salad mix": Figures("lettuce", 28, 3, Decimal("0.4"), "lb")})
    known = facts(told, "salad mix")
    assert (known.family_name, known.cuts, known.number("days")) == ("lettuce", 3, 28)
    assert known.yields[0][1].likely == Decimal("0.4")


def test_a_crop_pulled_once_that_the_grower_cuts_twice_regrows() -> None:
    assert not facts(season(), "tatsoi").cuts > 2
    assert facts(season({"name": "cuts", "value": 2}), "radish").regrows


def test_an_unknown_crop_works_from_plain_defaults_that_say_so() -> None:
    known = facts(season(), "oca")
    days = known.figure("days")
    assert not known.known
    assert days is not None
    assert days.how == "default"
    assert known.cuts == 1


@pytest.mark.parametrize("value", [-4, 0, 4000, "soon", True])
def test_an_absurd_figure_is_left_out_and_told(value: Any) -> None:
    known = facts(season({"name": "days", "value": value}), "radish")
    assert known.number("days") == 25
    assert len(known.notes) == 1
    assert doubt("days", value)


def test_a_sensible_figure_raises_no_doubt() -> None:
    assert doubt("days", 26) is None
    assert doubt("yield_per_bed", Decimal(40)) is None
    assert doubt("colour", "red") is None


def test_what_a_tote_weighs_is_no_figure_of_the_crop() -> None:
    weight = {"name": "weight", "value": {"unit": "tote", "quantity": "20", "in": "lb"}}
    assert facts(season(weight), "radish") == facts(season(), "radish")
