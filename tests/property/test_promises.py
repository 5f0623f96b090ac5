"""The exact answers of promises and picking against a linear programme (scipy's HiGHS), on random small cases."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from engine.promises import Batch, Wanted, free_to_promise, met
from engine.transport import cheapest

START = dt.date(2027, 6, 1)
days = st.integers(0, 9).map(lambda n: START + dt.timedelta(days=n))
amounts = st.integers(0, 40).map(lambda n: Decimal(n) / 2)


@st.composite
def a_batch(draw: st.DrawFn) -> Batch:
    first, length = draw(days), draw(st.integers(0, 6))
    return Batch("lot", draw(amounts), first, first + dt.timedelta(days=length))


batches = st.lists(a_batch(), max_size=6)
wanted = st.lists(st.builds(Wanted, days, amounts), max_size=6)


def most(batches: list[Batch], wants: list[tuple[dt.date, float]]) -> float:
    """The greatest total that can be handed over, by linear programming."""
    arcs = [
        (at, to)
        for at, batch in enumerate(batches)
        for to, (day, _) in enumerate(wants)
        if batch.start <= day <= batch.end
    ]
    if not arcs:
        return 0.0
    supply = [[float(arc[0] == at) for arc in arcs] for at in range(len(batches))]
    demand = [[float(arc[1] == to) for arc in arcs] for to in range(len(wants))]
    limits = [float(batch.amount) for batch in batches] + [amount for _, amount in wants]
    found = linprog(-np.ones(len(arcs)), A_ub=np.array(supply + demand), b_ub=limits, method="highs")
    return -float(found.fun)


@given(batches, wanted)
@settings(max_examples=60, deadline=None)
def test_as_much_is_met_as_can_be(batches: list[Batch], wanted: list[Wanted]) -> None:
    total = sum(met(batches, wanted), Decimal(0))
    assert float(total) == pytest.approx(most(batches, [(want.day, float(want.amount or 0)) for want in wanted]))


@given(batches, wanted, days)
@settings(max_examples=60, deadline=None)
def test_what_is_free_takes_from_no_promise(batches: list[Batch], wanted: list[Wanted], day: dt.date) -> None:
    free = free_to_promise(batches, wanted, day, day)
    promised = [(want.day, float(want.amount or 0)) for want in wanted]
    before = most(batches, promised)
    assert most(batches, [*promised, (day, float(free))]) == pytest.approx(before + float(free))
    assert most(batches, [*promised, (day, float(free) + 1)]) == pytest.approx(before + float(free))


@given(batches, wanted)
@settings(max_examples=60, deadline=None)
def test_nothing_is_handed_over_twice(batches: list[Batch], wanted: list[Wanted]) -> None:
    given_out = met(batches, wanted)
    assert sum(given_out, Decimal(0)) <= sum((batch.amount for batch in batches), Decimal(0))
    for want, got in zip(wanted, given_out, strict=True):
        assert 0 <= got <= (want.amount or 0)


@st.composite
def a_transport(draw: st.DrawFn) -> tuple[list[Decimal], list[Decimal], dict[tuple[int, int], int]]:
    supplies = draw(st.lists(amounts, min_size=1, max_size=5))
    wants = draw(st.lists(amounts, min_size=1, max_size=5))
    arcs = [(at, to) for at in range(len(supplies)) for to in range(len(wants))]
    costs = {arc: draw(st.integers(-50, 50)) for arc in arcs if draw(st.booleans())}
    return supplies, wants, costs


@given(a_transport())
@settings(max_examples=80, deadline=None)
def test_the_flow_is_the_greatest_and_of_those_the_cheapest(
    case: tuple[list[Decimal], list[Decimal], dict[tuple[int, int], int]],
) -> None:
    supplies, wants, costs = case
    sent = cheapest(supplies, wants, costs)
    total = sum(sent.values(), Decimal(0))
    spent = sum((costs[arc] * amount for arc, amount in sent.items()), Decimal(0))
    for at, amount in enumerate(supplies):
        assert sum((out for (frm, _), out in sent.items() if frm == at), Decimal(0)) <= amount
    for to, amount in enumerate(wants):
        assert sum((got for (_, dest), got in sent.items() if dest == to), Decimal(0)) <= amount
    if not costs:
        assert not sent
        return
    arcs = list(costs)
    rows = [[float(arc[0] == at) for arc in arcs] for at in range(len(supplies))]
    rows += [[float(arc[1] == to) for arc in arcs] for to in range(len(wants))]
    limits = [float(amount) for amount in (*supplies, *wants)]
    greatest = linprog(-np.ones(len(arcs)), A_ub=np.array(rows), b_ub=limits, method="highs")
    assert float(total) == pytest.approx(-greatest.fun)
    least = linprog(
        [costs[arc] for arc in arcs], A_ub=np.array(rows), b_ub=limits, A_eq=np.ones((1, len(arcs))),
        b_eq=[float(total)], method="highs",
    )  # fmt: skip
    assert float(spent) == pytest.approx(least.fun, abs=1e-6)
