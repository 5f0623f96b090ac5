"""Rules for plans are kept in the book, lifted, and heeded by the small answers too."""

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from engine.asks import Ask
from engine.events import from_json, to_json
from engine.filling import fill_bed
from engine.planner.early import sown_early
from engine.planner.limits import KeepFor, LeaveEmpty, NoCrop
from engine.planner.model import Choice, Cut, Demand, Problem, Site, Use
from engine.planner.plan import plan
from engine.planner.rules import as_setting, limits_of
from engine.planner.solve import solve
from engine.sow_list import to_sow

TODAY, DAY = "2027-06-16", dt.date(2027, 6, 16)
AUGUST = (dt.date(2027, 8, 1), dt.date(2027, 8, 31))
LIMITS = (
    NoCrop("lettuce", "Brook"), NoCrop("kale"), KeepFor("Brook 3", "carrot"), LeaveEmpty(2, *AUGUST),
    LeaveEmpty(1, *AUGUST, "Gate"), LeaveEmpty(2, *AUGUST, None, ("Brook 1", "Brook 2")),
)  # fmt: skip
ORDER = {
    "kind": "ordered", "date": "2027-07-30", "crop": "radish", "quantity": 20, "unit": "bunch", "customer": "Oven",
    "repeats": "weekly", "price": 3,
}  # fmt: skip


def said(limit: Any, *, lifted: bool = False) -> dict[str, Any]:
    return to_json(as_setting(limit, DAY, lifted=lifted))


@pytest.mark.parametrize("limit", LIMITS, ids=str)
def test_a_rule_comes_back_from_the_book_as_it_was_said(pages: Any, limit: Any) -> None:
    event = as_setting(limit, DAY)
    assert from_json(to_json(event)) == event
    assert event.value["say"] == str(limit)
    assert limits_of(pages(TODAY, said(limit)).season()) == (limit,)


def test_a_rule_that_is_lifted_holds_no_longer_and_can_be_said_again(pages: Any) -> None:
    one, other = LIMITS[:2]
    lifted = (said(one), said(other), said(one, lifted=True))
    assert limits_of(pages(TODAY, *lifted).season()) == (other,)
    assert limits_of(pages(TODAY, *lifted, said(one)).season()) == (other, one)


def test_a_rule_whose_days_are_over_is_past(pages: Any) -> None:
    past = LeaveEmpty(2, dt.date(2027, 6, 1), dt.date(2027, 6, 15))
    assert limits_of(pages(TODAY, said(past)).season()) == ()


def test_what_goes_into_a_bed_keeps_to_the_rules(pages: Any) -> None:
    no = said(NoCrop("radish", "Brook 1"))
    (advice,) = fill_bed(pages(TODAY, ORDER, no), Ask(topic="fill_bed", beds=("Brook 1",))).beds
    assert advice.barred == ("radish",)
    assert advice.options == ()


def test_what_to_sow_finds_another_bed_where_a_rule_keeps_one(pages: Any) -> None:
    week = Ask(topic="to_sow", start=DAY, end=dt.date(2027, 7, 20))
    no = said(NoCrop("brassica", "Brook"))
    (free, *_), (kept, *_) = to_sow(pages(TODAY, ORDER), week).sowings, to_sow(pages(TODAY, ORDER, no), week).sowings
    assert free.beds
    assert {bed.rpartition(" ")[0] for bed in kept.beds} == {"Gate"}


def test_beds_that_are_named_stay_empty(pages: Any) -> None:
    wish = LeaveEmpty(2, dt.date(2027, 6, 20), dt.date(2027, 7, 20), None, ("Brook 1", "Brook 2"))
    found = plan(pages(TODAY, ORDER), DAY, dt.date(2027, 7, 20), (wish,), 1)
    held = {sowing.bed for sowing in found.sowings if sowing.day <= wish.end and sowing.out > wish.start}
    assert held.isdisjoint(wish.beds)


def test_a_sowing_is_brought_forward_as_far_as_that_costs_nothing() -> None:
    """Radish sown on day 0, 7 or 14 all keep for the one delivery; only the last is too late for that on day 40."""
    choices = tuple(Choice("radish", day, day + 30, (Cut(day + 25, day + 45, 1.0),)) for day in (0, 7, 14))
    problem = Problem(
        DAY, (0, 7, 14), (Site("Brook 1", "Brook", 10.0, 3),), choices, (Demand("radish", 41, 5.0, 2.0, 1.0, "Oven"),)
    )
    late = replace(solve(problem, 1), uses=(Use(0, 2),))
    early = sown_early(problem, late, 1)
    assert early.uses == (Use(0, 1),)
    assert early.money.total == late.money.total
