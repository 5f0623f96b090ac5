"""The planner against trying everything, on farms small enough for that."""

import datetime as dt
import itertools
import random
from collections.abc import Iterable
from dataclasses import replace

import numpy
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from engine.planner.check import faults, fits
from engine.planner.deliver import deliveries, money
from engine.planner.greedy import MONEY, SHORTFALL, by_rule
from engine.planner.model import Barred, Choice, Cut, Demand, Problem, Rest, Site, Stock, Use
from engine.planner.shelf import Shelf
from engine.planner.solve import solve
from engine.planner.trial import Trial, tried

CROPS = ("radish", "arugula", "lettuce")
FAMILIES = {"radish": "brassica", "arugula": "brassica", "lettuce": "lettuce"}


@st.composite
def choices(draw: st.DrawFn) -> Choice:
    sow = draw(st.sampled_from([0, 7, 14]))
    ready = sow + draw(st.integers(3, 12))
    cuts = [Cut(ready, ready + draw(st.integers(0, 9)), draw(st.sampled_from([0.5, 1.0, 2.0])))]
    if draw(st.booleans()):
        cuts.append(Cut(ready + 4, ready + 4 + draw(st.integers(0, 9)), 0.5))
    return Choice(draw(st.sampled_from(CROPS)), sow, cuts[-1].ready + draw(st.integers(1, 3)), tuple(cuts), 0.1)


@st.composite
def bars(draw: st.DrawFn) -> Barred:
    first = draw(st.integers(-5, 14))
    return Barred(draw(st.sampled_from(CROPS)), first, first + draw(st.integers(0, 9)), draw(st.booleans()))


def keeps_rules(problem: Problem, uses: Iterable[Use]) -> bool:
    """Whether no crop goes in, or is there, on days that it is kept out: looked at day by day."""
    return not any(
        bar.crop == choice.crop and any(bar.first <= day <= bar.last for day in range(choice.sow, until))
        for use in uses
        for choice in (problem.all_choices[use.choice],)
        for bar in problem.beds[use.bed].barred
        for until in (choice.out if bar.standing else choice.sow + 1,)
    )


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    sites = [
        Site(f"bed {n}", draw(st.sampled_from(["Brook", "Gate"])), draw(st.sampled_from([10.0, 20.0])),
             draw(st.sampled_from([0, 0, 7])), (("brassica", 9),) if draw(st.booleans()) else (),
             frozenset({"radish"}) if draw(st.integers(0, 5)) == 0 else None, tuple(draw(st.lists(bars(), max_size=2))))
        for n in range(draw(st.integers(1, 2)))
    ]  # fmt: skip
    demands = [
        Demand(draw(st.sampled_from(CROPS)), draw(st.integers(4, 24)), draw(st.sampled_from([5.0, 12.0])),
               draw(st.sampled_from([1.0, 2.5])), draw(st.sampled_from([0.0, 1.0])), "somebody")
        for _ in range(draw(st.integers(0, 5)))
    ]  # fmt: skip
    stocks = [Stock("radish", 0, 10, 6.0)] if draw(st.booleans()) else []
    empty = [Rest(1, 8, 13)] if draw(st.integers(0, 3)) == 0 and any(site.opens <= 8 for site in sites) else []
    return Problem(
        dt.date(2027, 6, 14), (0, 7, 14), tuple(sites), tuple(draw(st.lists(choices(), max_size=5))), tuple(demands),
        tuple(stocks), FAMILIES, {"brassica": draw(st.sampled_from([0, 10, 700])), "lettuce": 700},
        draw(st.sampled_from([0.0, 3.0])), None, tuple(empty),
    )  # fmt: skip


def every_plan(problem: Problem) -> list[list[Use]]:
    """All ways to use the beds that break nothing."""
    numbers = range(len(problem.all_choices))
    ways = []
    for bed, site in enumerate(problem.beds):
        sets = (chosen for size in range(4) for chosen in itertools.combinations(numbers, size))
        plain = replace(site, barred=())  # rules with days are looked at by themselves
        ways.append([uses for chosen in sets
                     if fits(problem, plain, [problem.all_choices[n] for n in chosen])
                     and keeps_rules(problem, uses := [Use(bed, n) for n in chosen])])  # fmt: skip
    plans = [[use for part in parts for use in part] for parts in itertools.product(*ways)]
    first = len(problem.choices)
    return [
        plan
        for plan in plans
        if all(sum(use.choice == first + at for use in plan) == wish.count for at, wish in enumerate(problem.empty))
    ]


def worth(problem: Problem, uses: list[Use]) -> float:
    return money(problem, uses, deliveries(problem, uses)).total


@settings(max_examples=25, deadline=None)
@given(problems())
def test_no_plan_that_can_be_carried_out_is_worth_more(problem: Problem) -> None:
    best = max(worth(problem, plan) for plan in every_plan(problem))
    found = solve(problem, seconds=10)
    assert faults(problem, found) == []
    assert keeps_rules(problem, found.uses)
    assert abs(found.money.total - best) <= 1e-6 + 2e-3 * abs(best)  # the share that the search may leave undone
    assert found.bound >= best - 1e-6


@settings(max_examples=40, deadline=None)
@given(problems())
def test_what_is_handed_over_is_worth_as_much_as_a_linear_programme_finds(problem: Problem) -> None:
    uses = by_rule(problem, MONEY)
    lots = [(stock.crop, stock.ready, stock.last, stock.amount) for stock in problem.stocks]
    lots += [
        (problem.choices[use.choice].crop, cut.ready, cut.last, cut.per_ft * problem.beds[use.bed].length_ft)
        for use in uses
        if use.choice < len(problem.choices)
        for cut in problem.choices[use.choice].cuts
    ]
    pairs = [
        (lot, n)
        for lot, (crop, ready, last, _) in enumerate(lots)
        for n, demand in enumerate(problem.demands)
        if demand.crop == crop and ready <= demand.day <= last
    ]
    mine = sum(h.amount * (problem.demands[h.demand].price + problem.demands[h.demand].penalty)
               for h in deliveries(problem, uses))  # fmt: skip
    if not pairs:
        assert mine == 0
        return
    rows = numpy.zeros((len(lots) + len(problem.demands), len(pairs)))
    for column, (lot, n) in enumerate(pairs):
        rows[lot, column] = rows[len(lots) + n, column] = 1
    limits = [lot[3] for lot in lots] + [demand.amount for demand in problem.demands]
    price = [-(problem.demands[n].price + problem.demands[n].penalty) for _, n in pairs]
    assert abs(-linprog(price, A_ub=rows, b_ub=limits).fun - mine) < 1e-6


@settings(max_examples=25, deadline=None)
@given(problems(), st.sampled_from([MONEY, SHORTFALL]))
def test_a_growers_rule_breaks_nothing(problem: Problem, rule: str) -> None:
    uses = by_rule(problem, rule)
    by_bed: dict[int, list[Choice]] = {}
    for use in uses:
        by_bed.setdefault(use.bed, []).append(problem.all_choices[use.choice])
    assert all(fits(problem, problem.beds[bed], held) for bed, held in by_bed.items())


wants = st.lists(st.tuples(st.integers(0, 9), st.floats(0.5, 9), st.sampled_from([1.0, 1.5, 4.0])), min_size=1)
some_lots = st.lists(st.tuples(st.integers(0, 9), st.integers(0, 5), st.floats(0.5, 9)), max_size=6)


def most_money(wanted: list[tuple[int, float, float]], lots: list[tuple[int, int, float]]) -> float:
    """By a linear programme: amounts from lots to wants that they are good for."""
    pairs = [
        (at, n) for at, (first, last, _) in enumerate(lots) for n, want in enumerate(wanted) if first <= want[0] <= last
    ]
    if not pairs:
        return 0.0
    rows = numpy.zeros((len(lots) + len(wanted), len(pairs)))
    for column, (lot, n) in enumerate(pairs):
        rows[lot, column] = rows[len(lots) + n, column] = 1
    limits = [lot[2] for lot in lots] + [want[1] for want in wanted]
    return float(-linprog([-wanted[n][2] for _, n in pairs], A_ub=rows, b_ub=limits).fun)


@settings(max_examples=150, deadline=None)
@given(wants, some_lots, some_lots)
def test_a_shelf_earns_what_a_linear_programme_finds_also_after_a_change(
    wanted: list[tuple[int, float, float]], before: list[tuple[int, int, float]], more: list[tuple[int, int, float]]
) -> None:
    before, more = ([(first, first + span, amount) for first, span, amount in lots] for lots in (before, more))
    shelf = Shelf(wanted, before)
    assert abs(shelf.earned - most_money(wanted, before)) < 1e-6
    new = [lot for one in more if (lot := shelf.lot(*one))[0] < lot[1]]
    for kept in (sorted([*shelf.lots, *new]), sorted(shelf.lots[1:])):
        changed = [*new, *shelf.lots[:1]] or [(0, 0, 0.0)]
        span = min(lot[0] for lot in changed), max(lot[1] for lot in changed)
        expected = Shelf(
            wanted, [(shelf.days[first], shelf.days[end - 1], amount) for first, end, amount in kept]
        ).earned
        assert abs(shelf.with_lots(kept, *span) - expected) < 1e-6
    shelf.keep(sorted([*shelf.lots, *new]), min((lot[0] for lot in new), default=0))
    assert abs(shelf.earned - most_money(wanted, [*before, *more])) < 1e-6


@settings(max_examples=25, deadline=None)
@given(problems(), st.integers(0, 99))
def test_trying_sowings_over_breaks_nothing_and_never_loses(problem: Problem, seed: int) -> None:
    uses = by_rule(problem, MONEY)
    found = tried(problem, uses, 3000, 10, random.Random(seed))
    by_bed: dict[int, list[Choice]] = {}
    for use in found:
        by_bed.setdefault(use.bed, []).append(problem.all_choices[use.choice])
    assert all(fits(problem, problem.beds[bed], held) for bed, held in by_bed.items())
    assert keeps_rules(problem, found)
    assert worth(problem, found) >= worth(problem, uses) - 1e-6


@settings(max_examples=25, deadline=None)
@given(problems(), st.integers(0, 99))
def test_what_a_trial_reckons_is_what_the_plan_is_worth(problem: Problem, seed: int) -> None:
    trial = Trial(problem, by_rule(problem, MONEY), random.Random(seed))
    before = worth(problem, [Use(bed, one) for bed, held in enumerate(trial.held) for one in held])
    for _ in range(300):
        trial.try_one(heat=20.0)
    now = worth(problem, [Use(bed, one) for bed, held in enumerate(trial.held) for one in held])
    assert abs(now - before - trial.gain) < 1e-6
