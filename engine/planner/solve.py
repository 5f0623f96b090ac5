"""From a problem to a plan: growers' rules first, then the programme, for as long as there is time.

Small programmes go to HiGHS whole. For large ones its relaxation gives the bound, and a plan is found by diving (the
largest fractions are rounded up and the rest is solved again), then by planning parts anew while all else stays: some
crops over the whole season, or a few weeks over all crops. Each part is begun from the plan that stands, so the plan
never gets worse. The same problem and seed give the same plan unless the time runs out.
"""

from __future__ import annotations

import math
import random
import time
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from engine.planner.deliver import deliveries, money
from engine.planner.greedy import MONEY, SHORTFALL, by_rule
from engine.planner.highs import Highs, NoSolver
from engine.planner.mend import mended
from engine.planner.model import EMPTY, Problem, Solution, Use
from engine.planner.program import Group, Part, Program, groups_of, program
from engine.planner.program import Use as Counted
from engine.planner.spread import spread

WHOLE_AT_ONCE = 700  # whole-number columns up to which the programme is solved in one go
NODES = 60  # search nodes spent on one part
PATIENCE = 24  # parts in a row without gain after which the plan is taken as it is
DIVE_SHARE, DIVE_LOSS = 0.15, 0.012  # fractions rounded at a time; share of the bound at which diving stops
CLOSE = 2e-4  # share of the bound that a part may leave undone

SEARCH_SHARE = 0.8  # of the time, the rest being for dealing out to single beds
MENDS, MEND_BEDS = 20, 5  # how often a use that found no bed is tried again, and over how many beds

Counts = dict[Counted, int]


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the planning is; shown to the grower, who may stop it."""

    seconds: float
    worth: float
    bound: float


Heed = Callable[[Progress], bool]


@dataclass(slots=True)
class Search:
    """The state of one search: the clock, the bound, and the best counts with their worth."""

    problem: Problem
    groups: tuple[Group, ...]
    until: float
    begun: float
    heed: Heed | None
    random: random.Random
    counts: Counts = field(default_factory=dict)
    worth: float = -math.inf
    bound: float = math.inf
    a_part: float = 1.0  # seconds that planning one part may take
    stopped: bool = False
    dealt_by: float = 0.0

    def left(self) -> float:
        return self.until - time.monotonic()

    def go_on(self) -> bool:
        """Tells how far it is; False when the time is up or the grower has had enough."""
        if self.heed is not None and not self.stopped:
            self.stopped = not self.heed(Progress(time.monotonic() - self.begun, self.worth, self.bound))
        return not self.stopped and self.left() > 0


def solve(problem: Problem, seconds: float = 20.0, seed: int = 0, heed: Heed | None = None) -> Solution:
    """The best plan found in the time, never below the growers' rules, with a bound that no plan can pass.

    `heed` is told of the progress now and then and may return False to stop. Without the solver the better rule's plan
    is given, with an infinite bound.
    """
    begun = time.monotonic()
    rules = {rule: by_rule(problem, rule) for rule in (MONEY, SHORTFALL)}
    solutions = [_solution(problem, uses, rule) for rule, uses in rules.items()]
    best = max(solutions, key=lambda solution: solution.money.total)
    search = Search(
        problem, groups_of(problem, finely=False), begun + SEARCH_SHARE * seconds, begun, heed, random.Random(seed),
        _counted(problem, best.uses), best.money.total, a_part=max(0.5, seconds / 30),
        dealt_by=begun + seconds,
    )  # fmt: skip
    finished = False
    try:
        finished = _search(search)
    except (NoSolver, KeyboardInterrupt) as stop:
        search.stopped = isinstance(stop, KeyboardInterrupt)
    dealt = _dealt(search)
    solutions += [dealt, *_bed_by_bed(search, dealt)]
    best = max(solutions, key=lambda solution: solution.money.total)
    return Solution(
        best.uses, best.handed, best.money, max(search.bound, best.money.total), time.monotonic() - begun, best.rule,
        finished,
    )  # fmt: skip


def _solution(problem: Problem, uses: Sequence[Use], rule: str) -> Solution:
    handed = deliveries(problem, uses)
    return Solution(tuple(sorted(uses)), handed, money(problem, uses, handed), math.inf, 0.0, rule)


def _dealt(search: Search) -> Solution:
    """The counts as a plan of single beds; what found no bed is planned anew there, by the money rule."""
    problem = search.problem
    uses, left = spread(problem, search.groups, search.counts)
    if left:
        uses = by_rule(problem, MONEY, uses)
    best = _solution(problem, uses, "programme")
    if problem.hours_a_week is None and search.bound < math.inf:
        best = _mended(search, best, left)
    return best


def _mended(search: Search, best: Solution, left: Sequence[Counted]) -> Solution:
    """The plan with a few beds at a time planned anew, as long as uses that found no bed cost more than a trifle."""
    problem, rounds = search.problem, 0
    while left and rounds < MENDS * len(left) and time.monotonic() < search.dealt_by:
        if best.money.total >= search.worth - CLOSE * abs(search.bound):
            break
        number, choice = left[rounds % len(left)]
        group = search.groups[number]
        few = search.random.sample(group.beds, min(MEND_BEDS, len(group.beds)))
        part = Group(group.plot, group.length_ft, tuple(sorted(few)))
        seconds = min(search.a_part, search.dealt_by - time.monotonic())
        again = _solution(problem, mended(problem, part, best.uses, [choice], seconds), "programme")
        best = max(best, again, key=lambda solution: solution.money.total)
        rounds += 1
    return best


def _bed_by_bed(search: Search, dealt: Solution) -> list[Solution]:
    """Where dealing out lost money and the farm is small: the programme over single beds, which loses nothing."""
    problem = search.problem
    lost = search.worth - dealt.money.total
    if search.bound == math.inf or search.stopped or lost <= 10 * CLOSE * abs(search.bound) or search.dealt_by - time.monotonic() < 0.1:
        return []
    groups = [Group(bed.plot, bed.length_ft, (number,)) for number, bed in enumerate(problem.beds)]
    if len(groups) * len(problem.choices) > 8 * WHOLE_AT_ONCE:
        return []
    made = program(problem, groups)
    solver = Highs(made)
    solver.start_from(_columns(made, {(use.bed, use.choice): 1 for use in dealt.uses}))
    answer = solver.run(search.dealt_by - time.monotonic(), 10 * CLOSE * abs(search.bound))
    search.bound = min(search.bound, answer.bound)
    if answer.values is None:
        return []
    return [_solution(problem, [Use(bed, choice) for bed, choice in _read(made, answer.values)], "programme")]


def _counted(problem: Problem, uses: Sequence[Use]) -> Counts:
    of = {bed: number for number, group in enumerate(groups_of(problem, finely=False)) for bed in group.beds}
    counts: Counts = defaultdict(int)
    for use in uses:
        counts[of[use.bed], use.choice] += 1
    return dict(counts)


def _search(search: Search) -> bool:
    """Improves the search's counts; True if it ended by itself."""
    made = program(search.problem, search.groups)
    solver = Highs(made, search.random.randrange(2**30))
    if len(made.uses) <= WHOLE_AT_ONCE:
        return _whole(search, made, solver)
    start = _dive(search, made, solver)
    if start is not None:
        _take_if_better(search, start)
    return _parts(search)


def _whole(search: Search, made: Program, solver: Highs) -> bool:
    solver.start_from(_columns(made, search.counts))
    slack = max(CLOSE * 10 * abs(search.worth), 1e-6)
    answer = solver.run(search.left(), slack)
    search.bound = answer.bound
    if answer.values is not None and answer.worth > search.worth:
        search.counts, search.worth = _read(made, answer.values), answer.worth
    search.go_on()
    return answer.finished


def _columns(made: Program, counts: Mapping[Counted, int]) -> dict[int, float]:
    """The whole-number columns of a programme for these counts."""
    values = {column: float(counts.get(use, 0)) for column, use in made.uses.items()}
    sown = {
        (made.groups[group].plot, made.choices[choice].sow)
        for (group, choice), count in counts.items()
        if count and made.choices[choice].crop != EMPTY
    }
    return values | {column: float(trip in sown) for column, trip in made.trips.items()}


def _read(made: Program, values: Sequence[float]) -> Counts:
    return {use: round(values[column]) for column, use in made.uses.items() if round(values[column])}


def _dive(search: Search, made: Program, solver: Highs) -> Counts | None:
    """The bound, and counts found by rounding up ever more of the relaxation; None if there was no time for it."""
    solver.wholly([*made.uses, *made.trips], whole=False)
    answer = solver.run(search.left(), interior=True)
    if answer.values is None or not answer.finished:
        return None
    search.bound, values = answer.bound, answer.values
    least = search.bound - DIVE_LOSS * abs(search.bound)
    while search.go_on() and (chosen := _largest_fractions(made, values)):
        solver.narrow(list(chosen), list(chosen.values()), [made.columns.upper[column] for column in chosen])
        answer = solver.run(search.left())
        if answer.values is None or answer.worth < least:
            break
        values = answer.values
    return {use: count for column, use in made.uses.items() if (count := math.floor(values[column] + 1e-6))}


def _largest_fractions(made: Program, values: Sequence[float]) -> dict[int, float]:
    """The columns to round up next, with what they are rounded up to."""
    fractions = [(values[column] - math.floor(values[column] + 1e-6), column) for column in made.uses]
    fractions = sorted(((part, column) for part, column in fractions if part > 1e-5), reverse=True)
    many = fractions[: max(1, int(DIVE_SHARE * len(fractions)))]
    chosen = [column for part, column in many if part >= 0.6] or [column for _, column in fractions[:1]]
    return {column: math.floor(values[column] + 1e-6) + 1.0 for column in chosen}


def _take_if_better(search: Search, counts: Counts) -> None:
    """Fills up what the dive left open by the money rule and keeps it if that is better than the rules alone."""
    uses, _ = spread(search.problem, search.groups, counts)
    solution = _solution(search.problem, by_rule(search.problem, MONEY, uses), "programme")
    if solution.money.total > search.worth:
        search.counts, search.worth = _counted(search.problem, solution.uses), solution.money.total


def _parts(search: Search) -> bool:
    """Plans parts anew until nothing more is gained; False if the time ran out first."""
    idle, sizes = 0, {True: 2, False: 2}
    crops = sorted({choice.crop for choice in search.problem.choices})
    days = sorted({choice.sow for choice in search.problem.choices})
    by_crops = True
    while idle < PATIENCE and search.worth < search.bound - CLOSE * abs(search.bound):
        if not search.go_on():
            return False
        by_crops = not by_crops
        free = _part(search, crops, days, sizes[by_crops], by_crops=by_crops)
        gained, finished = _improve(search, free)
        idle = 0 if gained > CLOSE / 10 * abs(search.bound) else idle + 1
        sizes[by_crops] = sizes[by_crops] + 1 if finished else max(1, sizes[by_crops] - 1)
    return True


def _part(search: Search, crops: list[str], days: list[int], size: int, *, by_crops: bool) -> frozenset[int]:
    """The choices of some crops, or of some weeks that follow each other."""
    choices = search.problem.choices
    if by_crops:
        picked = set(search.random.sample(crops, min(size, len(crops))))
        return frozenset(n for n, choice in enumerate(choices) if choice.crop in picked)
    first = search.random.randrange(1 - size, len(days))
    span = set(days[max(0, first) : max(1, first + size)])
    return frozenset(n for n, choice in enumerate(choices) if choice.sow in span)


def _improve(search: Search, free: frozenset[int]) -> tuple[float, bool]:
    """Plans the free choices anew while all others stay; what was gained, and whether it was solved to the end."""
    kept = {use: count for use, count in search.counts.items() if use[1] not in free}
    made = program(search.problem, search.groups, Part(free, kept))
    if not made.uses:
        return 0.0, True
    solver = Highs(made, 0)
    start = _columns(made, search.counts)
    before = _worth_of(solver, start)
    solver.start_from(start)
    answer = solver.run(min(search.left(), search.a_part), CLOSE / 2 * abs(search.bound), NODES)
    if answer.values is None or before is None or answer.worth <= before + 1e-6:
        return 0.0, answer.finished
    search.counts = kept | _read(made, answer.values)
    search.worth += answer.worth - before
    return answer.worth - before, answer.finished


def _worth_of(solver: Highs, start: Mapping[int, float]) -> float | None:
    """What the programme is worth with these columns fixed."""
    columns, values = list(start), list(start.values())
    solver.narrow(columns, values, values)
    answer = solver.run(10.0)
    upper = solver.made.columns.upper
    solver.narrow(columns, [0.0] * len(columns), [upper[column] for column in columns])
    return answer.worth if answer.values is not None else None


