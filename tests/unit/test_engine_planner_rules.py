"""Rules for plans are kept in the book, lifted, and heeded by the small answers too."""

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from engine.asks import Ask
from engine.events import from_json, to_json
from engine.filling import fill_bed
from engine.planner.early import sown_early
from engine.planner.limits import KeepFor, LeaveEmpty, NoCrop, contradictions
from engine.planner.model import Choice, Cut, Demand, Problem, Site, Use
from engine.planner.plan import plan
from engine.planner.rules import as_setting, limits_of
from engine.planner.solve import solve
from engine.sow_list import to_sow
from engine.sowing import sow_by

TODAY, DAY = "2027-06-16", dt.date(2027, 6, 16)
AUGUST = (dt.date(2027, 8, 1), dt.date(2027, 8, 31))
LIMITS = (
    NoCrop("lettuce", "Brook"), NoCrop("kale"), KeepFor("Brook 3", "carrot"), LeaveEmpty(2, *AUGUST),
    NoCrop("radish", None, AUGUST[0]), NoCrop(None, "Gate", None, AUGUST[1]), NoCrop("kale", "Brook 2", *AUGUST),
    KeepFor("Brook 3", "carrot", AUGUST[0]), LeaveEmpty(1, *AUGUST, "Gate"),
    LeaveEmpty(2, *AUGUST, None, ("Brook 1", "Brook 2")),
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


@pytest.mark.parametrize("sort", [NoCrop("kale"), NoCrop(None, "Brook"), KeepFor("Brook 3", "carrot"), LIMITS[-1]])
def test_a_rule_whose_days_are_over_is_past(pages: Any, sort: Any) -> None:
    past, last = (replace(sort, start=dt.date(2027, 6, 1), end=dt.date(2027, 6, day)) for day in (DAY.day - 1, DAY.day))
    assert limits_of(pages(TODAY, said(past)).season()) == ()
    assert limits_of(pages(TODAY, said(last)).season()) == (last,)


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


def test_when_to_sow_moves_to_a_day_that_the_rules_leave_or_says_that_there_is_none(pages: Any) -> None:
    ask = Ask(topic="sow_by", crop="radish", date=dt.date(2027, 7, 30))
    freely = sow_by(pages(TODAY), ask).last
    assert freely is not None
    before = sow_by(pages(TODAY, said(NoCrop("radish", None, freely))), ask)
    assert (before.last, before.unruled) == (freely - dt.timedelta(days=1), freely)
    assert sow_by(pages(TODAY, said(NoCrop("radish", "Brook", freely))), ask).last == freely
    never = sow_by(pages(TODAY, said(NoCrop(None, None, None, dt.date(2027, 8, 31)))), ask)
    assert (never.last, never.unruled, never.too_late) == (None, freely, True)


def test_what_to_sow_is_due_before_the_days_on_which_a_rule_keeps_it_out(pages: Any) -> None:
    no = said(NoCrop("radish", None, dt.date(2027, 6, 25)))
    found = to_sow(pages(TODAY, ORDER, no), Ask(topic="to_sow", start=DAY, end=dt.date(2027, 8, 20)))
    assert {sowing.day <= dt.date(2027, 6, 24) for sowing in found.sowings} == {True}
    later = said(NoCrop("radish", None, None, dt.date(2027, 7, 31)))
    unmet = to_sow(pages(TODAY, ORDER, later), Ask(topic="to_sow", start=DAY, end=dt.date(2027, 7, 20))).unmet
    assert {one.sown for one in unmet} == {dt.date(2027, 8, 1)}


def test_a_bed_is_filled_after_the_days_on_which_a_rule_keeps_a_crop_out(pages: Any) -> None:
    before, by = said(NoCrop(None, "Brook", None, dt.date(2027, 7, 9))), Ask(topic="fill_bed", beds=("Brook 1",))
    (advice,) = fill_bed(pages(TODAY, ORDER, before), by).beds
    assert {option.day for option in advice.options} == {dt.date(2027, 7, 10)}
    (advice,) = fill_bed(pages(TODAY, ORDER, said(NoCrop("radish", None, DAY))), by).beds
    assert (advice.options, advice.barred) == ((), ("radish",))


def test_what_would_still_stand_when_a_bed_is_kept_for_another_crop_does_not_go_in(pages: Any) -> None:
    """Radish sown in June is out in July: in time for a bed kept from September on, not for one kept from July on."""
    by = Ask(topic="fill_bed", beds=("Brook 3",))
    for start, barred in ((dt.date(2027, 9, 1), ()), (dt.date(2027, 7, 1), ("radish",))):
        (advice,) = fill_bed(pages(TODAY, ORDER, said(KeepFor("Brook 3", "carrot", start))), by).beds
        assert advice.barred == barred


def test_what_to_sow_looks_for_beds_that_the_rules_leave_on_its_day(pages: Any) -> None:
    week = Ask(topic="to_sow", start=DAY, end=dt.date(2027, 7, 20))
    for where in ("Brook", "Gate"):
        no = said(NoCrop(None, where, None, dt.date(2027, 8, 15)))
        beds = {bed for sowing in to_sow(pages(TODAY, ORDER, no), week).sowings for bed in sowing.beds}
        assert beds
        assert where not in {bed.rpartition(" ")[0] for bed in beds}


@pytest.mark.parametrize(
    "limit",
    [
        NoCrop("radish", None, dt.date(2027, 6, 26)), NoCrop(None, None, None, dt.date(2027, 6, 27)),
        NoCrop("radish", "Brook", dt.date(2027, 6, 20), dt.date(2027, 7, 10)),
        *(KeepFor(f"{plot} {number}", "carrot", dt.date(2027, 7, 8)) for plot, number in (("Brook", 1), ("Gate", 2))),
    ],
    ids=str,
)  # fmt: skip
def test_a_plan_keeps_to_rules_with_days(pages: Any, limit: Any) -> None:
    found = plan(pages(TODAY, ORDER), DAY, dt.date(2027, 7, 20), (limit,), 1)
    assert found.sowings
    for sowing in found.sowings:
        start, end = limit.start or dt.date.min, limit.end or dt.date.max
        if isinstance(limit, KeepFor):
            assert sowing.bed != limit.bed or sowing.out <= start or sowing.crop == limit.crop
        elif limit.where in (None, sowing.bed.rpartition(" ")[0]) and limit.crop in (None, sowing.crop):
            assert not start <= sowing.day <= end


def test_a_plan_may_sow_on_the_first_day_that_a_rule_leaves(pages: Any) -> None:
    limit = NoCrop(None, None, None, dt.date(2027, 6, 24))
    found = plan(pages(TODAY, ORDER), DAY, dt.date(2027, 7, 20), (limit,), 1)
    assert (dt.date(2027, 6, 25) - DAY).days in found.built.problem.sow_days


@pytest.mark.parametrize(
    ("one", "other", "clash"),
    [
        (KeepFor("Brook 3", "carrot", AUGUST[0]), KeepFor("Brook 3", "radish", None, AUGUST[1]), True),
        (KeepFor("Brook 3", "carrot", AUGUST[0]), KeepFor("Brook 3", "radish", None, dt.date(2027, 7, 31)), False),
        (KeepFor("Brook 3", "carrot", *AUGUST), NoCrop("carrot", "Brook", None, AUGUST[1]), True),
        (KeepFor("Brook 3", "carrot"), NoCrop("carrot", None, AUGUST[0]), True),
        (KeepFor("Brook 3", "carrot"), NoCrop("carrot", None, None, AUGUST[0]), False),
        (KeepFor("Brook 3", "carrot"), NoCrop(None, "Gate"), False),
        (KeepFor("Brook 3", "carrot", *AUGUST), LeaveEmpty(1, *AUGUST, None, ("Brook 3",)), True),
        (LeaveEmpty(4, *AUGUST, "Brook"), LeaveEmpty(3, AUGUST[1], AUGUST[1], "Brook"), True),
        (LeaveEmpty(4, *AUGUST, "Brook"), LeaveEmpty(2, *AUGUST, "Gate"), False),
    ],
    ids=str,
)
def test_rules_clash_only_where_their_days_meet(pages: Any, one: Any, other: Any, clash: bool) -> None:
    season = pages(TODAY).season()
    for pair in ([one, other], [other, one]):
        found = contradictions(season, pair)
        assert bool(found) == clash
        assert all(str(limit) in line for limit in pair for line in found)


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
