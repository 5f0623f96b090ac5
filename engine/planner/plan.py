"""A plan of the farm: `plan` makes it, `asked_for` answers a question with it. It is never taken for something done."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from engine.asks import Ask
from engine.crops import facts
from engine.meant import Meant
from engine.planner.build import Built, build
from engine.planner.check import fits
from engine.planner.deliver import deliveries, money
from engine.planner.early import sown_early
from engine.planner.greedy import MONEY, Rule
from engine.planner.limits import Limit, contradictions
from engine.planner.model import Money, Solution, Use
from engine.planner.rules import limits_of
from engine.planner.solve import Heed, solve
from engine.quantities import CENT
from engine.seeds import Seed, seed_for
from engine.sow_days import tray_days
from engine.view import View
from engine.visits import LIES_OPEN_DAYS

EARLY_SHARE = 0.2  # of the planning's time, at most, for bringing sowings forward
TOLD_AHEAD = dt.timedelta(days=84)  # orders so long after the last sowing day are for the next plan to meet
INNER = {"inner": True}  # for `why`, no part of the answer


@dataclass(frozen=True, slots=True)
class Instead:
    """The next best crop for the same place and time, and how much less the plan would be worth with it."""

    crop: str
    less: Decimal


@dataclass(frozen=True, slots=True)
class PlannedSowing:
    """One bed sown or planted on `day` (seed in tray or ground on `seed_day`, gone by where trays stand), ready
    and out on the given days. `begins` is the day of its first work.

    `worth` is what the plan would lose without it; `instead` is None where nothing else would earn anything there.
    """

    bed: str
    crop: str
    day: dt.date
    seed_day: dt.date
    begins: dt.date
    length_ft: Decimal
    seed: Seed
    ready: dt.date
    out: dt.date
    cuts: int
    quantity: Decimal
    unit: str
    worth: Decimal
    instead: Instead | None


@dataclass(frozen=True, slots=True)
class StillShort:
    """An order's delivery that the plan cannot meet in full, and by when a bed more would have to be sown to mend that
    (None: nothing sown now is ready by then)."""

    crop: str
    day: dt.date
    customer: str
    short: Decimal
    unit: str
    sow_by: dt.date | None


@dataclass(frozen=True, slots=True)
class Bare:
    """A bed with nothing in or on it from `start` to `end`, the day of its sowing: long enough to be worth covering."""

    bed: str
    start: dt.date
    end: dt.date


@dataclass(frozen=True, slots=True)
class Plan:
    """What to sow from start to end. `bound` is more than any plan can be worth (None if there was no time for one).

    `planned` are sowings that were planned before and are kept; `bare` are beds that wait a week or more for theirs.
    `clashes` are limits that contradict each other; the plan keeps to what it can. `built` and `solution` are what
    `why` looks at.
    """

    start: dt.date
    end: dt.date
    sowings: tuple[PlannedSowing, ...]
    short: tuple[StillShort, ...]
    terms: dict[str, Decimal]
    worth: Decimal
    bound: Decimal | None
    finished: bool
    rule: str
    limits: tuple[str, ...]
    clashes: tuple[str, ...]
    planned: tuple[Meant, ...]
    bare: tuple[Bare, ...]
    notes: tuple[str, ...]
    workings: tuple[str, ...]
    currency: str | None
    built: Built = field(metadata=INNER)
    solution: Solution = field(metadata=INNER)
    plan: bool = True  # beside the other answers to what to sow


def plan(
    view: View, start: dt.date, end: dt.date, constraints: Sequence[Limit] = (), seconds: float = 20.0,
    progress: Heed | None = None,
) -> Plan:  # fmt: skip
    """The best plan found in the time for sowing from start to end (not before today), keeping the constraints."""
    built = build(view, start, end, constraints)
    solution = sown_early(built.problem, solve(built.problem, seconds, heed=progress), EARLY_SHARE * seconds)
    terms = _terms(solution.money)
    bound = None if solution.bound == float("inf") else _cents(solution.bound)
    uses = sorted(use for use in solution.uses if use.choice < len(built.problem.choices))
    sowings = [sowing for use in uses if (sowing := _sowing(built, solution, use)).begins <= end]
    return Plan(
        start=built.problem.start,
        end=end,
        sowings=tuple(sorted(sowings, key=lambda sowing: (sowing.begins, sowing.crop, sowing.day))),
        short=tuple(short for short in _short(built, solution) if short.day <= end + TOLD_AHEAD),
        terms=terms,
        worth=_cents(solution.money.total),
        bound=bound,
        finished=solution.finished,
        rule=solution.rule,
        limits=tuple(str(limit) for limit in constraints),
        clashes=contradictions(built.season, constraints),
        planned=tuple(one for one in built.meant if one.day <= end),
        bare=tuple(sorted(_bare(built, solution, end), key=lambda one: (one.end, one.bed))),
        notes=built.notes if end >= built.problem.start else ("those days are past", *built.notes),
        workings=_workings(solution, terms, bound),
        currency=str(built.season.settings["currency"]) if "currency" in built.season.settings else None,
        built=built,
        solution=solution,
    )


def asked_for(view: View, ask: Ask, seconds: float, progress: Heed | None = None) -> Plan:
    """The plan for the days asked about under the rules that stand, of it the sowings in the plot or of the crop asked.

    Raises NoSolverError.
    """
    start, end = ask.days(view.today)
    made = plan(view, start, end, limits_of(view.season()), seconds, progress)
    beds = {bed.name for bed in made.built.season.beds.values() if ask.plot in (None, bed.plot)}
    return replace(
        made,
        sowings=tuple(one for one in made.sowings if one.bed in beds and ask.crop in (None, one.crop)),
        short=tuple(one for one in made.short if ask.crop in (None, one.crop)),
        bare=tuple(one for one in made.bare if one.bed in beds),
    )


def _bare(built: Built, solution: Solution, end: dt.date) -> Iterator[Bare]:
    """The beds that lie bare for a week or more between the day they are open, or their crop before is out, and their
    next sowing by the end; what is under a cover now may stay so until its first."""
    problem = built.problem
    for number, site in enumerate(problem.beds):
        opens = None if built.season.beds[site.name].covered_since else site.opens
        held = [problem.all_choices[use.choice] for use in solution.uses if use.bed == number]
        for choice in sorted((one for one in held if one.crop), key=lambda one: one.sow):
            if opens is not None and choice.sow - opens >= LIES_OPEN_DAYS and built.date(choice.sow) <= end:
                yield Bare(site.name, built.date(opens), built.date(choice.sow))
            opens = choice.out


def _cents(amount: float) -> Decimal:
    return Decimal(str(round(amount, 2))).quantize(CENT)


def _terms(worth: Money) -> dict[str, Decimal]:
    return {
        "orders": _cents(worth.orders), "market": _cents(worth.market), "falling short": _cents(-worth.short),
        "growing": _cents(-worth.growing), "visits": _cents(-worth.visits),
    }  # fmt: skip


def _workings(solution: Solution, terms: dict[str, Decimal], bound: Decimal | None) -> tuple[str, ...]:
    lines = [f"{name}: {amount}" for name, amount in terms.items()]
    lines.append(f"worth together {_cents(solution.money.total)}, found by the {solution.rule}")
    if bound is not None:
        lines.append(f"no plan can be worth more than {bound}: at most {100 * solution.gap:.1f} % is left undone")
    return tuple(lines)


def _sowing(built: Built, solution: Solution, use: Use) -> PlannedSowing:
    problem, season = built.problem, built.season
    choice, site = problem.choices[use.choice], problem.beds[use.bed]
    known, length = facts(season, choice.crop), Decimal(str(site.length_ft))
    day = built.date(choice.sow)
    seed_day = day - tray_days(season, choice.crop)
    worth, instead = _worth_of(built, solution, use)
    return PlannedSowing(
        bed=site.name, crop=choice.crop, day=day,
        seed_day=seed_day, begins=seed_day if seed_day >= season.day else day, length_ft=length,
        seed=seed_for(season, known, length, season.beds[site.name].width_in),
        ready=built.date(choice.cuts[0].ready), out=built.date(choice.out), cuts=len(choice.cuts),
        quantity=Decimal(str(round(sum(cut.per_ft for cut in choice.cuts) * site.length_ft, 1))),
        unit=built.units[choice.crop], worth=worth, instead=instead,
    )  # fmt: skip


def _worth_of(built: Built, solution: Solution, use: Use) -> tuple[Decimal, Instead | None]:
    """What the plan would lose without the use, and the other crop that would make up most of that."""
    problem = built.problem
    others = [one for one in solution.uses if one != use]
    handed = deliveries(problem, others)
    lost = solution.money.total - money(problem, others, handed).total
    best = _best_instead(built, Rule(problem, MONEY, others, handed), use)
    return _cents(lost), Instead(best[0], _cents(max(0.0, lost - best[1]))) if best else None


def _best_instead(built: Built, rule: Rule, use: Use) -> tuple[str, float] | None:
    """The crop that would earn most in the use's bed beside the uses that the rule has, sown on the same day."""
    problem = built.problem
    taken, site = problem.choices[use.choice], problem.beds[use.bed]
    found: dict[str, float] = {}
    for number in rule.by_day[taken.sow]:
        choice = problem.choices[number]
        if choice.crop != taken.crop and fits(problem, site, [*rule.held[use.bed], choice]):
            gain = rule.gain(choice, site)
            if gain > 0:
                found[choice.crop] = max(gain, found.get(choice.crop, 0.0))
    return max(found.items(), key=lambda pair: pair[1], default=None)


def _short(built: Built, solution: Solution) -> tuple[StillShort, ...]:
    met: dict[int, float] = defaultdict(float)
    for handed in solution.handed:
        met[handed.demand] += handed.amount
    found = []
    for number, demand in enumerate(built.problem.demands):
        lacking = demand.amount - met[number]
        if demand.penalty > 0 and lacking > 0.05:
            found.append(
                StillShort(
                    demand.crop,
                    built.date(demand.day),
                    demand.who,
                    Decimal(str(round(lacking, 1))),
                    built.units[demand.crop],
                    _sow_by(built, demand.crop, demand.day),
                )
            )
    return tuple(sorted(found, key=lambda short: (short.day, short.crop)))


def _sow_by(built: Built, crop: str, day: int) -> dt.date | None:
    """The last of the plan's days on which a sowing of the crop can still be for this day."""
    reaching = [
        choice.sow for choice in built.problem.choices
        if choice.crop == crop and any(cut.ready <= day <= cut.last for cut in choice.cuts)
    ]  # fmt: skip
    return built.date(max(reaching)) if reaching else None
