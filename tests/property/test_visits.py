"""Turn-over visits against trying every set of days: never a trip more than is needed, and every bed in time."""

import datetime as dt
from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from engine.visits import Turnover, visits

FIRST = dt.date(2027, 6, 14)
DAYS = 9


def turnover(number: int, opens: int, length: int, plot: str) -> Turnover:
    start = FIRST + dt.timedelta(days=opens)
    return Turnover(f"{plot} {number}", plot, start, start + dt.timedelta(days=length))


beds = st.lists(
    st.tuples(st.integers(0, DAYS - 1), st.integers(0, 4), st.sampled_from(["Brook", "Gate"])), max_size=7
).map(lambda drawn: [turnover(number, *one) for number, one in enumerate(drawn)])
rest_days = st.sets(st.integers(0, 6), max_size=4)  # weekdays on which nobody turns beds over


def fewest(stretches: list[Turnover], allowed: list[dt.date]) -> int:
    """By trying: the size of the smallest set of allowed days that meets every stretch."""
    return next(
        size
        for size in range(len(stretches) + 1)
        if any(all(any(bed.opens <= day <= bed.due for day in days) for bed in stretches)
               for days in combinations(allowed, size))
    )  # fmt: skip


@given(beds, rest_days)
def test_no_plan_needs_fewer_trips(turnovers: list[Turnover], closed: set[int]) -> None:
    calendar = [FIRST + dt.timedelta(days=away) for away in range(DAYS + 5)]
    open_days = [day for day in calendar if day.weekday() not in closed]
    found = visits(turnovers, lambda day: day.weekday() not in closed)
    for plot in ("Brook", "Gate"):
        reachable = [bed for bed in turnovers if bed.plot == plot and bed not in found.missed]
        assert sum(trip.plot == plot for trip in found.trips) == fewest(reachable, open_days)


@given(beds, rest_days)
def test_every_bed_is_turned_once_in_its_stretch_or_told_as_missed(turnovers: list[Turnover], closed: set[int]) -> None:
    found = visits(turnovers, lambda day: day.weekday() not in closed)
    turned = [bed for trip in found.trips for bed in trip.beds]
    assert sorted([*turned, *found.missed], key=str) == sorted(turnovers, key=str)
    assert all(bed.opens <= trip.day <= bed.due and bed.plot == trip.plot for trip in found.trips for bed in trip.beds)
    assert all(trip.day.weekday() not in closed for trip in found.trips)
    for bed in found.missed:
        days = [bed.opens + dt.timedelta(days=away) for away in range((bed.due - bed.opens).days + 1)]
        assert all(day.weekday() in closed for day in days)
