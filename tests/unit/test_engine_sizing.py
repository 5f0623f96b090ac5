"""How much is sown: what one sowing gives over the deliveries it can serve, against a general-purpose solver."""

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from engine.shortfalls import Coming, Want
from engine.sizing import TOO_MUCH_BED, WORTH_FEWER, sized, sized_in_part

START = dt.date(2027, 9, 3)


def want(after: int, amount: int) -> Want:
    return Want(START + dt.timedelta(days=after), "snap pea", Decimal(amount), "lb", None)


def lot(ready: int, lasts: int, a_foot: str) -> Coming:
    first = START + dt.timedelta(days=ready)
    return Coming(first, first + dt.timedelta(days=lasts), Decimal(a_foot), "to be sown")


def least_feet(wants: list[Want], lots: list[Coming]) -> float | None:
    """The same by linear programming (scipy's HiGHS): the fewest feet whose lots can be dealt out to all the wants."""
    pairs = [(w, k) for w, one in enumerate(wants) for k, cut in enumerate(lots) if cut.ready <= one.day <= cut.last]
    met = [[0.0] + [-1.0 if w == number else 0.0 for w, _ in pairs] for number in range(len(wants))]
    given_out = [
        [-float(cut.quantity)] + [1.0 if k == number else 0.0 for _, k in pairs] for number, cut in enumerate(lots)
    ]
    limits = [-float(one.short) for one in wants] + [0.0] * len(lots)
    answer = linprog([1.0] + [0.0] * len(pairs), A_ub=met + given_out, b_ub=limits)
    return float(answer.fun) if answer.status == 0 else None


@given(
    amounts=st.lists(st.integers(1, 30), min_size=1, max_size=6),
    cuts=st.lists(st.tuples(st.integers(1, 12), st.integers(0, 9), st.integers(1, 9)), min_size=1, max_size=6),
)
def test_the_feet_are_the_fewest_that_serve_all_these_wants(
    amounts: list[int], cuts: list[tuple[int, int, int]]
) -> None:
    wants = [want(7 * week, amount) for week, amount in enumerate(amounts)]
    day, last, lots = -7, -7, list[Coming]()
    for gap, lasts, a_foot in cuts:
        day += gap
        last = max(last, day + lasts)  # a later cut never spoils before an earlier one
        lots.append(lot(day, last - day, f"0.{a_foot}"))
    found = sized(wants, lots)
    if found is None:
        assert least_feet(wants[:1], lots) is None
    else:
        assert float(found.feet) == pytest.approx(least_feet(list(found.served), lots), rel=1e-6)


def test_a_crop_picked_for_weeks_is_not_sized_by_its_first_picking() -> None:
    wants = [want(7 * week, 23) for week in range(4)]
    pickings = [lot(4 * number - 6, 9, "0.08") for number in range(8)]
    found = sized(wants, pickings)
    assert found is not None
    assert len(found.served) == 4
    assert found.feet < 23 / Decimal("0.08") * 2 / 3


def test_no_more_bed_a_unit_is_taken_than_a_little_over_the_least() -> None:
    wants = [want(0, 10), want(7, 10), want(28, 10)]
    found = sized(wants, [lot(0, 7, "0.4"), lot(28, 3, "0.05")])
    assert found is not None
    assert len(found.served) == 2
    assert found.feet_a_unit <= WORTH_FEWER * Decimal(50) / 20


def test_a_first_delivery_that_would_need_far_more_bed_is_served_in_part() -> None:
    wants = [want(7 * week, 20) for week in range(4)]
    pickings = [lot(0, 0, "0.05"), *(lot(1 + 2 * number, 9, "0.1") for number in range(12))]
    found, whole = sized_in_part(wants, pickings), sized(wants, pickings)
    assert found is not None
    assert whole is not None
    assert found.partly
    assert found.feet * TOO_MUCH_BED < whole.feet
