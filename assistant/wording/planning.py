"""A plan in words: week by week what goes where, what it brings, what stays short, and what was left out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from decimal import Decimal

from assistant.wording.rules import rule
from assistant.wording.seed import seed_said
from assistant.wording.text import amount, beds, block, columns, day, days, figure, money, names, wrapped
from engine.asks import Ask
from engine.planner.limits import contradictions
from engine.planner.plan import Plan, PlannedSowing, StillShort
from engine.planner.rules import limits_of
from engine.state import Season
from engine.suggested import together

DELIVERIES_SHOWN = 3
TO_AGREE = 'All right. Say "do that" to put it down as planned.'
REMARKS = {
    "none_suggested": 'There is nothing to go ahead with: ask for a plan or "what should I sow this week" first.',
    "none_chosen": 'Nothing was put down: name crops or beds of the last answer, as in "do that but not the kale".',
    "without_bed": "What no bed is free for was left out.",
    "no_such_days": 'A rule for plans is of days to come: say them as in "no radish after july 20".',
}
GOOD, COSTS = ("orders", "market"), ("growing", "visits")
NOT_YET = "I cannot make a plan yet:"
GONE_BY = "Those days are past, and a plan is for days to come."
WITHOUT_SOLVER = (
    "A plan of all beds at once needs the solver HiGHS, which is not here (pip install 'rowcall[plan]'). What each "
    "crop needs by itself:"
)


def plan(made: Plan, ask: Ask, width: int, *, stopped: bool = False) -> str:
    """The list of sowings by week, then what the plan is worth and what it cannot do."""
    if made.end < made.start:
        return wrapped(GONE_BY, width)
    if not (made.built.problem.beds and made.built.problem.demands):
        return "\n".join([NOT_YET, block(_notes(made), width)])
    weeks: dict[dt.date, list[list[PlannedSowing]]] = {}
    for row in together(made):
        first = row[0].begins
        weeks.setdefault(first - dt.timedelta(days=first.weekday()), []).append(row)
    parts = [wrapped(_head(made, ask), width), *(_week(monday, rows, made, width) for monday, rows in weeks.items())]
    tail = [
        *_planned(made),
        *_bare(made),
        *_worth(made, stopped),
        *_short(made.short),
        *_limits(made),
        *_notes(made),
        *_what_next(made),
    ]
    return "\n".join([*parts, block(tail, width, 0)])


def without_solver(width: int) -> str:
    """Why there is no plan."""
    return wrapped(WITHOUT_SOLVER, width)


def rules(season: Season, width: int, *, named: bool = False) -> str:
    """The rules that stand; `named`: one was named that does not."""
    stand = [rule(limit) for limit in limits_of(season)]
    none = "No such rule stands." if named else "No rules stand for plans."
    if not stand:
        return none
    return block([*([none] if named else []), f"Plans keep to: {'; '.join(stand)}."], width, 0)


def clashes(season: Season, width: int) -> str:
    """Which of the rules that stand are against each other."""
    found = contradictions(season, limits_of(season))
    return block([f"This cannot be kept: {clash}." for clash in found], width, 0)


def _head(made: Plan, ask: Ask) -> str:
    of = f", of it the {ask.crop}" if ask.crop else ""
    of += f", of it the beds in {ask.plot}" if ask.plot else ""
    when = days(made.start, made.end, made.built.season.day)
    if not made.sowings:
        return f"Nothing to sow {when}{of}."
    return f"Plan for {when}{of}; nothing of it is done yet."


def _week(monday: dt.date, rows: list[list[PlannedSowing]], made: Plan, width: int) -> str:
    """One week: beds of one crop and day together, then what they bring."""
    reasons = [_brings(row, made) for row in rows]
    return "\n".join(
        [
            f"Week of {day(monday, made.built.season.day)}:",
            columns([_row(row) for row in rows], width),
            block(reasons, width, 4),
        ]
    )


def _row(row: list[PlannedSowing]) -> list[str]:
    first = row[0]
    length = sum((sowing.length_ft for sowing in row), Decimal(0))
    seed = seed_said(first.seed)
    each = f"{seed}{' a bed' if len(row) > 1 else ''}" if seed else ""
    return [first.crop, day(first.begins), beds(sowing.bed for sowing in row), f"{figure(length)} ft", each]


def _brings(row: list[PlannedSowing], made: Plan) -> str:
    """What it brings and when, and how much better that is than the next best."""
    first = row[0]
    quantity = sum((sowing.quantity for sowing in row), Decimal(0)).quantize(Decimal(1))
    trays = f"planted out {day(first.day)}, " if first.begins != first.day else ""
    trays = "planted out from the trays that stand, as far as they go, " if first.seed_day < first.begins else trays
    cuts = f" in {first.cuts} cuts" if first.cuts > 1 else ""
    out = f"out {day(first.out, made.start)}"
    line = f"{first.crop}: {trays}{amount(quantity, first.unit)}{cuts} from {day(first.ready)}, {out}"
    if first.instead is None or first.instead.less <= 0 or not made.built.priced:
        return f"{line}."
    return f"{line}; {money(first.instead.less, made.currency)} better than {first.instead.crop}, the next best there."


def _planned(made: Plan) -> list[str]:
    kept = [f"{one.crop} in {one.bed} on {day(one.day)}" for one in made.planned]
    return [f"Planned before and kept: {names(kept)}."] if kept else []


def _bare(made: Plan) -> list[str]:
    """The beds that wait bare for their sowing, those of the same days together."""
    alike: dict[tuple[dt.date, dt.date], list[str]] = {}
    for one in made.bare:
        alike.setdefault((one.start, one.end), []).append(one.bed)
    told = [f"{beds(waiting)} {days(start, end, made.start)}" for (start, end), waiting in alike.items()]
    return [f"Bare for a week or more until sown, cover meanwhile: {names(told)}."] if told else []


def _worth(made: Plan, stopped: bool) -> list[str]:
    """What it brings, and how much better any plan can be; without prices there is no money to speak of."""
    lines = ["Stopped where it was, as you wished."] if stopped else []
    if made.built.priced:
        terms = [f"{name} {money(made.terms[name], made.currency)}" for name in GOOD if made.terms[name]]
        costs = [f"{name} {money(-made.terms[name], made.currency)}" for name in COSTS if made.terms[name]]
        less = f", less {names(costs)}" if costs else ""
        lines.append(f"Brings, as far as it looks ahead: {names(terms) or 'nothing'}{less}.")
    if made.bound is None:
        lines.append(f"There was no time to search for better: this is by a grower's rule, {made.rule}.")
    elif made.built.priced:
        more = made.bound - made.worth
        better = f"can be better by more than {money(more, made.currency)}" if more >= 1 else "is better"
        lines.append(f"No plan {better}.")
    return lines


def _short(short: Iterable[StillShort]) -> list[str]:
    """The deliveries that stay short, a line for each crop and way to mend it."""
    alike: dict[tuple[str, bool], list[StillShort]] = {}
    for one in short:
        alike.setdefault((one.crop, one.sow_by is None), []).append(one)
    return [f"Still short of {crop}: {_deliveries(shorts)}; {_mend(shorts)}." for (crop, _), shorts in alike.items()]


def _deliveries(short: list[StillShort]) -> str:
    shown = [f"{amount(one.short, one.unit)} for {one.customer} on {day(one.day)}" for one in short[:DELIVERIES_SHOWN]]
    more = len(short) - len(shown)
    return names([*shown, *([f"{more} more"] if more else [])])


def _mend(short: list[StillShort]) -> str:
    if short[0].sow_by is None:
        return "nothing sown now is ready by then: tell the customer, or buy in"
    return f"a bed more of it would mend the first, sown by {day(short[0].sow_by)}"


def _limits(made: Plan) -> list[str]:
    lines = [f"Kept to: {'; '.join(map(rule, made.built.limits))}."] if made.built.limits else []
    return lines + [f"This cannot be kept: {clash}." for clash in made.clashes]


def _notes(made: Plan) -> list[str]:
    """What is missing or was assumed; what holds for several crops or beds is said once."""
    alike: dict[str, list[str]] = {}
    for note in made.notes:
        what, parted, rest = note.partition(": ")
        alike.setdefault(rest if parted else note, []).extend([what] if parted else [])
    said = [f"{names(whose)}: {what}" if whose else what for what, whose in alike.items()]
    return [f"{note[0].upper()}{note[1:]}." for note in said]


def _what_next(made: Plan) -> list[str]:
    if not made.sowings:
        return []
    first = made.sowings[0]
    return [f'"Do that" puts it down as planned; "why {first.crop} in {first.bed}" tells why.']
