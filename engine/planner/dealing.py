"""From counts to a plan of single beds, with what found no bed mended a few beds at a time."""

from __future__ import annotations

import math
from collections.abc import Sequence

from engine.planner.deliver import deliveries, money
from engine.planner.greedy import MONEY, by_rule
from engine.planner.highs import Highs
from engine.planner.mend import mended
from engine.planner.model import Choice, Problem, Solution, Use
from engine.planner.program import Group, program
from engine.planner.program import Use as Counted
from engine.planner.search import CLOSE, Search, counts_in, whole_columns
from engine.planner.spread import spread

MENDS, MEND_BEDS = 20, 6  # how often a use that found no bed is tried again, and over how many beds
MOST_COLUMNS = 5600  # up to which a farm is planned bed by bed


def solution_of(problem: Problem, uses: Sequence[Use], rule: str) -> Solution:
    handed = deliveries(problem, uses)
    return Solution(tuple(sorted(uses)), handed, money(problem, uses, handed), math.inf, 0.0, rule)


def dealt(search: Search) -> Solution:
    """The counts as a plan of single beds; what found no bed is planned anew there, by the money rule."""
    problem = search.problem
    uses, left = spread(problem, search.groups, search.counts)
    if left:
        uses = by_rule(problem, MONEY, uses)
    best = solution_of(problem, uses, "programme")
    if problem.hours_a_week is None and search.bound < math.inf:
        best = _mended(search, best, left)
    return best


def _mended(search: Search, best: Solution, left: Sequence[Counted]) -> Solution:
    """The plan with a few beds at a time planned anew, as long as uses that found no bed cost more than a trifle."""
    problem, rounds = search.problem, 0
    while left and rounds < MENDS * len(left) and search.time_left() > 0:
        if best.money.total >= search.worth - CLOSE * abs(search.bound):
            break
        number, choice = left[rounds % len(left)]
        group = search.groups[number]
        part = Group(group.plot, group.length_ft, _promising(search, group, best, choice))
        seconds = min(search.a_part, search.time_left())
        again = solution_of(problem, mended(problem, part, best.uses, [choice], seconds), "programme")
        best = max(best, again, key=lambda solution: solution.money.total)
        rounds += 1
    return best


def _promising(search: Search, group: Group, solution: Solution, choice: int) -> tuple[int, ...]:
    """A few beds to plan anew for a use that found none: some idle on its day, some its family has not been in."""
    problem, wanted = search.problem, search.problem.all_choices[choice]
    held: dict[int, list[Choice]] = {bed: [] for bed in group.beds}
    for use in solution.uses:
        if use.bed in held:
            held[use.bed].append(problem.all_choices[use.choice])
    idle = [bed for bed, mine in held.items() if not any(one.sow <= wanted.sow < one.out for one in mine)]
    family = problem.families.get(wanted.crop)
    free = [bed for bed, mine in held.items() if all(problem.families.get(one.crop) != family for one in mine)]
    few = set(search.random.sample(idle, min(2, len(idle)))) | set(search.random.sample(free, min(2, len(free))))
    others = [bed for bed in group.beds if bed not in few]
    return tuple(sorted(few | set(search.random.sample(others, min(MEND_BEDS - len(few), len(others))))))


def bed_by_bed(search: Search, dealt: Solution) -> list[Solution]:
    """Where dealing out lost money and the farm is small: the programme over single beds, which loses nothing."""
    problem = search.problem
    lost = search.worth - dealt.money.total
    if search.bound == math.inf or search.stopped or lost <= 10 * CLOSE * abs(search.bound) or search.time_left() < 0.1:
        return []
    groups = [Group(bed.plot, bed.length_ft, (number,)) for number, bed in enumerate(problem.beds)]
    if len(groups) * len(problem.choices) > MOST_COLUMNS:
        return []
    made = program(problem, groups)
    solver = Highs(made, go_on=search.stop_sign)
    solver.start_from(whole_columns(made, {(use.bed, use.choice): 1 for use in dealt.uses}))
    answer = solver.run(search.time_left(), 10 * CLOSE * abs(search.bound))
    search.bound = min(search.bound, answer.bound)
    if answer.values is None:
        return []
    return [solution_of(problem, [Use(bed, choice) for bed, choice in counts_in(made, answer.values)], "programme")]
