"""Why a plan puts a crop into a bed, or does not, in plain lines with the figures."""

from __future__ import annotations

from collections.abc import Sequence

from engine.planner.plan import Plan, PlannedSowing
from engine.planner.program import allowed


def explained(made: Plan, crops: Sequence[str], beds: Sequence[str]) -> tuple[str, ...]:
    """Why these crops are in these beds or are not; with only one of them named, all its sowings."""
    if crops and beds:
        return tuple(line for bed in beds for crop in crops for line in why(made, bed, crop))
    named = [sowing for sowing in made.sowings if sowing.crop in crops or sowing.bed in beds]
    pairs = dict.fromkeys((sowing.bed, sowing.crop) for sowing in named)
    lines = [line for bed, crop in pairs for line in why(made, bed, crop)]
    unsown = [name for name in (*crops, *beds) if not any(name in (one.crop, one.bed) for one in named)]
    return (*lines, *(f"{name} is not in the plan" for name in unsown))


def why(made: Plan, bed: str, crop: str) -> tuple[str, ...]:
    """Why a crop is in a bed, or why it is not, in plain lines with the figures."""
    mine = [sowing for sowing in made.sowings if sowing.bed == bed]
    planned = [sowing for sowing in mine if sowing.crop == crop]
    if planned:
        return tuple(line for sowing in planned for line in _why_in(made, sowing))
    return _why_not(made, bed, crop, mine)


def _why_in(made: Plan, sowing: PlannedSowing) -> list[str]:
    problem, solution = made.built.problem, made.solution
    lines = [
        f"{sowing.crop} in {sowing.bed} on {sowing.day.isoformat()}: ready {sowing.ready.isoformat()}, out"
        f" {sowing.out.isoformat()}, {sowing.quantity} {sowing.unit}",
        f"without it the plan would be worth {sowing.worth} less",
    ]
    for handed in solution.handed:
        use = handed.use
        if use and problem.beds[use.bed].name == sowing.bed and problem.choices[use.choice].crop == sowing.crop:
            demand = problem.demands[handed.demand]
            day = made.built.date(demand.day).isoformat()
            lines.append(f"{handed.amount:.1f} {sowing.unit} for {demand.who} on {day} at {demand.price:.2f}")
    if sowing.instead:
        lines.append(f"next best there: {sowing.instead.crop}, worth {sowing.instead.less} less")
    return lines


def _why_not(made: Plan, bed: str, crop: str, mine: list[PlannedSowing]) -> tuple[str, ...]:
    problem = made.built.problem
    site = next((site for site in problem.beds if site.name == bed), None)
    if site is None:
        return (f"{bed} is not in the plan",)
    if site.only is not None and crop not in site.only:
        return (f"{bed} is not for {crop}, as you asked",)
    kept_out = [bar for bar in site.barred if bar.crop == crop]
    if kept_out and not any(allowed(site, choice, problem) for choice in problem.choices if choice.crop == crop):
        return (f"{bed} is not for {crop} on those days, as you asked",)
    family = problem.families.get(crop)
    rests = [until for resting, until in site.rested if resting == family]
    if rests:
        return (f"{bed} rests from {crop}'s family until {made.built.date(max(rests)).isoformat()}",)
    kin = [sowing.crop for sowing in mine if problem.families.get(sowing.crop) == family and family]
    if kin:
        return (f"{kin[0]} of the same family is planned there, and the family has to rest after it",)
    if not any(choice.crop == crop for choice in problem.choices):
        return (f"no sowing of {crop} would be ready in time, or what it brings is not known",)
    if made.built.date(site.opens) > made.end:
        return (f"{bed} is not open before {made.built.date(site.opens).isoformat()}",)
    held = [sowing.crop for sowing in mine] or _later(made, bed)
    return (f"{crop} would earn less there than {', '.join(held) or 'it costs'}",)


def _later(made: Plan, bed: str) -> list[str]:
    """What the plan keeps the bed for after the days asked about."""
    problem = made.built.problem
    uses = [
        problem.choices[use.choice] for use in made.solution.uses
        if problem.beds[use.bed].name == bed and use.choice < len(problem.choices)
    ]  # fmt: skip
    return [f"{choice.crop} on {made.built.date(choice.sow).isoformat()}" for choice in uses]
