"""What fits into the hours for picking against every way of sharing them out, and the pace against its own totals."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Iterator, Sequence
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.picking_hours import LIMIT, Fitted, Job, each_unit, fitted
from engine.state import Season

START = dt.date(2027, 6, 1)
DAYS = 3


def day(number: int) -> dt.date:
    return START + dt.timedelta(days=number)


def season(hours: Sequence[int]) -> Season:
    """A farm with so many hours for picking on each of the days."""
    told = [{"name": LIMIT, "value": {"on": day(at).isoformat(), "hours": str(much)}} for at, much in enumerate(hours)]
    return Season(day=START, overrides={"": list(told)})


@st.composite
def a_job(draw: st.DrawFn) -> Job:
    first = draw(st.integers(0, DAYS - 1))
    last = draw(st.integers(first, DAYS - 1))
    hours = Decimal(draw(st.integers(1, 3)))
    best = draw(st.integers(first, last))
    due = draw(st.integers(last, DAYS))
    return Job(hours * 10, "lb", hours, day(best), day(first), day(last), day(due), draw(st.booleans()))


jobs_and_hours = st.tuples(
    st.lists(a_job(), min_size=1, max_size=3), st.lists(st.integers(0, 4), min_size=DAYS, max_size=DAYS)
)


def ways(jobs: Sequence[Job], hours: Sequence[int]) -> Iterator[tuple[tuple[int, ...], ...]]:
    """Every way to share whole hours out: for each job the hours on each day."""
    each = [
        [
            shared
            for shared in itertools.product(range(int(job.hours or 0) + 1), repeat=DAYS)
            if sum(shared) <= (job.hours or 0)
            if all(not much or job.first <= day(at) <= job.last for at, much in enumerate(shared))
        ]
        for job in jobs
    ]
    for way in itertools.product(*each):
        if all(sum(shared[at] for shared in way) <= hours[at] for at in range(DAYS)):
            yield way


def served(jobs: Sequence[Job], parts: Sequence[Fitted]) -> list[Decimal]:
    return [sum((part.hours or Decimal(0) for part in parts if part.job == at and part.day), Decimal(0))
            for at in range(len(jobs))]  # fmt: skip


def by_urgency(jobs: Sequence[Job], hours: Sequence[Decimal | int]) -> list[Decimal]:
    """The hours served of the most urgent day, of the next, and so on; what nobody wants yet last."""
    tiers = sorted({(not job.wanted, job.due) for job in jobs})
    return [
        sum((Decimal(much) for job, much in zip(jobs, hours, strict=True) if (not job.wanted, job.due) == tier),
            Decimal(0))
        for tier in tiers
    ]  # fmt: skip


@given(jobs_and_hours)
@settings(max_examples=150, deadline=None)
def test_as_much_as_can_be_is_picked_and_of_that_the_most_urgent_first(case: tuple[list[Job], list[int]]) -> None:
    jobs, hours = case
    mine = served(jobs, fitted(jobs, season(hours)))
    all_ways = [[sum(shared) for shared in way] for way in ways(jobs, hours)]
    assert sum(mine) == max(map(sum, all_ways))
    assert by_urgency(jobs, mine) == max(by_urgency(jobs, way) for way in all_ways)


@given(jobs_and_hours)
@settings(max_examples=150, deadline=None)
def test_no_day_has_more_than_its_hours_and_no_job_is_lost_or_done_outside_its_days(
    case: tuple[list[Job], list[int]],
) -> None:
    jobs, hours = case
    parts = fitted(jobs, season(hours))
    for at, much in enumerate(hours):
        assert sum(part.hours or 0 for part in parts if part.day == day(at)) <= much
    for number, job in enumerate(jobs):
        mine = [part for part in parts if part.job == number]
        assert sum(part.quantity for part in mine) == job.quantity
        assert all(part.day is None or job.first <= part.day <= job.last for part in mine)


@given(st.lists(a_job(), min_size=1, max_size=4))
def test_with_hours_enough_each_is_picked_on_its_best_day(jobs: list[Job]) -> None:
    assert [(part.day, part.quantity) for part in fitted(jobs, season([20, 20, 20]))] == [
        (job.day, job.quantity) for job in jobs
    ]


amounts = st.dictionaries(st.sampled_from(["lb", "bunch", "head"]), st.integers(1, 90).map(Decimal), min_size=1)
days = st.lists(st.tuples(st.integers(1, 12).map(Decimal), amounts), min_size=1, max_size=8)


@given(days)
@settings(deadline=None)
def test_by_the_learned_pace_all_that_was_picked_took_the_hours_that_were_told(
    days: list[tuple[Decimal, dict[str, Decimal]]],
) -> None:
    each = each_unit(days)
    took = sum(float(amount * each.get(unit, Decimal(0))) for _, picked in days for unit, amount in picked.items())
    assert took == pytest.approx(float(sum(hours for hours, _ in days)), rel=0.01)


@given(st.integers(1, 9), st.integers(1, 9), st.lists(st.tuples(*[st.integers(5, 60)] * 2), min_size=3, max_size=8))
@settings(deadline=None, max_examples=40)
def test_a_pace_that_the_days_agree_on_is_found(a_pound: int, a_bunch: int, picked: list[tuple[int, int]]) -> None:
    """Days of one unit alone settle its pace, and with it that of the other on mixed days."""
    true = {"lb": Decimal(a_pound) / 100, "bunch": Decimal(a_bunch) / 100}
    days = [({"lb": Decimal(lb), "bunch": Decimal(bunch)}) for lb, bunch in picked] + [{"lb": Decimal(500)}]
    told = [(sum((much * true[unit] for unit, much in one.items()), Decimal(0)), one) for one in days]
    each = each_unit(told)
    assert float(each["lb"]) == pytest.approx(float(true["lb"]), rel=0.05)
    assert float(each["bunch"]) == pytest.approx(float(true["bunch"]), rel=0.15)
