"""A plan made better part by part: some crops over the season, some weeks over all crops, or some of both.

All else stays as it is meanwhile, and each part is begun from the plan that stands, so the plan never gets worse.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from engine.planner.deliver import deliveries, money
from engine.planner.highs import Highs
from engine.planner.model import EMPTY, Problem, Solution, Use
from engine.planner.program import Group, Part, Program, program
from engine.planner.program import Use as Counted

NODES = 60  # search nodes spent on one part
A_PART_AT_LEAST = 0.1  # of the work that one may take: what stating it costs
PATIENCE = 24  # parts in a row without gain after which the plan is taken as it is
CLOSE = 2e-4  # share of the bound that a part may leave undone
CROPS, WEEKS, BOTH = KINDS = ("crops", "weeks", "both")  # what is planned anew together
TURNS = (CROPS, CROPS, WEEKS, CROPS, BOTH)  # crops gain most for their time, as measured on the benchmark's farms

SEARCH_SHARE = 0.93  # of the work and the time; the rest is for dealing out to single beds

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
    """The state of one search: the clock, the bound, and the best counts with their worth; `plan` is the best of single
    beds so far, which may be worth less. `work` is how much is to be done, in seconds of a machine that is not in a
    hurry; it is counted in tries and looks, and the clock only ends what takes longer."""

    problem: Problem
    groups: tuple[Group, ...]
    plan: Solution
    until: float
    begun: float
    heed: Heed | None
    random: random.Random
    counts: Counts = field(default_factory=dict)
    worth: float = -math.inf
    bound: float = math.inf
    work: float = math.inf
    stopped: bool = False
    queue: list[str] = field(default_factory=list)
    dealt_by: float = 0.0

    @property
    def allowed(self) -> float:
        return self.dealt_by - self.begun

    @property
    def a_part(self) -> float:
        """The work that planning one part may take."""
        return max(0.5, self.work / 30)

    @property
    def work_left(self) -> float:
        """The work that is kept for dealing the counts out."""
        return 0.0 if self.stopped else (1 - SEARCH_SHARE) * self.work

    def left(self) -> float:
        return self.until - time.monotonic()

    def time_left(self) -> float:
        """Seconds until the plan has to be dealt out; none are left once the grower has had enough."""
        return 0.0 if self.stopped else self.dealt_by - time.monotonic()

    @property
    def stop_sign(self) -> Callable[[], bool] | None:
        """What a run of the solver asks whether to go on, where anybody is to be heeded."""
        return self.wanted if self.heed is not None else None

    def wanted(self) -> bool:
        """Tells how far it is; False when the grower has had enough."""
        if self.heed is not None and not self.stopped:
            self.stopped = not self.heed(Progress(time.monotonic() - self.begun, self.worth, self.bound))
        return not self.stopped

    def go_on(self) -> bool:
        """Tells how far it is; False when the time is up or the grower has had enough."""
        return self.wanted() and self.left() > 0


def whole_columns(made: Program, counts: Mapping[Counted, int]) -> dict[int, float]:
    """The whole-number columns of a programme for these counts."""
    values = {column: float(counts.get(use, 0)) for column, use in made.uses.items()}
    sown = {
        (made.groups[group].plot, made.choices[choice].sow)
        for (group, choice), count in counts.items()
        if count and made.choices[choice].crop != EMPTY
    }
    return values | {column: float(trip in sown) for column, trip in made.trips.items()}


def counts_in(made: Program, values: Sequence[float]) -> Counts:
    return {use: round(values[column]) for column, use in made.uses.items() if round(values[column])}


def plan_parts(search: Search, work: float) -> bool:
    """Plans parts anew until nothing more is gained; False if the work or the time ran out first."""
    idle, sizes = 0, dict.fromkeys(KINDS, 2)
    crops = sorted({choice.crop for choice in search.problem.choices})
    days = sorted({choice.sow for choice in search.problem.choices})
    turn = 0
    while idle < PATIENCE and search.worth < search.bound - CLOSE * abs(search.bound):
        if work <= 0 or not search.go_on():
            return False
        kind = TURNS[turn % len(TURNS)]
        turn += 1
        free = _part(search, crops, days, sizes[kind], kind)
        gained, finished, worked = _improve(search, free)
        work -= max(worked, A_PART_AT_LEAST * search.a_part)
        idle = 0 if gained > CLOSE / 10 * abs(search.bound) else idle + 1
        sizes[kind] = sizes[kind] + 1 if finished else max(1, sizes[kind] - 1)
    return True


def _part(search: Search, crops: list[str], days: list[int], size: int, kind: str) -> frozenset[int]:
    """The choices of some crops, of some weeks that follow each other, or of twice as many crops in some more weeks.

    Crops come round in turn, in an order shuffled anew each time, so that none waits long.
    """
    many, weeks = {CROPS: (size, len(days)), WEEKS: (len(crops), size), BOTH: (2 * size, size + 3)}[kind]
    picked = set(crops) if many >= len(crops) else _next_crops(search, crops, many)
    first = search.random.randrange(1 - weeks, len(days)) if weeks < len(days) else 0
    span = set(days[max(0, first) : max(1, first + weeks)])
    choices = enumerate(search.problem.choices)
    return frozenset(number for number, choice in choices if choice.crop in picked and choice.sow in span)


def _next_crops(search: Search, crops: list[str], many: int) -> set[str]:
    picked: set[str] = set()
    while len(picked) < many:
        if not search.queue:
            search.queue = search.random.sample(crops, len(crops))
        picked.add(search.queue.pop())
    return picked


def _improve(search: Search, free: frozenset[int]) -> tuple[float, bool, float]:
    """Plans the free choices anew while all others stay; what was gained, whether it was solved to the end, and the
    work of it."""
    kept = {use: count for use, count in search.counts.items() if use[1] not in free}
    made = program(search.problem, search.groups, Part(free, kept))
    if not made.uses:
        return 0.0, True, 0.0
    solver = Highs(made, go_on=search.stop_sign)
    solver.start_from(whole_columns(made, search.counts))
    answer = solver.run(search.left(), CLOSE / 2 * abs(search.bound), NODES, work=search.a_part)
    if answer.values is None:
        return 0.0, answer.finished, solver.worked
    counts = kept | counts_in(made, answer.values)
    worth = worth_of(search, counts)
    gained = worth - search.worth
    if gained > 1e-6:
        search.counts, search.worth = counts, worth
    return max(0.0, gained), answer.finished, solver.worked


def worth_of(search: Search, counts: Counts) -> float:
    """What the counts are worth, exactly, in whichever beds of their groups."""
    uses = [
        Use(beds[at % len(beds)], choice)
        for (number, choice), count in counts.items()
        for beds in (search.groups[number].beds,)
        for at in range(count)
    ]
    return money(search.problem, uses, deliveries(search.problem, uses)).total
