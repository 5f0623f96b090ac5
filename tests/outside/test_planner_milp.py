"""The planner against a programme written anew, bed by bed and day by day, and solved by scipy.optimize.milp.

The other programme shares nothing with ours: a yes or no for each bed and choice, pairs of uses that exclude each other
written out one by one, and a flow from each use's cut to each demand.
"""

import datetime as dt
import random

import numpy
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_matrix

from engine.planner.check import faults
from engine.planner.model import Barred, Choice, Cut, Demand, Problem, Site
from engine.planner.solve import solve

FAMILIES = {"radish": "brassica", "arugula": "brassica", "lettuce": "lettuce", "beet": "beet"}
SOW_DAYS = (0, 7, 14, 21, 28)


def farm(seed: int) -> Problem:
    chance = random.Random(seed)
    choices = []
    for crop in FAMILIES:
        days, per_ft = chance.choice([18, 25, 32]), chance.uniform(0.4, 1.2)
        for sow in SOW_DAYS:
            ready = sow + days
            choices.append(Choice(crop, sow, ready + 3, (Cut(ready, ready + 8, per_ft),), 0.2))
            choices.append(Choice(crop, sow, ready + 10, (Cut(ready, ready + 15, per_ft),), 0.2))
    sites = [
        Site(f"bed {n}", "Brook" if n < 3 else "Gate", 50.0, chance.choice([0, 0, 7]),
             (("brassica", 700),) if chance.random() < 0.4 else (), None,
             (Barred("radish", 7, 20), Barred("lettuce", 30, 50, standing=True)) if n % 2 else ())
        for n in range(5)
    ]  # fmt: skip
    demands = [
        Demand(crop, 7 * week + 4, chance.uniform(10, 35), chance.uniform(2, 6), 1.0, "Harbour Oven")
        for crop in FAMILIES
        for week in range(3, 9)
    ]
    rests = {"brassica": 730, "lettuce": 730, "beet": 14}
    return Problem(
        dt.date(2027, 4, 5), SOW_DAYS, tuple(sites), tuple(choices), tuple(demands), (), FAMILIES, rests, 4.0
    )


def kept_out(site: Site, choice: Choice) -> bool:
    """Whether a rule with days is against this use of the bed."""
    there = {True: set(range(choice.sow, choice.out)), False: {choice.sow}}
    return any(
        bar.crop == choice.crop and there[bar.standing] & set(range(bar.first, bar.last + 1)) for bar in site.barred
    )


def clash(problem: Problem, one: Choice, other: Choice) -> bool:
    """Whether two uses cannot share a bed."""
    first, second = sorted((one, other), key=lambda choice: choice.sow)
    family = FAMILIES[first.crop]
    rest = problem.rests[family] if family == FAMILIES[second.crop] else 0
    return second.sow < first.out + rest


def best_worth(problem: Problem) -> float:
    """The most money, by the other programme."""
    uses = [
        (b, j)
        for b, bed in enumerate(problem.beds)
        for j, choice in enumerate(problem.choices)
        if choice.sow >= bed.opens
        and not any(FAMILIES[choice.crop] == family for family, _ in bed.rested)
        and not kept_out(bed, choice)
    ]
    flows = [
        (u, d)
        for u, (_, j) in enumerate(uses)
        for d, demand in enumerate(problem.demands)
        if demand.crop == problem.choices[j].crop
        and problem.choices[j].cuts[0].ready <= demand.day <= problem.choices[j].cuts[0].last
    ]
    trips = sorted({(problem.beds[b].plot, problem.choices[j].sow) for b, j in uses})
    count = len(uses) + len(trips) + len(flows)
    gain = numpy.zeros(count)
    rows: list[tuple[dict[int, float], float]] = []
    for u, (b, j) in enumerate(uses):
        bed, choice = problem.beds[b], problem.choices[j]
        gain[u] = -bed.length_ft * choice.cost_per_ft
        rows.append(({u: 1.0, len(uses) + trips.index((bed.plot, choice.sow)): -1.0}, 0.0))
        mine = {len(uses) + len(trips) + f: 1.0 for f, (of, _) in enumerate(flows) if of == u}
        rows.append((mine | {u: -bed.length_ft * choice.cuts[0].per_ft}, 0.0))
        rows += [
            ({u: 1.0, other: 1.0}, 1.0)
            for other in range(u)
            if uses[other][0] == b and clash(problem, choice, problem.choices[uses[other][1]])
        ]
    gain[len(uses) : len(uses) + len(trips)] = -problem.visit_cost
    for f, (_, d) in enumerate(flows):
        gain[len(uses) + len(trips) + f] = problem.demands[d].price + problem.demands[d].penalty
    for d, demand in enumerate(problem.demands):
        rows.append(({len(uses) + len(trips) + f: 1.0 for f, (_, to) in enumerate(flows) if to == d}, demand.amount))
    matrix = lil_matrix((len(rows), count))
    for at, (entries, _) in enumerate(rows):
        for column, value in entries.items():
            matrix[at, column] = value
    whole = len(uses) + len(trips)
    found = milp(
        -gain, constraints=LinearConstraint(matrix.tocsr(), -numpy.inf, [most for _, most in rows]),
        integrality=[1] * whole + [0] * len(flows), bounds=Bounds(0, [1] * whole + [numpy.inf] * len(flows)),
        options={"mip_rel_gap": 1e-4, "time_limit": 60},
    )  # fmt: skip
    assert found.success
    return -found.fun - sum(demand.penalty * demand.amount for demand in problem.demands)


@pytest.mark.parametrize("seed", [1, 3])
def test_both_programmes_find_the_same_worth(seed: int) -> None:
    problem = farm(seed)
    best, found = best_worth(problem), solve(problem, seconds=15)
    assert faults(problem, found) == []
    assert abs(found.money.total - best) <= 0.005 * abs(best)
    assert found.bound >= best - 0.001 * abs(best)
