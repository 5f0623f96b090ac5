"""Whether a plan can be carried out, looked at bed by bed and lot by lot, with nothing of how it was made."""

from __future__ import annotations

from collections import defaultdict

from engine.planner.model import EMPTY, Choice, Handed, Problem, Site, Solution, Use

SLACK = 1e-6


def faults(problem: Problem, solution: Solution) -> list[str]:
    """Everything that is wrong with the plan, in plain words; an empty list for a plan that can be carried out."""
    return [
        *_bed_faults(problem, solution.uses),
        *_visit_faults(problem, solution),
        *_lot_faults(problem, solution),
        *_hour_faults(problem, solution.uses),
        *_empty_faults(problem, solution.uses),
    ]


def fits(problem: Problem, bed: Site, choices: list[Choice]) -> bool:
    """Whether one bed can be used in all these ways."""
    return not _one_bed(problem, bed, choices)


def _bed_faults(problem: Problem, uses: tuple[Use, ...]) -> list[str]:
    on_bed: dict[int, list[Choice]] = defaultdict(list)
    for use in uses:
        on_bed[use.bed].append(problem.all_choices[use.choice])
    return [fault for bed, choices in on_bed.items() for fault in _one_bed(problem, problem.beds[bed], choices)]


def _one_bed(problem: Problem, bed: Site, choices: list[Choice]) -> list[str]:
    found = []
    last_of: dict[str, int] = dict(bed.rested)
    out = bed.opens
    for choice in sorted(choices, key=lambda choice: (choice.sow, choice.out)):
        if choice.sow < out:
            found.append(f"{bed.name} is taken twice on day {choice.sow}")
        out = max(out, choice.out)
        if choice.crop == EMPTY:
            continue
        if bed.only is not None and choice.crop not in bed.only:
            found.append(f"{bed.name} is not for {choice.crop}")
        if any(cut.ready < bed.clear for cut in choice.cuts):
            found.append(f"{choice.crop} would be picked in {bed.name} within a waiting time")
        for bar in bed.barred:
            until = choice.out - 1 if bar.standing else choice.sow
            if bar.crop == choice.crop and choice.sow <= bar.last and bar.first <= until:
                found.append(f"{bed.name} is not for {choice.crop} on days {bar.first} to {bar.last}")
        family = problem.families.get(choice.crop)
        if family is not None:
            if choice.sow < last_of.get(family, choice.sow):
                found.append(f"{bed.name} still rests from {family} on day {choice.sow}")
            last_of[family] = max(last_of.get(family, 0), choice.out + problem.rests.get(family, 0))
    return found


def _lot_faults(problem: Problem, solution: Solution) -> list[str]:
    found = []
    taken: dict[tuple[Use | None, int, int | None], float] = defaultdict(float)
    met: dict[int, float] = defaultdict(float)
    for handed in solution.handed:
        demand, lot = problem.demands[handed.demand], _lot(problem, handed, solution)
        if lot is None:
            found.append(f"{demand.crop} on day {demand.day} comes from nowhere")
            continue
        crop, ready, last, _ = lot
        if crop != demand.crop or not ready <= demand.day <= last:
            found.append(f"{demand.crop} on day {demand.day} from a lot of {crop} good on days {ready} to {last}")
        taken[handed.use, handed.cut, handed.stock] += handed.amount
        met[handed.demand] += handed.amount
    for (use, cut, stock), amount in taken.items():
        one = _lot(problem, Handed(0, amount, use, cut, stock), solution)
        if one is not None and amount > one[3] + SLACK:
            found.append(f"{amount:.3f} taken from a lot of {one[3]:.3f} {one[0]}")
    found += [f"demand {n} is met twice" for n, amount in met.items() if amount > problem.demands[n].amount + SLACK]
    return found


def _lot(problem: Problem, handed: Handed, solution: Solution) -> tuple[str, int, int, float] | None:
    """Crop, first day, last day and amount of the lot that something was handed from."""
    if handed.stock is not None:
        stock = problem.stocks[handed.stock]
        return stock.crop, stock.ready, stock.last, stock.amount
    if handed.use is None or handed.use not in solution.uses:
        return None
    choice = problem.all_choices[handed.use.choice]
    cut = choice.cuts[handed.cut]
    return choice.crop, cut.ready, cut.last, cut.per_ft * problem.beds[handed.use.bed].length_ft


def _visit_faults(problem: Problem, solution: Solution) -> list[str]:
    sown = [(problem.beds[use.bed].plot, problem.all_choices[use.choice]) for use in solution.uses]
    trips = {(plot, choice.sow) for plot, choice in sown if choice.crop != EMPTY}
    cost = problem.visit_cost * len(trips)
    return (
        [] if abs(cost - solution.money.visits) < 1e-3 else [f"{len(trips)} visits do not cost {solution.money.visits}"]
    )


def _hour_faults(problem: Problem, uses: tuple[Use, ...]) -> list[str]:
    if problem.hours_a_week is None:
        return []
    weeks: dict[int, float] = defaultdict(float)
    for use in uses:
        for week, hours in problem.all_choices[use.choice].hours_per_ft:
            weeks[week] += hours * problem.beds[use.bed].length_ft
    return [
        f"week {week} takes {hours:.1f} hours" for week, hours in weeks.items() if hours > problem.hours_a_week + SLACK
    ]


def _empty_faults(problem: Problem, uses: tuple[Use, ...]) -> list[str]:
    found = []
    for wish in problem.empty:
        mine = {n for n, bed in enumerate(problem.beds) if wish.takes(bed) and bed.opens <= wish.start}
        held = {
            use.bed
            for use in uses
            for choice in (problem.all_choices[use.choice],)
            if choice.crop != EMPTY and choice.sow <= wish.end and choice.out > wish.start
        }
        if len(mine - held) < min(wish.count, len(mine)):
            found.append(f"{wish.count} beds were to be empty on days {wish.start} to {wish.end}")
    return found
