"""What the waiting times promise beyond the published figures."""

import datetime as dt
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

import pytest

from assistant.wording.safety import safe_to_harvest as said
from engine import safety
from engine.asks import Ask
from engine.events import Json
from engine.state import Bed, Planting, Season, Treatment

DAY = dt.date(2027, 6, 14)


def season_of(*treatments: Treatment, crop: str | None = "kale", compost: Iterable[Json] = ()) -> Season:
    bed = Bed("Brook 1", "Brook")
    if crop:
        bed.plantings.append(Planting(1, "Brook 1", crop, dt.date(2027, 5, 1)))
    return Season(DAY, beds={"Brook 1": bed}, treatments=list(treatments), compost=list(compost))


def record(value: object, day: dt.date = DAY) -> Json:
    return {"kind": "setting", "date": day.isoformat(), "name": safety.COMPOST_RECORD, "value": value}


def reading(day: dt.date, degrees: str = "", turned: int = 0, method: str = "") -> Json:
    value = [degrees, turned, method]
    return {"kind": "setting", "date": day.isoformat(), "name": safety.COMPOST_READING, "value": value}


def hot(days: int, turnings: int, degrees: str = "140", method: str = "", last: dt.date = DAY) -> list[Json]:
    """Readings on so many days in a row up to the last, with the turnings on the first of them."""
    first = last - dt.timedelta(days=days - 1)
    return [reading(first + dt.timedelta(days=n), degrees, int(n < turnings), method) for n in range(days)]


def spread(material: str, day: dt.date = DAY) -> Treatment:
    return Treatment(7, "Brook 1", day, "amended", material)


def sprayed(
    days: str | None = None, hours: str | None = None, day: dt.date = DAY, finished: str | None = None
) -> Treatment:
    said = (None if days is None else Decimal(days), None if hours is None else Decimal(hours))
    return Treatment(8, "Brook 1", day, "sprayed", "neem", *said, finished=finished)


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


@pytest.mark.parametrize(
    ("finished", "hours", "until", "hour"),
    [
        ("07:00", "4", DAY, 11),
        ("07:30", "4", DAY, 12),  # the full hour after 11:30
        ("21:00", "4", DAY + dt.timedelta(days=1), 1),
        ("20:00", "4", DAY + dt.timedelta(days=1), 0),
        ("18:30", "48", DAY + dt.timedelta(days=2), 19),
    ],
)
def test_an_entry_wait_counts_from_the_hour_that_was_said(finished: str, hours: str, until: dt.date, hour: int) -> None:
    season = season_of(sprayed("0", hours, finished=finished))
    (wait,) = safety.entry_waits(season, DAY)
    moment = dt.datetime.combine(until, dt.time(hour))

    assert (wait.until, wait.hour) == (until, hour)
    begun = dt.datetime.combine(DAY, dt.time.fromisoformat(finished))
    assert dt.timedelta(0) <= moment - begun - dt.timedelta(hours=int(hours)) < dt.timedelta(hours=1)
    assert safety.entry_waits(season, until + dt.timedelta(days=1)) == ()


def test_what_is_picked_on_the_day_of_an_entry_wait_may_fall_into_it_and_on_the_next_not() -> None:
    season = season_of(sprayed("0", "4", finished="07:00"))
    assert [wait.kind for wait in safety.waits_on(season, "Brook 1", "kale", DAY)] == ["entry"]
    assert safety.waits_on(season, "Brook 1", "kale", DAY + dt.timedelta(days=1)) == ()


def test_no_days_to_harvest_hold_nothing_up() -> None:
    assert safety.waits_on(season_of(sprayed("0")), "Brook 1", "kale", DAY) == ()


def test_a_harvest_before_the_spray_is_in_no_wait() -> None:
    assert safety.waits_on(season_of(sprayed("7")), "Brook 1", "kale", DAY - dt.timedelta(days=1)) == ()


def test_compost_without_a_heat_record_counts_as_raw() -> None:
    (wait,) = safety.waits(season_of(spread("composted manure")), "Brook 1", "kale")
    assert (wait.kind, wait.until) == ("compost", dt.date(2027, 10, 12))
    assert "no record of its heat" in wait.why


@pytest.mark.parametrize("value", ["supplier", ["windrow", 15, 5, "131"], ["vessel", 4, 0, 140]])
def test_compost_with_a_record_that_holds_has_no_wait(value: object) -> None:
    assert safety.waits(season_of(spread("compost"), compost=[record(value)]), "Brook 1", "kale") == ()


@pytest.mark.parametrize("value", ["yes", ["windrow", 10, 5, "131"], None])
def test_a_record_that_does_not_hold_changes_nothing(value: object) -> None:
    assert len(safety.waits(season_of(spread("compost"), compost=[record(value)]), "Brook 1", "kale")) == 1


@pytest.mark.parametrize(("days", "holds"), [(-1, False), (0, True), (364, True), (365, False)])
def test_a_record_serves_what_is_spread_from_its_day_on_for_a_year(days: int, holds: bool) -> None:
    told = record("supplier", DAY - dt.timedelta(days=days))
    assert safety.compost_recorded(season_of(compost=[told]), DAY) is holds


@pytest.mark.parametrize(
    ("readings", "holds"),
    [
        (hot(15, 5), True),
        (hot(15, 4), False),
        (hot(14, 5), False),
        (hot(15, 5, degrees="130.9"), False),
        (hot(15, 5, degrees="171"), False),
        (hot(3, 0, method="vessel"), True),
        (hot(2, 0, method="vessel"), False),
        ([*hot(10, 5, last=DAY - dt.timedelta(days=6)), reading(DAY - dt.timedelta(days=5), "120"), *hot(5, 5)], False),
        ([*hot(15, 5, last=DAY - dt.timedelta(days=1)), reading(DAY, "80")], True),
    ],
    ids=["15 days, 5 turnings", "4 turnings", "14 days", "too cool", "too hot", "vessel", "vessel, 2 days", "dipped",
         "cooled after"],
)  # fmt: skip
def test_readings_of_the_pile_make_a_record_as_the_rule_has_it(readings: list[Json], holds: bool) -> None:
    """7 CFR 205.203(c)(2): 131 to 170 F for 15 days with 5 turnings, or for 3 days in a vessel."""
    assert safety.compost_recorded(season_of(compost=readings), DAY) is holds


def test_two_readings_of_one_day_are_one_hot_day() -> None:
    assert not safety.compost_recorded(season_of(compost=[*hot(8, 5), *hot(8, 0)]), DAY)


def test_a_record_for_compost_does_not_excuse_raw_manure() -> None:
    season = season_of(spread("manure"), compost=[record("supplier")])
    assert [wait.kind for wait in safety.waits(season, "Brook 1", "kale")] == ["manure"]


def test_the_wait_counts_from_turning_under_when_that_came_later(pages: Any) -> None:
    view = pages(
        "2027-06-14",
        {"kind": "amended", "date": "2027-03-01", "beds": ["Brook 1", "Brook 2"], "material": "manure"},
        {"kind": "prepared", "date": "2027-03-10", "beds": ["Brook 1"]},
        {"kind": "sown", "date": "2027-03-12", "beds": ["Brook 1", "Brook 2"], "crop": "radish"},
        {"kind": "cleared", "date": "2027-05-01", "beds": ["Brook 1"]},
        {"kind": "prepared", "date": "2027-05-02", "beds": ["Brook 1"]},
        {"kind": "sown", "date": "2027-05-03", "beds": ["Brook 1"], "crop": "kale"},
    )
    season = view.season()
    assert [wait.until for wait in safety.waits(season, "Brook 1", "kale")] == [dt.date(2027, 7, 8)]
    assert [wait.until for wait in safety.waits(season, "Brook 2", "radish")] == [dt.date(2027, 6, 29)]


def ask(pages: Any, *records: dict[str, Any], today: str = "2027-06-14", **fields: Any) -> str:
    question = Ask(topic="safe_to_harvest", **fields)
    return said(safety.safe_to_harvest(pages(today, *records), question), question, 100)


KALE = {"kind": "sown", "date": "2027-05-01", "crop": "kale", "beds": ["Brook 1"]}
NEEM = {"kind": "sprayed", "date": "2027-06-13", "beds": ["Brook 1"], "material": "neem", "harvest_wait_days": 3}


def test_the_reply_gives_the_first_day_the_reason_and_who_has_the_last_word(pages: Any) -> None:
    assert ask(pages, KALE, NEEM, beds=("Brook 1",)).splitlines() == [
        "Brook 1 kale: not on Mon 14 Jun. First day clear of the waits: Wed 16 Jun.",
        "  neem on Sun 13 Jun: harvest wait of 3 days, as you gave it from the label, until Wed 16 Jun (NPIC,",
        "    Preharvest Interval fact sheet)",
        "The label is the law; your buyers, certifier and local rules may ask for more.",
    ]


def test_a_wait_that_is_over_is_said_to_be(pages: Any) -> None:
    text = ask(pages, KALE, NEEM, beds=("Brook 1",), date=dt.date(2027, 6, 16))
    assert text.startswith("Brook 1 kale: no wait on record holds it back on Wed 16 Jun.")


def test_unknown_label_days_are_asked_for_and_no_day_is_promised(pages: Any) -> None:
    text = ask(pages, KALE, {**NEEM, "harvest_wait_days": None}, crop="kale")
    assert "do not pick on Mon 14 Jun" in text
    assert "What does the label say?" in " ".join(text.split())
    assert "First day" not in text


def test_with_nothing_named_only_beds_under_a_wait_are_told(pages: Any) -> None:
    assert "Brook 1" in ask(pages, KALE, NEEM)
    assert ask(pages, KALE).startswith("Every bed is clear of the waits on record for Mon 14 Jun.")


def test_an_empty_bed_with_manure_is_told_both_waits(pages: Any) -> None:
    manure = {"kind": "amended", "date": "2027-06-13", "beds": ["Brook 2"], "material": "composted manure"}
    text = " ".join(ask(pages, manure, beds=("Brook 2",)).split())
    assert "no record of its heat, so it counts as raw: 120 days from working in" in text
    assert "90 days for a crop that hangs clear of the soil" in text


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


@pytest.mark.parametrize(
    "material", ["coop litter", "hen house cleanings", "cow pies", "cow pats", "biosolids", "digestate"]
)
def test_what_comes_of_animals_by_another_name_counts_as_raw(material: str) -> None:
    assert safety.manure_kind(material) == "raw"
