"""Sowings brought forward as far as that costs nothing: between plans of one worth growers want the beds at work."""

from __future__ import annotations

import itertools
import time
from collections.abc import Iterable, Iterator
from dataclasses import replace

from engine.planner.check import fits
from engine.planner.deliver import deliveries, money
from engine.planner.model import Problem, Solution, Use

SLACK = 1e-6
GONE_THROUGH_A_SECOND = 120_000  # uses and demands: fewer than a quiet machine of our day has time for


def sown_early(problem: Problem, solution: Solution, seconds: float) -> Solution:
    """The plan with each sowing on its earliest day in its bed that earns no less, the first of them first.

    What is tried is counted, so that the same plan comes of it; the seconds only end what takes longer.
    """
    if problem.hours_a_week is not None:
        return solution
    until, best = time.monotonic() + seconds, solution
    tries = int(seconds * GONE_THROUGH_A_SECOND / max(1, len(problem.demands) + len(solution.uses)))
    for use in sorted(solution.uses, key=lambda use: problem.all_choices[use.choice].sow):
        if use.choice < len(problem.choices):
            for plan in itertools.islice(_brought_forward(problem, best, use), tries):
                tries -= 1
                if time.monotonic() > until:
                    return best
                if plan.money.total >= best.money.total - SLACK:
                    best = plan
                    break
    return best


def _brought_forward(problem: Problem, plan: Solution, use: Use) -> Iterator[Solution]:
    """The plan with the use on each earlier day that its bed has room for, the soonest first."""
    others = [one for one in plan.uses if one != use]
    held = [problem.all_choices[one.choice] for one in others if one.bed == use.bed]
    site = problem.beds[use.bed]
    for number in _earlier(problem, use):
        choice = problem.choices[number]
        if choice.sow >= site.opens and fits(problem, site, [*held, choice]):
            uses = tuple(sorted((*others, Use(use.bed, number))))
            handed = deliveries(problem, uses)
            yield replace(plan, uses=uses, handed=handed, money=money(problem, uses, handed))


def _earlier(problem: Problem, use: Use) -> Iterable[int]:
    """The same crop with as many cuts sown sooner, the soonest first."""
    now = problem.choices[use.choice]
    alike = (
        number
        for number, choice in enumerate(problem.choices)
        if choice.crop == now.crop and len(choice.cuts) == len(now.cuts) and choice.sow < now.sow
    )
    return sorted(alike, key=lambda number: (problem.choices[number].sow, problem.choices[number].out))
