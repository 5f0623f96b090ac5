"""The weeks ahead, when a crop is ready, and where a crop stands."""

import datetime as dt
from decimal import Decimal
from typing import Any

from assistant.wording.ahead import ahead as said_ahead
from engine.ahead import ahead, crop_story, ready_when
from engine.asks import Ask

TODAY = "2027-06-16"
RADISH = {"kind": "sown", "date": "2027-05-28", "crop": "radish", "beds": ["Brook 1"]}
MIX = {"kind": "sown", "date": "2027-05-28", "crop": "salad mix", "beds": ["Gate 1"]}
MILD = (
    {"kind": "setting", "date": "2027-01-01", "name": "monthly_highs", "value": [21] * 12},
    {"kind": "setting", "date": "2027-01-01", "name": "monthly_lows", "value": [11] * 12},
)


def test_three_weeks_are_looked_at_where_nothing_else_was_said(pages: Any) -> None:
    result = ahead(pages(TODAY, *MILD, RADISH), Ask(topic="ahead"))
    assert (result.start, result.end) == (dt.date(2027, 6, 16), dt.date(2027, 7, 6))


def test_what_comes_ready_and_what_comes_free_are_in_order_of_the_day(pages: Any) -> None:
    result = ahead(pages(TODAY, *MILD, RADISH, MIX), Ask(topic="ahead"))
    days = [one.ready.likely for one in result.ready]
    assert days == sorted(days)
    assert {(one.bed, one.cut) for one in result.ready} >= {("Brook 1", 1), ("Gate 1", 1), ("Gate 1", 2)}
    assert result.freed[0].bed == "Brook 1"
    assert "Brook 2" in result.to_turn


def test_an_empty_bed_is_told_as_free_to_be_turned_over_or_under_its_cover(pages: Any) -> None:
    turned = {"kind": "prepared", "date": "2027-06-10", "beds": ["Brook 2"]}
    tarp = {"kind": "covered", "date": "2027-06-10", "beds": ["Brook 3"], "material": "tarp"}
    ask = Ask(topic="ahead", plot="Brook")
    result = ahead(pages(TODAY, RADISH, turned, tarp), ask)
    assert (result.free, result.covered) == (("Brook 2",), ("Brook 3",))
    assert not {"Brook 1", "Brook 2", "Brook 3"} & set(result.to_turn)
    lines = " ".join(said_ahead(result, ask, 100).split())
    assert "Free already: Brook 2. " in lines
    assert "Under a cover, free once it is off: Brook 3." in lines


def test_a_plot_and_a_crop_narrow_it(pages: Any) -> None:
    view = pages(TODAY, *MILD, RADISH, MIX)
    assert {one.bed for one in ahead(view, Ask(topic="ahead", plot="Gate")).ready} == {"Gate 1"}
    assert {one.crop for one in ahead(view, Ask(topic="ahead", crop="radish")).ready} == {"radish"}


def test_what_is_ready_already_is_in_it(pages: Any) -> None:
    early = {**RADISH, "date": "2027-05-17"}
    assert ahead(pages(TODAY, *MILD, early), Ask(topic="ahead")).ready[0].now


def test_ready_when_answers_for_what_grows(pages: Any) -> None:
    result = ready_when(pages(TODAY, *MILD, RADISH), Ask(topic="ready_when", crop="radish"))
    assert [one.bed for one in result.growing] == ["Brook 1"]
    assert result.sown is None


def test_ready_when_of_a_day_answers_for_a_sowing(pages: Any) -> None:
    day = dt.date(2027, 7, 1)
    result = ready_when(pages(TODAY, *MILD, RADISH), Ask(topic="ready_when", crop="radish", date=day))
    assert result.growing == ()
    assert result.sown is not None
    assert result.sown.day == day
    assert 20 <= result.sown.days <= 30


def test_a_sowing_into_a_bed_under_a_waiting_time_says_from_when_it_may_be_picked(pages: Any) -> None:
    manure = {"kind": "amended", "date": "2027-06-10", "beds": ["Brook 1"], "material": "raw manure"}
    ask = Ask(topic="ready_when", crop="radish", beds=("Brook 1",), date=dt.date(2027, 6, 16))
    sown = ready_when(pages(TODAY, *MILD, manure), ask).sown
    assert sown is not None
    assert "not to be picked before Fri 8 Oct 2027: a waiting time is on it" in sown.notes  # 120 days, by calendar


def test_a_crop_that_is_nowhere_is_answered_as_if_sown_today(pages: Any) -> None:
    result = ready_when(pages(TODAY, farm=()), Ask(topic="ready_when", crop="oca"))
    assert result.sown is not None
    assert result.sown.day == dt.date(2027, 6, 16)
    assert any("plain defaults" in note for note in result.sown.notes)


def test_a_bed_alone_tells_of_what_stands_in_it(pages: Any) -> None:
    result = ready_when(pages(TODAY, *MILD, RADISH, MIX), Ask(topic="ready_when", beds=("Gate 1",)))
    assert [one.crop for one in result.growing] == ["salad mix"]


def test_the_story_of_a_crop_has_beds_cooler_promises_and_figures(pages: Any) -> None:
    picked = {
        "kind": "harvested",
        "date": "2027-06-15",
        "crop": "radish",
        "beds": ["Brook 1"],
        "quantity": 9,
        "unit": "lb",
    }
    order = {
        "kind": "ordered",
        "date": "2027-06-18",
        "crop": "radish",
        "quantity": 5,
        "unit": "lb",
        "repeats": "weekly",
    }
    own = {"kind": "setting", "date": "2027-01-01", "name": "days", "crop": "radish", "value": 26}
    story = crop_story(pages(TODAY, *MILD, RADISH, picked, order, own), Ask(topic="crop_story", crop="radish"))
    assert story.beds[0].picked == ((Decimal(9), "lb"),)
    assert story.cooler == ((Decimal(9), "lb"),)
    assert story.promised == ((Decimal(15), "lb"),)
    assert story.next_delivery == dt.date(2027, 6, 18)
    used = {figure.name: figure for figure in story.figures}
    assert (used["first cut"].value, used["first cut"].how) == ("26 days", "yours")
    assert used["keeps"].how == "read"


def test_the_story_of_an_unknown_crop_is_made_of_defaults_that_say_so(pages: Any) -> None:
    story = crop_story(pages(TODAY, farm=()), Ask(topic="crop_story", crop="oca"))
    assert not story.known
    assert {figure.how for figure in story.figures} == {"default"}


def test_a_figure_of_a_variety_or_a_plot_is_told_beside_the_crops_own(pages: Any) -> None:
    said = {"kind": "setting", "date": "2027-01-01", "name": "days", "crop": "radish"}
    own = (
        {**said, "value": 26},
        {**said, "value": 22, "variety": "Cherry Belle"},
        {**said, "value": 30, "plot": "Gate"},
    )
    story = crop_story(pages(TODAY, *own), Ask(topic="crop_story", crop="radish"))
    days = {
        figure.name: (figure.value, figure.source) for figure in story.figures if figure.name.startswith("first cut")
    }
    assert days == {
        "first cut": ("26 days", "what you told me"),
        "first cut, Cherry Belle": ("22 days", "what you told me of Cherry Belle"),
        "first cut, in Gate": ("30 days", "what you told me of it in Gate"),
    }


def test_what_the_farms_own_records_make_of_a_figure_is_told(pages: Any) -> None:
    days = [("2027-04-20", "2027-05-26"), ("2027-04-25", "2027-05-31"), ("2027-05-01", "2027-06-06")]
    cut = {**RADISH, "kind": "harvested", "quantity": 40, "unit": "lb", "last": True}
    said = [record for sown, day in days for record in ({**RADISH, "date": sown}, {**cut, "date": day})]
    first = crop_story(pages(TODAY, *MILD, *said), Ask(topic="crop_story", crop="radish")).figures[0]
    assert first.records == 3
    assert first.learned is not None
    assert 30 < int(first.learned.removesuffix(" days")) < 40
    assert crop_story(pages(TODAY, *MILD), Ask(topic="crop_story", crop="radish")).figures[0].learned is None
