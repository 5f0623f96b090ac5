"""Hours for picking: how fast this farm picks, the hours that there are on a day, and what fits into them.

The pace is the grower's own ("we pick 40 lb an hour"), else learned from the days on which hours of picking and what
was picked are both on record. What fits is one small flow: the hours of each day are the supply, and each picking wants
its hours on one of the days on which it may be done. The flow fills as many hours as can be filled. Of all such ways
it takes one that puts the most urgent first: flows of that kind form a polymatroid, so that what is urgent never costs
an hour in all (Edmonds 1970, Submodular functions, matroids and certain polyhedra).
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from engine.events import Harvested, Worked
from engine.plain import number
from engine.quantities import COUNTED, MASS, convert
from engine.state import Season
from engine.transport import cheapest
from engine.view import View

LEARNED_BACK = dt.timedelta(days=366)
PICKING = ("harvest", "pick")  # how the task of hours at picking begins
ROUNDS = 200  # of sharing a day's hours out over what was picked on it
URGENT = 1000  # what a day of urgency outweighs in days moved
LIMIT, PACE = "picking_hours", "picking_pace"
NOTHING = Decimal(0)
SMALLEST = Decimal("0.0001")  # of an hour


@dataclass(frozen=True, slots=True)
class Pace:
    """Hours for one unit: learned, by unit (all masses as lb); `days` are the days that it was learned from."""

    season: Season
    learned: dict[str, Decimal]
    days: int

    def hours(self, crop: str, quantity: Decimal, unit: str) -> Decimal | None:
        """The hours that picking so much takes; None where neither told nor learned."""
        for owner in (crop, ""):
            for setting in reversed(self.season.overrides.get(owner, ())):
                if setting["name"] == PACE:
                    told = convert(self.season, crop, quantity, unit, str(setting["value"]["unit"]))
                    if told is not None:
                        return (told / Decimal(str(setting["value"]["quantity"]))).quantize(SMALLEST)
        measured, by = _measured(self.season, crop, quantity, unit)
        return (measured * self.learned[by]).quantize(SMALLEST) if by in self.learned else None

    def lines(self) -> list[str]:
        """The learned pace in plain lines."""
        return [
            f"picking, learned from {self.days} days: {number(1 / float(each))} {unit} an hour"
            for unit, each in sorted(self.learned.items())
        ]


def pace(view: View, season: Season) -> Pace:
    """How fast the farm picks, by the last year's days that have both hours of picking and all amounts picked."""
    hours: dict[dt.date, Decimal] = defaultdict(Decimal)
    picked: dict[dt.date, dict[str, Decimal]] = defaultdict(lambda: defaultdict(Decimal))
    unsaid: set[dt.date] = set()
    for fact in view.facts(view.today - LEARNED_BACK, view.today, kinds=("worked", "harvested")):
        match fact.event:
            case Worked(task=task, hours=told) if task is not None and task.startswith(PICKING):
                hours[fact.event.date] += told
            case Harvested(quantity=Decimal() as quantity, unit=str(unit), crop=crop):
                amount, measure = _measured(season, crop, quantity, unit)
                picked[fact.event.date][measure] += amount
            case Harvested():
                unsaid.add(fact.event.date)
    days = [day for day in hours if picked.get(day) and day not in unsaid]
    return Pace(season, each_unit([(hours[day], picked[day]) for day in days]), len(days))


def _measured(season: Season, crop: str, quantity: Decimal, unit: str) -> tuple[Decimal, str]:
    """An amount in lb where it has a weight, else as said."""
    pounds = convert(season, crop, quantity, unit, "lb") if unit in MASS else None
    return (quantity, unit) if pounds is None else (pounds, "lb")


def each_unit(days: Sequence[tuple[Decimal, Mapping[str, Decimal]]]) -> dict[str, Decimal]:
    """Hours for one of each unit, from days of so many hours on which such amounts were picked.

    A day's hours are shared out over its amounts in proportion to what their units take, until that agrees with
    itself (the EM of Shepp & Vardi 1982); over all days the hours add up to those told.
    """
    amounts = {unit: sum(float(picked.get(unit, 0)) for _, picked in days) for _, one in days for unit in one}
    each = {unit: 1.0 for unit, amount in amounts.items() if amount > 0}
    for _ in range(ROUNDS):
        shared = dict.fromkeys(each, 0.0)
        for hours, picked in days:
            parts = {unit: float(amount) * each[unit] for unit, amount in picked.items() if unit in each}
            total = sum(parts.values())
            for unit, part in parts.items():
                shared[unit] += float(hours) * part / total if total else 0.0
        each = {unit: shared[unit] / amounts[unit] for unit in each}
    return {unit: Decimal(str(round(hours, 6))) for unit, hours in each.items() if hours > 0}


def limit_on(season: Season, day: dt.date) -> Decimal | None:
    """The hours that there are for picking on a day, as told for that day or for every day; None without a limit."""
    for setting in reversed(season.overrides.get("", ())):
        if setting["name"] == LIMIT and str(setting["value"].get("on")) == day.isoformat():
            return Decimal(str(setting["value"]["hours"]))
    told = season.settings.get(LIMIT)
    return None if told is None else Decimal(str(told))


@dataclass(frozen=True, slots=True)
class Job:
    """A picking of `quantity` that takes `hours` (None: not known), best on `day`, possible from `first` to `last`.

    What is `wanted` comes before what nobody wants yet, what is `due` sooner before what is due later.
    """

    quantity: Decimal
    unit: str
    hours: Decimal | None
    day: dt.date
    first: dt.date
    last: dt.date
    due: dt.date
    wanted: bool = True


@dataclass(frozen=True, slots=True)
class Fitted:
    """So much of a job on a day; `job` is its number, `day` None for what no hours are left for."""

    job: int
    day: dt.date | None
    quantity: Decimal
    hours: Decimal | None


def fitted(jobs: Sequence[Job], season: Season) -> list[Fitted]:
    """Each job on its best day as far as the hours go, else on another of its days, else on none; jobs in order."""
    days = sorted({day for job in jobs for day in _days(job)})
    everything = sum((job.hours for job in jobs if job.hours), NOTHING)
    limits = [limit_on(season, day) for day in days]
    supplies = [everything if limit is None else limit for limit in limits]
    costs = {
        (on, at): _cost(job, day)
        for at, job in enumerate(jobs)
        if job.hours
        for on, day in enumerate(days)
        if job.first <= day <= job.last
    }
    sent = cheapest(supplies, [job.hours or NOTHING for job in jobs], costs)
    parts: dict[int, list[tuple[dt.date, Decimal]]] = defaultdict(list)
    for (on, at), hours in sorted(sent.items()):
        parts[at].append((days[on], hours))
    return [part for at, job in enumerate(jobs) for part in _parts(at, job, parts[at])]


def _days(job: Job) -> list[dt.date]:
    return [job.first + dt.timedelta(days=away) for away in range((job.last - job.first).days + 1)]


def _cost(job: Job, day: dt.date) -> int:
    """Less for what is wanted, for what is due sooner, and on its best day."""
    urgency = job.due.toordinal() + (0 if job.wanted else dt.date.max.toordinal())
    return urgency * URGENT + abs((day - job.day).days)


def _parts(at: int, job: Job, parts: list[tuple[dt.date, Decimal]]) -> list[Fitted]:
    """The parts of a job as amounts that add up to it: whole things whole, else to a tenth; the rest on no day."""
    if not job.hours:
        return [Fitted(at, job.day, job.quantity, job.hours)]
    step = Decimal(1) if job.unit in COUNTED else Decimal("0.1")
    left, unsent, found = job.quantity, job.hours, list[Fitted]()
    for day, hours in parts:
        unsent -= hours
        amount = left if unsent == 0 else (job.quantity * hours / job.hours // step) * step
        if amount > 0:
            found.append(Fitted(at, day, amount, hours))
            left -= amount
    if left > 0:
        found.append(Fitted(at, None, left, job.hours * left / job.quantity))
    return found
