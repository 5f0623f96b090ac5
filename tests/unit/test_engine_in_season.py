"""What no good grower sows: garlic in July, tomatoes for after the frost, lettuce for next spring."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from assistant.wording import sowing as said
from engine.asks import Ask
from engine.cuttings import first_if_sown
from engine.in_season import AUTUMN, FROST, WINTER, autumn_season, out_of_season
from engine.planner.build import build
from engine.sowing import fill_bed, seed_needed, sow_by, to_sow
from engine.weather import WeatherBook, weather_book

# A farm at 43 degrees north: monthly averages as invented for the demo farm, in C.
NORTH = (
    {"kind": "setting", "date": "2027-01-01", "name": "monthly_highs",
     "value": [-1, 1, 6, 14, 21, 26, 28, 27, 23, 16, 8, 2]},
    {"kind": "setting", "date": "2027-01-01", "name": "monthly_lows",
     "value": [-9, -9, -4, 2, 8, 13, 16, 15, 11, 4, 0, -6]},
    {"kind": "setting", "date": "2027-01-01", "name": "latitude", "value": "43"},
    {"kind": "setting", "date": "2027-01-01", "name": "first_frost", "value": "2027-10-05"},
    {"kind": "setting", "date": "2027-01-01", "name": "last_frost", "value": "2027-05-12"},
)  # fmt: skip
GARLIC = {"kind": "transplanted", "date": "2026-10-18", "crop": "garlic", "beds": ["Gate 1"]}
JULY = "2027-07-14"


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def weekly(crop: str, start: str, quantity: float, unit: str) -> dict[str, Any]:
    order = {"kind": "ordered", "date": start, "crop": crop, "quantity": quantity, "unit": unit}
    return {**order, "customer": "Harbour Oven", "repeats": "weekly"}


def reason(view: Any, crop: str, on: str) -> str | None:
    season, weather = view.season(), weather_book(view)
    found = out_of_season(season, weather, first_if_sown(season, weather, crop, None, day(on)))
    return found.reason if found else None


@pytest.mark.parametrize(
    ("crop", "on", "why"),
    [
        ("garlic", "2027-07-14", AUTUMN), ("garlic", "2027-10-18", None), ("garlic", "2028-04-10", AUTUMN),
        ("zucchini", "2027-07-01", None), ("zucchini", "2027-09-10", FROST), ("tomato", "2027-10-13", FROST),
        ("tomato", "2028-05-05", None), ("tomato", "2028-02-01", FROST),
        ("lettuce", "2027-08-01", None), ("lettuce", "2027-10-10", WINTER), ("carrot", "2027-10-10", WINTER),
        ("kale", "2027-07-10", None), ("kale", "2027-09-20", WINTER), ("spinach", "2028-03-20", None),
    ],
)  # fmt: skip
def test_a_crop_is_out_of_season_for_a_reason(pages: Any, crop: str, on: str, why: str | None) -> None:
    assert reason(pages(JULY, *NORTH), crop, on) == why


def test_nothing_is_called_out_of_season_by_weather_that_nobody_told(pages: Any) -> None:
    assert reason(pages(JULY), "lettuce", "2027-10-10") is None
    result = to_sow(pages(JULY, weekly("radish", "2027-08-06", 10, "bunch")), Ask(topic="to_sow"))
    assert any("temperatures" in gap for gap in result.missing)


@pytest.mark.parametrize(
    ("weather", "season"),
    [
        ({"first_frost": (10, 5)}, ("2027-09-21", "2027-11-02")),
        ({}, ("2027-09-15", "2027-11-15")),
        ({"latitude": -40.0}, ("2028-03-15", "2028-05-15")),
    ],
)
def test_garlic_goes_in_about_the_first_frost(weather: dict[str, Any], season: tuple[str, str]) -> None:
    # The University of Minnesota's and other states' extension services have garlic planted in autumn, within some
    # weeks of the first killing frost (from memory); in the southern hemisphere about April.
    book = WeatherBook(day(JULY), **weather)
    assert autumn_season(book, day(JULY)) == tuple(map(day, season))


def test_garlic_of_october_is_ready_the_next_july_however_the_planting_was_told(pages: Any) -> None:
    # Northern extension services have garlic that was planted in October lifted from the end of June to the start of
    # August (from memory).
    view = pages(JULY, *NORTH)
    season, weather = view.season(), weather_book(view)
    ready = first_if_sown(season, weather, "garlic", None, day("2027-10-15")).ready.likely
    assert day("2028-06-20") <= ready <= day("2028-08-05")


def test_garlic_is_not_to_be_sown_in_july_and_its_season_is_told(pages: Any) -> None:
    view, ask = pages(JULY, *NORTH, GARLIC), Ask(topic="to_sow")
    result = to_sow(view, ask)
    assert not [one for one in result.sowings if one.crop == "garlic"]
    assert result.next_due["garlic"] == day("2027-11-02")
    bed = Ask(topic="fill_bed", beds=("Brook 4",))
    text = " ".join(said.fill_bed(fill_bed(view, bed), bed, 100).split())
    assert "Not garlic: it goes in once a year, Tue 21 Sep to Tue 2 Nov" in text


def test_garlic_that_is_in_for_the_next_year_is_not_asked_for_again(pages: Any) -> None:
    again = {**GARLIC, "date": "2027-10-10", "beds": ["Gate 2"]}
    october = Ask(topic="to_sow", crop="garlic", start=day("2027-10-12"), end=day("2027-11-30"))
    assert to_sow(pages("2027-10-12", *NORTH, GARLIC), october).sowings
    assert not to_sow(pages("2027-10-12", *NORTH, GARLIC, again), october).sowings


@pytest.mark.parametrize(("wanted", "last"), [("2028-08-20", "2027-11-02"), ("2027-12-01", None)])
def test_when_to_sow_garlic_is_within_its_season_or_never(pages: Any, wanted: str, last: str | None) -> None:
    ask = Ask(topic="sow_by", crop="garlic", date=day(wanted))
    result = sow_by(pages(JULY, *NORTH), ask)
    assert result.last == (day(last) if last else None)
    text = " ".join(said.sow_by(result, ask, 100).split())
    assert "once a year, Tue 21 Sep to Tue 2 Nov" in text


def test_no_tender_crop_is_sown_for_after_the_frost(pages: Any) -> None:
    view = pages(JULY, *NORTH, weekly("zucchini", "2027-10-15", 20, "lb"))
    ask = Ask(topic="to_sow", start=day(JULY), end=day("2027-10-30"))
    result = to_sow(view, ask)
    assert all(sowing.ready < day("2027-10-05") for sowing in result.sowings)
    assert {unmet.day for unmet in result.unmet} >= {day("2027-10-22"), day("2027-10-29")}
    wish = Ask(topic="sow_by", crop="tomato", date=day("2027-10-20"), quantity=Decimal(40), unit="lb")
    assert "frost usually comes first" in " ".join(said.sow_by(sow_by(view, wish), wish, 100).split())


def test_pickings_after_the_frost_are_not_counted_on(pages: Any) -> None:
    tomato = {"kind": "transplanted", "date": "2027-06-01", "crop": "tomato", "beds": ["Gate 1"]}
    frosty = pages("2027-09-20", *NORTH, tomato, weekly("tomato", "2027-09-28", 1, "lb"))
    result = to_sow(frosty, Ask(topic="to_sow", crop="tomato"))
    assert {unmet.day for unmet in result.unmet} >= {day("2027-10-26"), day("2027-11-02")}


def test_the_large_plan_and_the_small_answers_agree_on_what_is_of_the_season(pages: Any) -> None:
    view = pages("2027-09-20", *NORTH, weekly("lettuce", "2027-10-15", 20, "head"), GARLIC, *(
        {"kind": "priced", "date": "2027-04-01", "crop": crop, "price": 3, "unit": unit}
        for crop, unit in (("lettuce", "head"), ("zucchini", "lb"), ("garlic", "lb"))
    ))  # fmt: skip
    built = build(view, day("2027-09-20"), day("2027-10-31"))
    autumn = {choice.crop for choice in built.problem.choices if choice.sow <= 41}
    advised = fill_bed(view, Ask(topic="fill_bed", beds=("Brook 4",))).beds[0]
    assert "zucchini" not in autumn
    assert "zucchini" not in {option.crop for option in advised.options}
    assert "lettuce" not in autumn
    assert "lettuce" not in {option.crop for option in advised.options}


def test_snap_peas_for_every_week_are_sized_by_all_their_pickings(pages: Any) -> None:
    # Handbooks give snap peas 20 to 30 lb from 100 ft of row over the season (Knott's, from memory); two rows stand in
    # a bed, so 23 lb a week for four weeks is some 150 to 230 ft of bed, and not more than 250.
    view = pages("2027-06-16", weekly("snap pea", "2027-09-03", 23, "lb"))
    result = to_sow(view, Ask(topic="to_sow", crop="snap pea", start=day("2027-06-16"), end=day("2027-07-20")))
    first = result.sowings[0]
    assert len(first.wanted_for) >= 4
    assert first.length_ft <= 250
    assert first.ready < first.wanted_for[0].day
    one_day = Ask(topic="sow_by", crop="snap pea", date=day("2027-09-03"), quantity=Decimal(23), unit="lb")
    alone = sow_by(view, one_day)
    assert alone.pickings > 1
    assert "pickings kept for that day" in " ".join(said.sow_by(alone, one_day, 100).split())


def test_what_sold_lately_and_cannot_be_had_is_told_in_one_line(pages: Any) -> None:
    sales = [
        {"kind": "sold", "date": date, "crop": crop, "quantity": 10, "unit": "bunch"}
        for date in ("2027-06-30", "2027-07-07") for crop in ("radish", "turnip")
    ]  # fmt: skip
    text = said.to_sow(to_sow(pages(JULY, *NORTH, *sales), Ask(topic="to_sow")), Ask(topic="to_sow"), 200)
    lines = [line for line in text.splitlines() if "sowing of today is ready" in line]
    assert len(lines) == 1
    assert "radish" in lines[0]
    assert "turnip" in lines[0]


def test_days_of_another_year_are_told_with_it(pages: Any) -> None:
    ask = Ask(topic="sow_by", crop="garlic", date=day("2028-08-20"))
    assert "Sun 20 Aug 2028" in said.sow_by(sow_by(pages(JULY, *NORTH), ask), ask, 100)


def test_scallions_go_several_to_a_cell(pages: Any) -> None:
    # Six to ten seeds to a cell, planted out as a clump, is common practice of the trade.
    raised = {"kind": "transplanted", "date": "2027-05-01", "crop": "scallion", "beds": ["Gate 1"]}
    seed = seed_needed(pages(JULY, raised), Ask(topic="seed_needed", crop="scallion", length_ft=Decimal(50))).seed
    assert seed.trays is not None
    assert seed.plants is not None
    assert seed.cells is not None
    assert 6 <= seed.plants * Decimal("1.1") / (seed.trays * seed.cells) <= 10
