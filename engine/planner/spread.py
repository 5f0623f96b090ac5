"""From counts of alike beds to single beds, keeping rotation: day by day, each sowing to a bed that may take it.

On each day the sowings are matched to the open beds (augmenting paths, so as many as can be find one). One that finds
none is tried again by exchanging what stood in two beds before. Where some find none all the same, the whole is dealt
again with the beds preferred in another order, and the deal that leaves fewest over is kept; these are handed back.
"""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from engine.planner.check import fits
from engine.planner.model import Choice, Problem, Use
from engine.planner.program import Group
from engine.planner.program import Use as Counted

TRIES = 40


def spread(problem: Problem, groups: Sequence[Group], counts: Mapping[Counted, int]) -> tuple[list[Use], list[Counted]]:
    """A bed for each counted use, and the uses that found none."""
    by_group: dict[int, list[int]] = defaultdict(list)
    for (group, choice), count in sorted(counts.items()):
        by_group[group] += [choice] * count
    dealt, left = [], []
    for number, choices in by_group.items():
        found, missed = min(_tries(problem, groups[number], choices), key=lambda deal: len(deal[1]))
        dealt += found
        left += [(number, choice) for choice in missed]
    return dealt, left


def _tries(problem: Problem, group: Group, numbers: list[int]) -> Iterator[tuple[list[Use], list[int]]]:
    """Deals with the beds preferred in one order after another, until one leaves nothing over."""
    for attempt in range(TRIES):
        dealt, missed = _deal(problem, group, numbers, random.Random(attempt) if attempt else None)
        yield dealt, missed
        if not missed:
            return


def _deal(
    problem: Problem, group: Group, numbers: list[int], chance: random.Random | None
) -> tuple[list[Use], list[int]]:
    choices = problem.all_choices
    held: dict[int, list[int]] = {bed: [] for bed in group.beds}
    missed = []
    by_day: dict[int, list[int]] = defaultdict(list)
    for number in numbers:
        by_day[choices[number].sow].append(number)
    for day in sorted(by_day):
        missed += _one_day(problem, held, by_day[day], chance)
    return [Use(bed, number) for bed, mine in held.items() for number in mine], missed


def _one_day(problem: Problem, held: dict[int, list[int]], today: list[int], chance: random.Random | None) -> list[int]:
    can = {at: [bed for bed in held if _takes(problem, bed, held[bed], number)] for at, number in enumerate(today)}
    for beds in can.values():
        favour = {bed: chance.random() * 3 if chance else 0.0 for bed in beds}
        beds.sort(key=lambda bed: (favour[bed] - len(held[bed]) - len(problem.beds[bed].rested), bed))
    given: dict[int, int] = {}
    for at in sorted(can, key=lambda at: (len(can[at]), at)):
        _match(at, can, given, set())
    for bed, at in given.items():
        held[bed].append(today[at])
    missed = [number for at, number in enumerate(today) if at not in given.values()]
    return [number for number in missed if not _by_exchange(problem, held, number)]


def _match(at: int, can: dict[int, list[int]], given: dict[int, int], seen: set[int]) -> bool:
    for bed in can[at]:
        if bed not in seen:
            seen.add(bed)
            if bed not in given or _match(given[bed], can, given, seen):
                given[bed] = at
                return True
    return False


def _takes(problem: Problem, bed: int, held: list[int], number: int) -> bool:
    return fits(problem, problem.beds[bed], [problem.all_choices[one] for one in (*held, number)])


def _by_exchange(problem: Problem, held: dict[int, list[int]], number: int) -> bool:
    """Puts the use into a bed that is open for it, after an earlier one has changed places with those of another."""
    wanted = problem.all_choices[number]
    for bed, mine in held.items():
        if any(_overlap(problem.all_choices[one], wanted) for one in mine) or wanted.sow < problem.beds[bed].opens:
            continue
        for blocker in mine:
            for other, theirs in held.items():
                if other != bed and _exchanged(problem, held, bed, other, blocker, number, theirs):
                    return True
    return False


def _exchanged(
    problem: Problem, held: dict[int, list[int]], bed: int, other: int, blocker: int, number: int, theirs: list[int]
) -> bool:
    there = [one for one in theirs if _overlap(problem.all_choices[one], problem.all_choices[blocker])]
    mine = [one for one in held[bed] if one != blocker] + there
    yours = [one for one in theirs if one not in there] + [blocker]
    if not _takes(problem, bed, mine, number):
        return False
    if not fits(problem, problem.beds[other], [problem.all_choices[one] for one in yours]):
        return False
    held[bed], held[other] = [*mine, number], yours
    return True


def _overlap(one: Choice, other: Choice) -> bool:
    return one.sow < other.out and other.sow < one.out
