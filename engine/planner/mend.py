"""A group of alike beds planned bed by bed, where its counts could not be dealt out to single beds.

Each bed is a group of its own there, and for a single bed the rows of `model.py` are exact: no two stretches meet, and
no family comes back before it may. What all other beds bring is taken as given.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from engine.planner.deliver import sources
from engine.planner.highs import Highs
from engine.planner.model import Problem, Rest, Stock, Use
from engine.planner.program import Group, Part, program
from engine.planner.search import counts_in, whole_columns

MOST_COLUMNS = 2500
NEAR_DAYS = 8
NODES = 400


def mended(problem: Problem, group: Group, uses: Sequence[Use], wanted: Sequence[int], seconds: float) -> list[Use]:
    """The uses with those of the group's beds planned anew, from the choices in them, those `wanted`, and near ones."""
    others = [use for use in uses if use.bed not in group.beds]
    mine = [use for use in uses if use.bed in group.beds]
    small = _alone(problem, group, others, mine)
    numbers = {bed: at for at, bed in enumerate(group.beds)}
    groups = [Group(group.plot, group.length_ft, (at,)) for at in range(len(group.beds))]
    free = _near(problem, [*(use.choice for use in mine), *wanted], len(groups))
    made = program(small, groups, Part(free))
    solver = Highs(made)
    solver.start_from(whole_columns(made, {(numbers[use.bed], use.choice): 1 for use in mine}))
    answer = solver.run(seconds, nodes=NODES)
    if answer.values is None:
        return list(uses)
    return others + [Use(group.beds[at], choice) for at, choice in counts_in(made, answer.values)]


def _alone(problem: Problem, group: Group, others: Sequence[Use], mine: Sequence[Use]) -> Problem:
    """The problem of the group's beds, the others' crops as stock, and its share of the wishes for empty beds."""
    brought = [
        Stock(crop, lot.ready, lot.last, lot.amount) for crop, lots in sources(problem, others).items() for lot in lots
    ]
    first = len(problem.choices)
    empty = tuple(
        Rest(sum(use.choice == first + at for use in mine), wish.start, wish.end)
        for at, wish in enumerate(problem.empty)
    )
    return replace(problem, beds=tuple(problem.beds[bed] for bed in group.beds), stocks=tuple(brought), empty=empty)


def _near(problem: Problem, numbers: Sequence[int], beds: int) -> frozenset[int]:
    """All choices where there are few; else those of the same crops within some days, and the empty ones."""
    every = range(len(problem.all_choices))
    if beds * len(every) <= MOST_COLUMNS:
        return frozenset(every)
    choices = problem.all_choices
    days = {(choices[number].crop, choices[number].sow) for number in numbers}
    near = {
        number
        for number, choice in enumerate(choices)
        if any(choice.crop == crop and abs(choice.sow - day) <= NEAR_DAYS for crop, day in days)
    }
    exact = set(numbers) | set(range(len(problem.choices), len(choices)))
    return frozenset(near | exact if beds * len(near | exact) <= 2 * MOST_COLUMNS else exact)
