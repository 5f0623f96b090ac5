"""The programme of `model.py` as HiGHS takes it: columns, rows and entries in flat arrays."""

from __future__ import annotations

import bisect
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from engine.planner.model import EMPTY, Barred, Choice, Problem, Site

INFINITY = float("inf")
Entry = tuple[int, float]
Use = tuple[int, int]  # (group, choice)


@dataclass(frozen=True, slots=True)
class Group:
    """Beds that the programme counts together: `beds` are numbers into the problem's list."""

    plot: str
    length_ft: float
    beds: tuple[int, ...]


@dataclass(slots=True)
class Columns:
    """Columns as parallel lists, filled one by one."""

    worth: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)

    def add(self, worth: float, upper: float, whole: bool) -> int:
        self.worth.append(worth)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.worth) - 1


@dataclass(slots=True)
class Rows:
    """Rows with their entries; each is lower <= sum of value * column <= upper."""

    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    entries: list[list[Entry]] = field(default_factory=list)

    def add(self, entries: list[Entry], upper: float, lower: float = -INFINITY) -> None:
        if entries:
            self.lower.append(lower)
            self.upper.append(upper)
            self.entries.append(entries)


@dataclass(frozen=True, slots=True)
class Part:
    """The part of a problem to plan anew: the choices that are `free`, while the uses of `kept` (a count for each group
    and choice) stay as they are."""

    free: frozenset[int] | None = None  # None: every choice
    kept: Mapping[Use, int] = field(default_factory=dict)


@dataclass(slots=True)
class Program:
    """The columns and rows of a problem or a part of it.

    `uses` maps each x column to its use, `trips` each v to (plot, day).
    """

    problem: Problem
    choices: tuple[Choice, ...]
    groups: tuple[Group, ...]
    part: Part
    columns: Columns = field(default_factory=Columns)
    rows: Rows = field(default_factory=Rows)
    uses: dict[int, Use] = field(default_factory=dict)
    trips: dict[int, tuple[str, int]] = field(default_factory=dict)
    constant: float = 0.0


def groups_of(problem: Problem, finely: bool) -> tuple[Group, ...]:
    """Beds that are alike in plot, length and what is wished of them; `finely`: in opening day and rest as well."""
    alike: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for number, bed in enumerate(problem.beds):
        named = tuple(wish.takes(bed) for wish in problem.empty if wish.beds)
        key: tuple[object, ...] = (bed.plot, bed.length_ft, bed.only, bed.barred, bed.clear, named)
        alike[key + ((bed.opens, bed.rested) if finely else ())].append(number)
    return tuple(Group(str(key[0]), problem.beds[beds[0]].length_ft, tuple(beds)) for key, beds in alike.items())


def allowed(bed: Site, choice: Choice, problem: Problem) -> bool:
    """Whether this bed may be used so, as far as its opening, its rest and the grower's wishes go."""
    if choice.sow < bed.opens:
        return False
    if choice.crop == EMPTY:
        return True
    if bed.only is not None and choice.crop not in bed.only:
        return False
    if any(cut.ready < bed.clear for cut in choice.cuts) or any(_keeps_out(bar, choice) for bar in bed.barred):
        return False
    family = problem.families.get(choice.crop)
    return all(choice.sow >= until for resting, until in bed.rested if resting == family)


def _keeps_out(bar: Barred, choice: Choice) -> bool:
    if bar.crop != choice.crop or choice.sow > bar.last:
        return False
    return (choice.out if bar.standing else choice.sow + 1) > bar.first


def program(problem: Problem, groups: Sequence[Group], part: Part | None = None) -> Program:
    """The programme over these groups, whole or in part."""
    made = Program(problem, problem.all_choices, tuple(groups), part or Part())
    _use_columns(made)
    for number, group in enumerate(made.groups):
        _bed_rows(made, number, group)
    _visit_rows(made)
    _hour_rows(made)
    _empty_rows(made)
    _trade(made)
    return made


def _use_columns(made: Program) -> None:
    for number, group in enumerate(made.groups):
        for at, choice in enumerate(made.choices):
            if made.part.free is not None and at not in made.part.free:
                continue
            most = sum(allowed(made.problem.beds[bed], choice, made.problem) for bed in group.beds)
            if most:
                use = (number, at)
                made.uses[made.columns.add(-group.length_ft * choice.cost_per_ft, most, True)] = use


def _bed_rows(made: Program, number: int, group: Group) -> None:
    """The rows of beds and of rotation for one group."""
    problem, choices = made.problem, made.choices
    mine = [(column, choices[at]) for column, (of, at) in made.uses.items() if of == number]
    kept = [(count, choices[at]) for (of, at), count in made.part.kept.items() if of == number and count]
    days = sorted({choice.sow for _, choice in (*mine, *kept)})
    opens = sorted(problem.beds[bed].opens for bed in group.beds)
    _window_rows(
        made, [(c, j.sow, j.out) for c, j in mine], days,
        [bisect.bisect_right(opens, t) - sum(n for n, j in kept if j.sow <= t < j.out) for t in days],
    )  # fmt: skip
    for family in sorted({problem.families[j.crop] for _, j in mine if j.crop in problem.families}):
        rest = problem.rests.get(family, 0)
        if rest <= 0:
            continue
        until = sorted(_open_to(problem.beds[bed], family) for bed in group.beds)
        kin = [(c, j.sow, j.out + rest) for c, j in mine if problem.families.get(j.crop) == family]
        there = [(n, j) for n, j in kept if problem.families.get(j.crop) == family]
        room = [bisect.bisect_right(until, t) - sum(n for n, j in there if j.sow <= t < j.out + rest) for t in days]
        _window_rows(made, kin, days, room)


def _open_to(bed: Site, family: str) -> int:
    return max([bed.opens, *(until for resting, until in bed.rested if resting == family)])


def _window_rows(made: Program, held: list[tuple[int, int, int]], days: list[int], room: list[int]) -> None:
    """For each day: no more stretches than there is room. Days that the next one's row covers are left out."""
    for at, day in enumerate(days):
        standing = [(column, until) for column, start, until in held if start <= day < until]
        if at + 1 < len(days) and room[at] >= room[at + 1] and all(until > days[at + 1] for _, until in standing):
            continue
        made.rows.add([(column, 1.0) for column, _ in standing], float(room[at]))


def _visit_rows(made: Program) -> None:
    if made.problem.visit_cost <= 0:
        return
    sown: dict[tuple[str, int], list[int]] = defaultdict(list)
    for column, (number, at) in made.uses.items():
        if made.choices[at].crop != EMPTY:
            sown[made.groups[number].plot, made.choices[at].sow].append(column)
    paid = {
        (made.groups[number].plot, made.choices[at].sow)
        for (number, at), count in made.part.kept.items()
        if count and made.choices[at].crop != EMPTY
    }
    beds: dict[str, int] = defaultdict(int)
    for group in made.groups:
        beds[group.plot] += len(group.beds)
    for (plot, day), columns in sown.items():
        if (plot, day) not in paid:
            trip = made.columns.add(-made.problem.visit_cost, 1.0, True)
            made.trips[trip] = (plot, day)
            made.rows.add([*((column, 1.0) for column in columns), (trip, -float(beds[plot]))], 0.0)


def _hour_rows(made: Program) -> None:
    if made.problem.hours_a_week is None:
        return
    weeks: dict[int, list[Entry]] = defaultdict(list)
    for column, (number, at) in made.uses.items():
        for week, hours in made.choices[at].hours_per_ft:
            weeks[week].append((column, hours * made.groups[number].length_ft))
    taken: dict[int, float] = defaultdict(float)
    for (number, at), count in made.part.kept.items():
        for week, hours in made.choices[at].hours_per_ft:
            taken[week] += count * hours * made.groups[number].length_ft
    for week, entries in weeks.items():
        made.rows.add(entries, made.problem.hours_a_week - taken[week])


def _empty_rows(made: Program) -> None:
    first = len(made.problem.choices)
    for at, wish in enumerate(made.problem.empty):
        entries = [
            (column, 1.0)
            for column, (number, choice) in made.uses.items()
            if choice == first + at and wish.takes(made.problem.beds[made.groups[number].beds[0]])
        ]
        made.rows.add(entries, float(wish.count), float(wish.count))


def _trade(made: Program) -> None:
    """The columns and rows of supply and demand, for the crops that have a free choice.

    Besides the rows of `model.py` each flow has one that says the same of whole sowings, and that cuts off halves of
    them: f(w,d) <= sum over the uses in w of the lesser of what one brings and what is wanted on d.
    """
    crops = {made.choices[at].crop for _, at in made.uses.values()} if made.part.free is not None else None
    wanted: dict[str, dict[int, list[int]]] = defaultdict(lambda: defaultdict(list))
    for demand in made.problem.demands:
        if crops is None or demand.crop in crops:
            column = made.columns.add(demand.price + demand.penalty, demand.amount, False)
            made.constant -= demand.penalty * demand.amount
            wanted[demand.crop][demand.day].append(column)
    arriving: dict[tuple[str, int], list[Entry]] = defaultdict(list)
    for (crop, first, end), (stock, grown) in _windows(
        made, {crop: sorted(days) for crop, days in wanted.items()}
    ).items():
        days = sorted(wanted[crop])[first:end]
        flows = [made.columns.add(0.0, INFINITY, False) for _ in days]
        made.rows.add([*((flow, 1.0) for flow in flows), *((column, -amount) for column, amount in grown)], stock)
        for day, flow in zip(days, flows, strict=True):
            arriving[crop, day].append((flow, -1.0))
            most = sum(made.columns.upper[column] for column in wanted[crop][day])
            whole = [(column, -min(amount, most)) for column, amount in grown]
            made.rows.add([(flow, 1.0), *whole], min(stock, most))
    for crop, by_day in wanted.items():
        for day, met in by_day.items():
            made.rows.add([*((column, 1.0) for column in met), *arriving[crop, day]], 0.0)


def _windows(made: Program, days: dict[str, list[int]]) -> dict[tuple[str, int, int], tuple[float, list[Entry]]]:
    """Supply that serves the same delivery days, put together: (crop, first, end) -> (stock, what each use adds)."""
    stock: dict[tuple[str, int, int], float] = defaultdict(float)
    grown: dict[tuple[str, int, int], dict[int, float]] = defaultdict(lambda: defaultdict(float))
    for lot in made.problem.stocks:
        if served := _served(days.get(lot.crop, []), lot.ready, lot.last):
            stock[lot.crop, *served] += lot.amount
    for (number, at), count in made.part.kept.items():
        for cut in made.choices[at].cuts:
            if served := _served(days.get(made.choices[at].crop, []), cut.ready, cut.last):
                stock[made.choices[at].crop, *served] += count * made.groups[number].length_ft * cut.per_ft
    for column, (number, at) in made.uses.items():
        choice = made.choices[at]
        for cut in choice.cuts:
            if served := _served(days.get(choice.crop, []), cut.ready, cut.last):
                grown[choice.crop, *served][column] += made.groups[number].length_ft * cut.per_ft
    return {
        key: (stock[key], list(grown[key].items())) for key in [*stock, *(key for key in grown if key not in stock)]
    }


def _served(days: list[int], ready: int, last: int) -> tuple[int, int] | None:
    first, end = bisect.bisect_left(days, ready), bisect.bisect_right(days, last)
    return (first, end) if first < end else None
