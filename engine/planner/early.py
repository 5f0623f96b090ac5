"""Sowings brought forward as far as that costs nothing: between plans of one worth growers want the beds at work."""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import replace

from engine.planner.check import fits
from engine.planner.deliver import deliveries, money
from engine.planner.model import Problem, Solution, Use

SLACK = 1e-6


def sown_early(problem: Problem, solution: Solution, seconds: float) -> Solution:
    """The plan with each sowing on its earliest day in its bed that earns no less, the first of them first."""
    if problem.hours_a_week is not None:
        return solution
    until, best = time.monotonic() + seconds, solution
    for use in sorted(solution.uses, key=lambda use: problem.all_choices[use.choice].sow):
        if use.choice < len(problem.choices):
            best = _brought_forward(problem, best, use, until)
    return best


def _brought_forward(problem: Problem, plan: Solution, use: Use, until: float) -> Solution:
    others = [one for one in plan.uses if one != use]
    held = [problem.all_choices[one.choice] for one in others if one.bed == use.bed]
    site = problem.beds[use.bed]
    for number in _earlier(problem, use):
        choice = problem.choices[number]
        if time.monotonic() > until:
            break
        if choice.sow >= site.opens and fits(problem, site, [*held, choice]):
            uses = tuple(sorted((*others, Use(use.bed, number))))
            handed = deliveries(problem, uses)
            worth = money(problem, uses, handed)
            if worth.total >= plan.money.total - SLACK:
                return replace(plan, uses=uses, handed=handed, money=worth)
    return plan


def _earlier(problem: Problem, use: Use) -> Iterable[int]:
    """The same crop with as many cuts sown sooner, the soonest first."""
    now = problem.choices[use.choice]
    alike = (
        number
        for number, choice in enumerate(problem.choices)
        if choice.crop == now.crop and len(choice.cuts) == len(now.cuts) and choice.sow < now.sow
    )
    return sorted(alike, key=lambda number: (problem.choices[number].sow, problem.choices[number].out))
