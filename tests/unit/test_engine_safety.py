"""What the waiting times promise beyond the published figures."""

import datetime as dt
from decimal import Decimal

import pytest

from engine import safety
from engine.state import Bed, Planting, Season, Treatment

DAY = dt.date(2027, 6, 14)


def season_of(*treatments: Treatment, crop: str | None = "kale", **settings: object) -> Season:
    bed = Bed("Brook 1", "Brook")
    if crop:
        bed.plantings.append(Planting(1, "Brook 1", crop, dt.date(2027, 5, 1)))
    return Season(DAY, beds={"Brook 1": bed}, treatments=list(treatments), settings=dict(settings))


def spread(material: str, day: dt.date = DAY) -> Treatment:
    return Treatment(7, "Brook 1", day, "amended", material)


def sprayed(days: str | None = None, hours: str | None = None, day: dt.date = DAY) -> Treatment:
    said = (None if days is None else Decimal(days), None if hours is None else Decimal(hours))
    return Treatment(8, "Brook 1", day, "sprayed", "neem", *said)


@pytest.mark.parametrize(
    ("material", "kind"),
    [
        ("manure", "raw"),
        ("raw horse manure", "raw"),
        ("bat guano", "raw"),
        ("chicken litter", "raw"),
        ("aged manure", "raw"),
        ("compost tea", "raw"),
        ("composted manure", "compost"),
        ("compost", "compost"),
        ("Chicken Pellets", "compost"),
        ("green manure", "plant"),
        ("leaf compost", "plant"),
        ("straw mulch", "plant"),
        ("feather meal", ""),
        ("lime", ""),
    ],
)
def test_materials_are_told_apart_by_their_names(material: str, kind: str) -> None:
    assert safety.manure_kind(material) == kind


def test_a_spray_without_its_label_days_is_never_given_a_figure() -> None:
    season = season_of(sprayed())
    (wait,) = safety.waits(season, "Brook 1", "kale")
    assert wait.until is None
    assert safety.waits_on(season, "Brook 1", "kale", DAY + dt.timedelta(days=200)) == (wait,)
    assert safety.clear_from(season, "Brook 1", "kale", DAY) is None


def test_a_spray_before_the_crop_was_sown_holds_up_only_for_the_days_that_were_given() -> None:
    before = dt.date(2027, 4, 30)
    assert safety.waits(season_of(sprayed(day=before)), "Brook 1", "kale") == ()
    assert len(safety.waits(season_of(sprayed("30", day=before)), "Brook 1", "kale")) == 1


def test_of_several_sprays_the_longest_counts() -> None:
    season = season_of(sprayed("1"), sprayed("7"), sprayed("3"))
    assert safety.clear_from(season, "Brook 1", "kale", DAY) == DAY + dt.timedelta(days=7)


def test_part_days_of_a_label_are_rounded_up() -> None:
    assert safety.clear_from(season_of(sprayed("0.5")), "Brook 1", "kale", DAY) == DAY + dt.timedelta(days=1)


def test_an_entry_wait_counts_from_the_end_of_the_day_as_the_hour_was_not_said() -> None:
    (wait,) = safety.entry_waits(season_of(sprayed("0", "12")), DAY + dt.timedelta(days=1))
    assert (wait.until, wait.hour) == (dt.date(2027, 6, 15), 12)
    assert safety.entry_waits(season_of(sprayed("0", "12")), DAY + dt.timedelta(days=2)) == ()


def test_a_harvest_before_the_spray_is_in_no_wait() -> None:
    assert safety.waits_on(season_of(sprayed("7")), "Brook 1", "kale", DAY - dt.timedelta(days=1)) == ()


def test_compost_without_a_heat_record_counts_as_raw() -> None:
    (wait,) = safety.waits(season_of(spread("composted manure")), "Brook 1", "kale")
    assert (wait.kind, wait.until) == ("compost", dt.date(2027, 10, 12))
    assert "no record of its heat" in wait.why


@pytest.mark.parametrize("record", ["supplier", ["windrow", 15, 5, "131"], ["vessel", 4, 0, 140]])
def test_compost_with_a_record_that_holds_has_no_wait(record: object) -> None:
    assert safety.waits(season_of(spread("compost"), compost_record=record), "Brook 1", "kale") == ()


@pytest.mark.parametrize("record", ["yes", ["windrow", 10, 5, "131"], None])
def test_a_record_that_does_not_hold_changes_nothing(record: object) -> None:
    assert len(safety.waits(season_of(spread("compost"), compost_record=record), "Brook 1", "kale")) == 1


def test_a_record_for_compost_does_not_excuse_raw_manure() -> None:
    season = season_of(spread("manure"), compost_record="supplier")
    assert [wait.kind for wait in safety.waits(season, "Brook 1", "kale")] == ["manure"]


def test_the_wait_counts_from_turning_under_when_that_came_later() -> None:
    manure = spread("manure", dt.date(2027, 3, 1))
    manure.worked_in = dt.date(2027, 3, 10)
    (wait,) = safety.waits(season_of(manure), "Brook 1", "kale")
    assert wait.until == dt.date(2027, 7, 8)


def test_a_bed_turned_over_since_the_spreading_counts_from_then() -> None:
    season = season_of(spread("manure", dt.date(2027, 6, 1)), crop=None)
    season.beds["Brook 1"].prepared_since = dt.date(2027, 6, 5)
    assert safety.worked_in(season, season.treatments[0]) == dt.date(2027, 6, 5)


def test_the_wait_follows_the_bed_through_later_crops() -> None:
    season = season_of(spread("manure", dt.date(2027, 4, 1)), crop="radish")
    season.beds["Brook 1"].past.append(Planting(3, "Brook 1", "lettuce", dt.date(2027, 4, 5)))
    (wait,) = safety.waits(season, "Brook 1", "radish")
    assert wait.until == dt.date(2027, 7, 30)


def test_flowers_that_nobody_eats_have_no_manure_wait() -> None:
    assert safety.waits(season_of(spread("manure"), crop="zinnia"), "Brook 1", "zinnia") == ()


def test_signs_of_animals_in_the_crop_are_found() -> None:
    planting = Planting(1, "Brook 1", "kale", DAY, sightings=[(DAY, "goose droppings"), (DAY, "flowers")])
    assert safety.animal_signs(planting) == ("goose droppings",)
