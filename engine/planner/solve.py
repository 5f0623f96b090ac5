"""From a problem to a plan: growers' rules first, then the programme, for as long as there is time.

Small programmes go to HiGHS whole. For large ones its relaxation gives the bound and, by diving (the largest fractions
are rounded up and the rest is solved again), a plan to begin with. Most of the time goes to trying single sowings in
other places and on other days; then parts are planned anew as programmes while all else stays.
All work is counted, so that the same problem, seed and work give the same plan; the clock only ends what a machine in
a hurry has not done by then.
"""

from __future__ import annotations

import math
import random
import time
from collections import defaultdict
from collections.abc import Sequence

from engine.planner.dealing import DEAL_SHARE, LUKEWARM, bed_by_bed, dealt, solution_of, tried_over
from engine.planner.greedy import MONEY, SHORTFALL, by_rule
from engine.planner.highs import Highs, NoSolverError
from engine.planner.model import Problem, Solution, Use
from engine.planner.program import Program, groups_of, program
from engine.planner.search import (
    CLOSE,
    SEARCH_SHARE,
    Counts,
    Heed,
    Progress,
    Search,
    counts_in,
    plan_parts,
    whole_columns,
)
from engine.planner.spread import spread
from engine.planner.trial import WARM

__all__ = ["Heed", "Progress", "solve"]

WHOLE_AT_ONCE = 700  # whole-number columns up to which the programme is solved in one go
DIVE_SHARE, DIVE_LOSS = 0.15, 0.012  # fractions rounded at a time; share of the bound at which diving stops
PART = 1e-5  # what counts as some of a use
WHOLE_UNTIL, TRY_SHARE = 0.8, 0.6  # of the work and time for a programme that is solved in one go; of what that leaves
DIVE_UNTIL, TRY_UNTIL = 0.15, 0.8  # of the time, up to the parts that are planned anew


def solve(
    problem: Problem, seconds: float = 20.0, seed: int = 0, heed: Heed | None = None, work: float | None = None
) -> Solution:
    """The best plan found in the time, never below the growers' rules, with a bound that no plan can pass.

    `work` is how much to do: what an unhurried machine does in the time, where it is not said. `heed` is told of the
    progress now and then and may return False to stop. Without the solver the better rule's plan is given, with an
    infinite bound.
    """
    begun = time.monotonic()
    rules = {rule: by_rule(problem, rule) for rule in (MONEY, SHORTFALL)}
    solutions = [solution_of(problem, uses, rule) for rule, uses in rules.items()]
    best = max(solutions, key=lambda solution: solution.money.total)
    search = Search(
        problem, groups_of(problem, finely=False), best, begun + SEARCH_SHARE * seconds, begun, heed,
        random.Random(seed), _counted(problem, best.uses), best.money.total,
        work=seconds if work is None else work, dealt_by=begun + seconds,
    )  # fmt: skip
    finished = False
    try:
        finished = _search(search)
    except (NoSolverError, KeyboardInterrupt) as stop:
        search.stopped = isinstance(stop, KeyboardInterrupt)
    out = dealt(search)
    solutions += [search.plan, out, *bed_by_bed(search, out)]
    best = max(solutions, key=lambda solution: solution.money.total)
    if not finished and search.bound - best.money.total > CLOSE * abs(search.bound):
        uses = tried_over(search, best.uses, (1 - DEAL_SHARE) * search.work_left, search.time_left(), LUKEWARM)
        best = max(best, solution_of(problem, uses, "programme"), key=lambda solution: solution.money.total)
    return Solution(
        best.uses, best.handed, best.money, max(search.bound, best.money.total), time.monotonic() - begun, best.rule,
        finished,
    )  # fmt: skip


def _search(search: Search) -> bool:
    """Improves the search's counts; True if it ended by itself."""
    made = program(search.problem, search.groups)
    solver = Highs(made, search.random.randrange(2**30), search.stop_sign)
    if len(made.uses) <= WHOLE_AT_ONCE:
        return _whole(search, made, solver)
    values = _relaxed(search, made, solver)
    if values is not None:
        _take_if_better(search, _dive(search, made, solver, values))
    seconds = search.left() - (SEARCH_SHARE - TRY_UNTIL) * search.allowed
    _take(search, tried_over(search, search.plan.uses, (TRY_UNTIL - DIVE_UNTIL) * search.work, seconds, WARM))
    return plan_parts(search, (SEARCH_SHARE - TRY_UNTIL) * search.work) and search.bound < math.inf


def _whole(search: Search, made: Program, solver: Highs) -> bool:
    solver.start_from(whole_columns(made, search.counts))
    slack = max(CLOSE * 10 * abs(search.worth), 1e-6)
    seconds = search.left() - (SEARCH_SHARE - WHOLE_UNTIL) * search.allowed
    answer = solver.run(seconds, slack, work=WHOLE_UNTIL * search.work)
    search.bound = answer.bound
    if answer.values is not None and answer.worth > search.worth:
        search.counts, search.worth = counts_in(made, answer.values), answer.worth
    if search.go_on() and not answer.finished:
        work = TRY_SHARE * (SEARCH_SHARE - WHOLE_UNTIL) * search.work
        _take(search, tried_over(search, search.plan.uses, work, TRY_SHARE * search.left(), WARM))
    return answer.finished


def _relaxed(search: Search, made: Program, solver: Highs) -> Sequence[float] | None:
    """The relaxation's values, which give the search its bound; None if there was no time for it."""
    solver.wholly([*made.uses, *made.trips], whole=False)
    answer = solver.run(search.left(), interior=True)
    if answer.values is None or not answer.finished:
        return None
    search.bound = answer.bound
    return answer.values


def _dive(search: Search, made: Program, solver: Highs, values: Sequence[float]) -> Counts:
    """Counts found by rounding up ever more of the relaxation."""
    least = search.bound - DIVE_LOSS * abs(search.bound)
    late = (SEARCH_SHARE - DIVE_UNTIL) * search.allowed
    while search.go_on() and search.left() > late and (chosen := _largest_fractions(made, values)):
        solver.narrow(list(chosen), list(chosen.values()), [made.columns.upper[column] for column in chosen])
        answer = solver.run(search.left() - late)
        if answer.values is None or answer.worth < least:
            break
        values = answer.values
    return {use: count for column, use in made.uses.items() if (count := math.floor(values[column] + 1e-6))}


def _largest_fractions(made: Program, values: Sequence[float]) -> dict[int, float]:
    """The columns to round up next, with what they are rounded up to."""
    fractions = [(values[column] - math.floor(values[column] + 1e-6), column) for column in made.uses]
    fractions = sorted(((part, column) for part, column in fractions if part > PART), reverse=True)
    many = fractions[: max(1, int(DIVE_SHARE * len(fractions)))]
    chosen = [column for part, column in many if part >= 0.6] or [column for _, column in fractions[:1]]
    return {column: math.floor(values[column] + 1e-6) + 1.0 for column in chosen}


def _take_if_better(search: Search, counts: Counts) -> None:
    """Fills up what the dive left open by the money rule and keeps it if that is better than the rules alone."""
    uses, _ = spread(search.problem, search.groups, counts)
    _take(search, by_rule(search.problem, MONEY, uses))


def _take(search: Search, uses: Sequence[Use]) -> None:
    solution = solution_of(search.problem, uses, "programme")
    search.plan = max(search.plan, solution, key=lambda plan: plan.money.total)
    if solution.money.total > search.worth:
        search.counts, search.worth = _counted(search.problem, uses), solution.money.total


def _counted(problem: Problem, uses: Sequence[Use]) -> Counts:
    of = {bed: number for number, group in enumerate(groups_of(problem, finely=False)) for bed in group.beds}
    counts: Counts = defaultdict(int)
    for use in uses:
        counts[of[use.bed], use.choice] += 1
    return dict(counts)
