"""Weekdays as said: "next tuesday", "two sundays from now", "wednesday of next week"."""

from __future__ import annotations

from typing import Any

from grammar.calendar import Away, Moment, Period, Steps, Weekday
from grammar.chart import Builder
from grammar.reckoning import In, WeekOf
from grammar.settled import Coming, On, Past, Shift
from grammar.singles import numbers_in


# ---- so far from today ---------------------------------------------------------------------------------------------
def weekdays_ahead(*said: Any) -> Moment | None:
    """ "two sundays from now": the second of those to come."""
    many, day = numbers_in(said)[:2]
    return Shift(Coming(Weekday(day)), ((many - 1, "week"),)) if many > 0 else None


def weekdays_ago(*said: Any) -> Moment | None:
    many, day = numbers_in(said)[:2]
    return Shift(Past(Weekday(day)), ((many - 1, "week"),), -1) if many > 0 else None


def weekday_ahead(day: Weekday, steps: Steps, *_: str) -> Moment:
    """ "monday two weeks from now": that of the week; "saturday 3 days from now" must be that day."""
    return _weekday_near(day, Away(steps), steps)


def ahead_weekday(steps: Steps, day: Weekday) -> Moment:
    return _weekday_near(day, Away(steps), steps)


def weekday_ago(day: Weekday, steps: Steps, _: str) -> Moment:
    return _weekday_near(day, Away(steps, -1), steps)


def ago_weekday(steps: Steps, _: str, day: Weekday) -> Moment:
    """ "a week ago monday"."""
    return _weekday_near(day, Away(steps, -1), steps)


def _weekday_near(day: Weekday, base: Moment, steps: Steps) -> Moment:
    if any(unit == "day" for _, unit in steps):
        return On(base, day.number)
    return In(WeekOf(base), day)


# ---- weekdays in a week ---------------------------------------------------------------------------------------------
def weekday_of(week: str, day: str) -> Moment:
    """ "next tuesday" is the Tuesday of next week."""
    return In(Period("week", int(week)), Weekday(int(day)))


def weekday_coming(_: str, day: str) -> Moment:
    return Coming(Weekday(int(day)))


def weekday_coming_up(day: str) -> Moment:
    return Coming(Weekday(int(day)))


def weekday_past(_: str, day: str) -> Moment:
    return Past(Weekday(int(day)))


def weekday_in(day: Moment, week: Moment) -> Moment:
    return In(week, day)


def week_weekday(week: Moment, day: Moment) -> Moment:
    return In(week, day)


def weekday_after_next(day: Moment, _: str) -> Moment:
    return In(Period("week", 2), day)


def weekday_before_last(day: Moment, _: str) -> Moment:
    return In(Period("week", -2), day)


def weekday_week(day: Moment, unit: str) -> Moment | None:
    """ "friday week": a week after friday."""
    return Shift(day, ((1, "week"),)) if unit == "week" else None


def weekday_week_of(day: Moment, base: Moment) -> Moment:
    return In(WeekOf(base), day)


def after_next(unit: str, _: str) -> Moment:
    return Period(unit, 2)


def before_last(unit: str, _: str) -> Moment:
    return Period(unit, -2)


BUILDERS: dict[str, Builder] = {
    "ago_weekday": ago_weekday,
    "weekdays_ahead": weekdays_ahead,
    "weekdays_ago": weekdays_ago,
    "weekday_ahead": weekday_ahead,
    "ahead_weekday": ahead_weekday,
    "weekday_ago": weekday_ago,
    "weekday_of": weekday_of,
    "weekday_coming": weekday_coming,
    "weekday_coming_up": weekday_coming_up,
    "weekday_past": weekday_past,
    "weekday_in": weekday_in,
    "week_weekday": week_weekday,
    "weekday_after_next": weekday_after_next,
    "weekday_before_last": weekday_before_last,
    "weekday_week": weekday_week,
    "weekday_week_of": weekday_week_of,
    "after_next": after_next,
    "before_last": before_last,
}
