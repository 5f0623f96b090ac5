"""Sowings that are planned are counted on, until they are done or given up."""

import datetime as dt
from typing import Any

from engine.asks import Ask
from engine.events import to_json
from engine.filling import fill_bed
from engine.meant import meant_sowings
from engine.planner.plan import plan
from engine.sow_list import to_sow
from engine.suggested import suggested
from engine.weather import weather_book

TODAY, DAY = "2027-06-16", dt.date(2027, 6, 16)
ORDER = {
    "kind": "ordered", "date": "2027-07-23", "crop": "radish", "quantity": 20, "unit": "bunch", "customer": "Oven",
    "price": 3,
}  # fmt: skip
PLANNED = {"kind": "planned", "date": "2027-06-20", "task": "sown", "crop": "radish", "beds": ["Brook 1"]}
MONTH = Ask(topic="to_sow", start=DAY, end=dt.date(2027, 7, 15))


def meant(view: Any) -> list[tuple[str, str, dt.date]]:
    season = view.season()
    return [(one.bed, one.crop, one.day) for one in meant_sowings(season, weather_book(view))]


def test_a_planned_sowing_meets_the_order_that_it_is_for(pages: Any) -> None:
    assert to_sow(pages(TODAY, ORDER), MONTH).sowings
    found = to_sow(pages(TODAY, ORDER, PLANNED), MONTH)
    assert found.sowings == ()
    assert [(one.bed, one.crop) for one in found.planned] == [("Brook 1", "radish")]


def test_it_holds_its_bed_and_what_may_follow_comes_after_it(pages: Any) -> None:
    view = pages(TODAY, ORDER, PLANNED)
    (advice,) = fill_bed(view, Ask(topic="fill_bed", beds=("Brook 1",))).beds
    (planned,) = advice.planned
    assert advice.opens > planned.out
    assert "radish" in {rest.crop for rest in advice.resting}
    made = plan(view, DAY, dt.date(2027, 7, 6), (), 1)
    assert [one.bed for one in made.planned] == ["Brook 1"]
    assert all(one.day >= planned.out for one in made.sowings if one.bed == "Brook 1")


def test_once_sown_or_long_overdue_it_is_no_longer_counted(pages: Any) -> None:
    assert meant(pages(TODAY, PLANNED)) == [("Brook 1", "radish", dt.date(2027, 6, 20))]
    sown = {"kind": "sown", "date": "2027-06-20", "crop": "radish", "beds": ["Brook 1"]}
    assert meant(pages("2027-06-21", PLANNED, sown)) == []
    assert meant(pages("2027-06-25", PLANNED)) == [("Brook 1", "radish", dt.date(2027, 6, 25))]
    assert meant(pages("2027-07-10", PLANNED)) == []


def test_a_plan_made_after_it_was_agreed_to_suggests_nothing_twice(pages: Any) -> None:
    first = plan(pages(TODAY, ORDER), DAY, dt.date(2027, 7, 6), (), 1)
    assert first.sowings
    agreed = [to_json(one) for row in suggested(first, DAY) for one in row]
    again = plan(pages(TODAY, ORDER, *agreed), DAY, dt.date(2027, 7, 6), (), 1)
    assert again.sowings == ()
    assert again.short == first.short


def test_the_suggestions_of_each_answer_are_things_meant_on_days_to_come(pages: Any) -> None:
    view = pages(TODAY, ORDER, {"kind": "priced", "date": "2027-04-01", "crop": "kale", "price": 3, "unit": "bunch"})
    answers = (
        plan(view, DAY, dt.date(2027, 7, 6), (), 1), to_sow(view, MONTH),
        fill_bed(view, Ask(topic="fill_bed", beds=("Brook 2", "Brook 3"))),
    )  # fmt: skip
    for answer in answers:
        events = [event for row in suggested(answer, DAY) for event in row]
        assert events
        assert {event.kind for event in events} == {"planned"}
        assert all(event.date >= DAY for event in events)
        assert all(event.beds for event in events if event.task != "tray_sown")
    assert suggested(None, DAY) == ()


def test_seedlings_that_stand_are_planted_out_while_they_are_young_and_sown_anew_after(pages: Any) -> None:
    """Kale stands five weeks in its trays (`crops.csv`), and two more before it is overgrown (common practice)."""
    price = {"kind": "priced", "date": "2027-04-01", "crop": "kale", "price": 3, "unit": "bunch"}
    order = {**ORDER, "crop": "kale", "date": "2027-09-10", "quantity": 30}
    trays = {"kind": "tray_sown", "date": "2027-05-10", "crop": "kale", "trays": 3, "cells": 128}
    before = {"kind": "transplanted", "date": "2026-05-10", "crop": "kale", "beds": ["Gate 2"]}
    gone = {"kind": "cleared", "date": "2026-11-01", "beds": ["Gate 2"]}
    with_trays, without = (
        plan(pages(TODAY, before, gone, price, order, *more), DAY, dt.date(2027, 7, 6), (), 1)
        for more in ((trays,), ())
    )
    assert with_trays.sowings[0].begins == with_trays.sowings[0].day <= dt.date(2027, 6, 28)
    assert {event.task for event in suggested(with_trays, DAY)[0]} == {"transplanted"}
    assert without.sowings[0].begins == without.sowings[0].seed_day >= DAY
    assert [event.task for event in suggested(without, DAY)[0]] == ["tray_sown", "transplanted"]
