"""From counts to a plan of single beds; where some found no bed, the beds are tried over one sowing at a time."""

from __future__ import annotations

import math
from collections.abc import Sequence

from engine.planner.deliver import deliveries, money
from engine.planner.greedy import MONEY, by_rule
from engine.planner.highs import Highs
from engine.planner.model import Problem, Solution, Use
from engine.planner.program import Group, program
from engine.planner.search import CLOSE, Search, counts_in, whole_columns
from engine.planner.spread import spread
from engine.planner.trial import tried

LUKEWARM = 0.01  # how freely the beds are tried over: what the counts have found is to be kept
DEAL_SHARE = 0.6  # of the time left, for that
TRIES_A_SECOND = 24_000  # of work: fewer than a quiet machine of our day has time for
MOST_COLUMNS = 5600  # up to which a farm is planned bed by bed


def solution_of(problem: Problem, uses: Sequence[Use], rule: str) -> Solution:
    handed = deliveries(problem, uses)
    return Solution(tuple(sorted(uses)), handed, money(problem, uses, handed), math.inf, 0.0, rule)


def dealt(search: Search) -> Solution:
    """The counts as a plan of single beds; where some found none, filled by the money rule and tried over."""
    problem = search.problem
    uses, left = spread(problem, search.groups, search.counts)
    if left:
        work, seconds = (DEAL_SHARE * of for of in (search.work_left, search.time_left()))
        uses = tried_over(search, by_rule(problem, MONEY, uses), work, seconds, LUKEWARM)
    return solution_of(problem, uses, "programme")


def tried_over(search: Search, uses: Sequence[Use], work: float, seconds: float, warm: float) -> list[Use]:
    """The uses with single sowings tried over for so much work, or so long if that is over first."""
    tries = int(TRIES_A_SECOND * work) if search.problem.beds and seconds > 0 else 0
    return tried(search.problem, uses, tries, seconds, search.random, search.wanted, warm) if tries > 0 else list(uses)


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
    answer = solver.run(search.time_left(), 10 * CLOSE * abs(search.bound), work=search.work_left)
    search.bound = min(search.bound, answer.bound)
    if answer.values is None:
        return []
    return [solution_of(problem, [Use(bed, choice) for bed, choice in counts_in(made, answer.values)], "programme")]
