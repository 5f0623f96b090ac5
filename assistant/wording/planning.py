"""A plan in words: week by week what goes where, what it brings, what stays short, and what was left out."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from assistant.wording.seed import seed_said
from assistant.wording.text import amount, beds, block, columns, day, days, figure, money, names, wrapped
from engine.planner.plan import Plan, PlannedSowing, StillShort

SHORT_SHOWN = 6


def plan(made: Plan, width: int, currency: str | None = None) -> str:
    """The list of sowings by week, then what the plan is worth and what it cannot do."""
    head = f"Plan for {days(made.start, made.end)}, nothing of it done yet:"
    if not made.sowings:
        head = f"Nothing to sow {days(made.start, made.end)}."
    weeks: dict[dt.date, list[PlannedSowing]] = {}
    for sowing in made.sowings:
        weeks.setdefault(sowing.day - dt.timedelta(days=sowing.day.weekday()), []).append(sowing)
    parts = [wrapped(head, width), *(_week(monday, sowings, width, currency) for monday, sowings in weeks.items())]
    tail = [*_worth(made, currency), *_short(made.short), *_limits(made), *made.notes]
    return "\n".join([*parts, block(tail, width, 0)])


def _week(monday: dt.date, sowings: list[PlannedSowing], width: int, currency: str | None) -> str:
    """One week: beds of one crop and day together."""
    together: dict[tuple[str, dt.date, dt.date], list[PlannedSowing]] = {}
    for sowing in sowings:
        together.setdefault((sowing.crop, sowing.day, sowing.ready), []).append(sowing)
    rows = [_row(group) for group in together.values()]
    reasons = [line for group in together.values() for line in _instead(group, currency)]
    parts = [f"Week of {day(monday)}:", columns(rows, width)]
    return "\n".join([*parts, *([block(reasons, width, 4)] if reasons else [])])


def _row(group: list[PlannedSowing]) -> list[str]:
    first = group[0]
    length = sum((sowing.length_ft for sowing in group), Decimal(0))
    quantity = sum((sowing.quantity for sowing in group), Decimal(0)).quantize(Decimal(1))
    trays = f", trays by {day(first.seed_day)}" if first.seed_day != first.day else ""
    seed = seed_said(first.seed)
    each = f"{seed}{' a bed' if len(group) > 1 else ''}" if seed else ""
    return [
        first.crop, day(first.day), beds(sowing.bed for sowing in group), f"{figure(length)} ft",
        f"{amount(quantity, first.unit)} from {day(first.ready)}; {each}{trays}",
    ]  # fmt: skip


def _instead(group: list[PlannedSowing], currency: str | None) -> list[str]:
    """How much better the choice is than the next best, where there is one."""
    first = group[0]
    if first.instead is None or first.instead.less <= 0:
        return []
    return [f"{first.crop}: worth {money(first.instead.less, currency)} more a bed than {first.instead.crop}."]


def _worth(made: Plan, currency: str | None) -> list[str]:
    terms = names(f"{name} {money(sum_, currency)}" for name, sum_ in made.terms.items() if sum_)
    lines = [f"Worth {money(made.worth, currency)} as far as it looks ahead" + (f": {terms}." if terms else ".")]
    if made.bound is None:
        lines.append(f"Made by a grower's rule ({made.rule}): the solver is not installed.")
    elif made.bound > 0:
        share = 100 * (made.bound - made.worth) / made.bound
        lines.append(f"No plan can be worth more than {money(made.bound, currency)} ({share:.1f} % above this one).")
    return lines


def _short(short: tuple[StillShort, ...]) -> list[str]:
    lines = [
        f"Still short: {amount(one.short, one.unit)} of {one.crop} on {day(one.day)} for {one.customer}; {one.mend}."
        for one in short[:SHORT_SHOWN]
    ]
    return lines + ([f"And {len(short) - SHORT_SHOWN} deliveries more."] if len(short) > SHORT_SHOWN else [])


def _limits(made: Plan) -> list[str]:
    lines = [f"Kept to: {names(made.limits)}."] if made.limits else []
    return lines + [f"These contradict each other: {clash}." for clash in made.clashes]
