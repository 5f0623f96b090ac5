"""What a plan of the farm promises, from the book to its words."""

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from assistant.wording.planning import plan as said
from engine.asks import Ask
from engine.planner.check import faults
from engine.planner.limits import KeepFor, LeaveEmpty, NoCrop, contradictions
from engine.planner.model import Use
from engine.planner.plan import Plan, plan
from engine.planner.solve import Progress
from engine.planner.why import why
from engine.suggested import suggested

TODAY = "2027-06-16"
START, END = dt.date(2027, 6, 16), dt.date(2027, 7, 6)
ORDER = {
    "kind": "ordered", "date": "2027-06-18", "crop": "salad mix", "quantity": 15, "unit": "lb",
    "customer": "Harbour Oven", "repeats": "weekly", "price": 8,
}  # fmt: skip
PRICES = [
    {"kind": "priced", "date": "2027-04-01", "crop": "radish", "price": 2.5, "unit": "bunch"},
    {"kind": "priced", "date": "2027-04-01", "crop": "carrot", "price": 2, "unit": "lb"},
]
PAST = [
    {"kind": "sown", "date": "2027-04-01", "crop": "arugula", "beds": ["Brook 1"]},
    {"kind": "cleared", "date": "2027-06-01", "beds": ["Brook 1"]},
]


MADE: dict[str, Plan] = {}


def made(pages: Any, *limits: Any, records: Any = (ORDER, *PRICES, *PAST), seconds: float = 1) -> Plan:
    """The plan for these records and limits, made once for all tests that look at it."""
    key = repr((limits, records))
    if key not in MADE:
        MADE[key] = plan(pages(TODAY, *records), START, END, limits, seconds)
    return MADE[key]


def test_a_plan_can_be_carried_out_and_its_terms_add_up(pages: Any) -> None:
    found = made(pages)
    assert found.sowings
    assert faults(found.built.problem, found.solution) == []
    assert abs(sum(found.terms.values()) - found.worth) <= 3 * found.worth.__class__("0.01")
    assert found.bound is not None
    assert found.bound >= found.worth


def test_a_bed_keeps_its_rest(pages: Any) -> None:
    found = made(pages)
    assert "radish" not in {sowing.crop for sowing in found.sowings if sowing.bed == "Brook 1"}
    assert "rests from" in why(found, "Brook 1", "radish")[0]


def test_beds_that_wait_a_week_for_their_sowing_are_to_be_covered(pages: Any) -> None:
    found = made(pages, NoCrop("radish", end=dt.date(2027, 6, 28)), NoCrop("salad mix", end=dt.date(2027, 6, 28)),
                 NoCrop("carrot", end=dt.date(2027, 6, 28)), NoCrop("arugula", end=dt.date(2027, 6, 28)))  # fmt: skip
    firsts = {}
    for sowing in sorted(found.sowings, key=lambda one: one.day):
        firsts.setdefault(sowing.bed, sowing.day)
    assert firsts
    assert {(one.bed, one.end) for one in found.bare} == set(firsts.items())
    assert all(one.start < dt.date(2027, 6, 20) and (one.end - one.start).days >= 7 for one in found.bare)
    text = " ".join(said(found, Ask(topic="to_sow", plan=True), 100).split())
    assert "Bare for a week or more until sown, cover meanwhile: " in text
    tarped = {"kind": "covered", "date": "2027-06-10", "beds": [found.bare[0].bed], "material": "tarp"}
    again = made(pages, NoCrop("radish", end=dt.date(2027, 6, 28)), NoCrop("salad mix", end=dt.date(2027, 6, 28)),
                 NoCrop("carrot", end=dt.date(2027, 6, 28)), NoCrop("arugula", end=dt.date(2027, 6, 28)),
                 records=(ORDER, *PRICES, *PAST, tarped))  # fmt: skip
    assert found.bare[0].bed not in {one.bed for one in again.bare}


WAITS = [
    {"kind": "amended", "date": "2027-06-01", "beds": ["Brook 2", "Gate 2"], "material": "horse manure"},
    {"kind": "sprayed", "date": "2027-06-15", "beds": ["Brook 4"], "material": "soap", "harvest_wait_days": 60},
]


def test_nothing_is_planned_to_be_picked_within_a_wait(pages: Any) -> None:
    """120 days after raw manure: 7 CFR 205.203(c)(1); the 60 days of the label were given."""
    clear = {"Brook 2": dt.date(2027, 9, 29), "Gate 2": dt.date(2027, 9, 29), "Brook 4": dt.date(2027, 8, 14)}
    found = made(pages, records=(ORDER, *PRICES, *PAST, *WAITS))
    without = made(pages)

    assert [sowing.bed for sowing in without.sowings if sowing.ready < clear.get(sowing.bed, START)]
    assert [sowing.bed for sowing in found.sowings if sowing.ready < clear.get(sowing.bed, START)] == []
    assert faults(found.built.problem, found.solution) == []
    assert found.worth < without.worth


def test_limits_are_kept(pages: Any) -> None:
    limits = (
        NoCrop("lettuce", "Brook"),
        KeepFor("Gate 1", "carrot"),
        LeaveEmpty(2, dt.date(2027, 8, 1), dt.date(2027, 8, 31)),
    )
    found = made(pages, *limits)
    assert {sowing.crop for sowing in found.sowings if sowing.bed == "Gate 1"} <= {"carrot"}
    assert "salad mix" not in {sowing.crop for sowing in found.sowings if sowing.bed.startswith("Brook")}
    assert faults(found.built.problem, found.solution) == []  # which counts the empty beds
    assert found.clashes == ()


def test_contradictions_are_named_with_both_limits(pages: Any) -> None:
    season = pages(TODAY).season()
    keep, no = KeepFor("Brook 3", "carrot"), NoCrop("carrot", "Brook")
    (clash,) = contradictions(season, [keep, no])
    assert str(keep) in clash
    assert str(no) in clash
    assert "only 8 beds" in contradictions(season, [LeaveEmpty(9, START, END)])[0]
    assert "no bed Brook 99" in contradictions(season, [KeepFor("Brook 99", "carrot")])[0]


def test_of_more_empty_beds_than_there_are_those_that_can_be_are_kept_and_the_rest_is_told(pages: Any) -> None:
    july = (dt.date(2027, 7, 1), dt.date(2027, 7, 31))
    wishes = (LeaveEmpty(6, *july), LeaveEmpty(2, *july, "Gate"), LeaveEmpty(1, *july, None, ("Brook 1",)))
    found = made(pages, *wishes)
    held = {sowing.bed for sowing in found.sowings if sowing.day <= july[1] and sowing.out > july[0]}
    assert faults(found.built.problem, found.solution) == []
    assert held == set()
    assert found.bound is not None  # the programme was solved, not given up
    assert [note for note in found.notes if "none of them can be empty by then" in note and "Brook 1" in note]


def test_an_order_that_nothing_can_meet_any_more_is_told(pages: Any) -> None:
    found = made(pages)
    first = found.short[0]
    assert (first.crop, first.day) == ("salad mix", dt.date(2027, 6, 18))
    assert first.sow_by is None


def test_why_gives_worth_use_and_the_next_best(pages: Any) -> None:
    found = made(pages)
    lines = "\n".join(why(found, found.sowings[0].bed, found.sowings[0].crop))
    assert "less" in lines
    assert "for" in lines
    assert why(found, "Nowhere 9", "radish") == ("Nowhere 9 is not in the plan",)


@pytest.mark.parametrize("records", [(), (ORDER,), tuple(PRICES)])
def test_with_little_to_go_by_it_plans_what_it_can_and_says_what_is_missing(pages: Any, records: Any) -> None:
    found = made(pages, records=records)
    assert bool(found.sowings) == bool(records)
    missing = {"orders": "no orders", "prices": "no prices"}
    assert records == (ORDER,) or any(missing["orders"] in note for note in found.notes)


def test_without_beds_it_says_so(pages: Any) -> None:
    found = plan(pages(TODAY, ORDER, farm=()), START, END, (), 1)
    assert found.sowings == ()
    assert "no beds are named yet" in found.notes


def test_days_gone_by_are_left_out(pages: Any) -> None:
    found = plan(pages(TODAY, ORDER), dt.date(2027, 5, 1), END, (), 1)
    assert found.start == START
    assert all(sowing.seed_day >= START for sowing in found.sowings)


def test_it_can_be_stopped_and_gives_the_best_so_far(pages: Any) -> None:
    told: list[Progress] = []

    def stop(progress: Progress) -> bool:
        told.append(progress)
        return False

    found = plan(pages(TODAY, ORDER, *PRICES), START, END, (), 1, stop)
    assert told
    assert faults(found.built.problem, found.solution) == []


def test_the_same_problem_gives_the_same_plan(pages: Any) -> None:
    plot = {
        "kind": "plot_added",
        "date": "2027-01-01",
        "plot": "Brook",
        "beds": ["Brook 1", "Brook 2"],
        "length_ft": 50,
    }
    one, other = (plan(pages(TODAY, ORDER, farm=(plot,)), START, END, (), 20) for _ in range(2))
    assert one.finished
    assert one.sowings == other.sowings


def test_the_words_fit_the_terminal_and_say_that_nothing_is_done(pages: Any) -> None:
    text = said(made(pages), Ask(topic="to_sow"), 60)
    assert max(map(len, text.splitlines())) <= 60
    assert "nothing of it is done yet" in text


def test_the_checker_finds_what_is_wrong(pages: Any) -> None:
    found = made(pages)
    problem, good = found.built.problem, found.solution
    use = good.uses[0]
    twice = replace(good, uses=(*good.uses, Use(use.bed, use.choice)))
    assert any("taken twice" in fault for fault in faults(problem, twice))
    more = replace(good, handed=tuple(replace(handed, amount=handed.amount * 9) for handed in good.handed))
    assert any("taken from a lot" in fault for fault in faults(problem, more))
    from_nowhere = replace(good, handed=tuple(replace(handed, use=Use(0, 99999)) for handed in good.handed))
    assert faults(problem, from_nowhere)
    early = replace(problem, demands=tuple(replace(demand, day=demand.day + 400) for demand in problem.demands))
    assert any("good on days" in fault for fault in faults(early, good))


def test_going_ahead_makes_entries_of_things_meant_not_done(pages: Any) -> None:
    found = made(pages)
    entries = [entry for row in suggested(found, START) for entry in row]
    assert {entry.kind for entry in entries} == {"planned"}
    assert {(entry.date, bed, entry.crop) for entry in entries for bed in entry.beds or ()} == {
        (sowing.day, sowing.bed, sowing.crop) for sowing in found.sowings
    }
