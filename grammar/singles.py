"""Single days as said: dates, and days so far from another. The reckoning is in calendar.py and its neighbours."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from grammar.calendar import Away, DayOfMonth, Following, Moment, MonthDay, Period, Steps, Weekday, Year
from grammar.chart import Builder
from grammar.clocks import Clock, half_clock
from grammar.reckoning import Holiday, In
from grammar.settled import BySense, On, Shift, Timed

TODAY = Away(())


def numbers_in(said: tuple[Any, ...]) -> list[int]:
    """The whole numbers among what was said, in order."""
    return [int(part) for part in said if isinstance(part, int | Decimal) or re.fullmatch(r"-?\d+", str(part))]


# ---- single days ----------------------------------------------------------------------------------------------------
def named_day(away: str) -> Moment:
    return Away(((int(away), "day"),)) if int(away) else TODAY


def today_at(*said: Any) -> Moment:
    """ "at 5 pm" with no day is today."""
    hour, *half = said
    return timed(TODAY, half_clock(half[0], hour) if half else hour)


def timed(day: Moment, hour: Clock | None) -> Moment:
    """The day with its hour, the day alone where that may be in either half of it."""
    return Timed(day, hour.time) if hour is not None and hour.time else day


def timed_half(*said: Any) -> Moment | None:
    """ "this morning at 7", "about seven this evening"."""
    half, hour = sorted(said, key=lambda part: isinstance(part, Clock))
    away, _, part = half.partition(" ")
    return timed(named_day(away), half_clock(part, hour))


def in_the_morning() -> Moment:
    return BySense(done=TODAY, ahead=Away(((1, "day"),)))


def weekday(said: str | Moment) -> Moment:
    return said if isinstance(said, Moment) else Weekday(int(said))


def holiday(name: str) -> Moment:
    month, _, day = name.partition("-")
    return MonthDay(int(month), int(day)) if day else Holiday(name)


# ---- dates ----------------------------------------------------------------------------------------------------------
def month_day(month: str, day: Any) -> Moment | None:
    return day_in_year(int(month), int(day))


def day_month(*said: Any) -> Moment | None:
    """ "7 june", "the 7th day of june"."""
    return day_in_year(int(said[-1]), int(said[0]))


def day_in_year(month: int, day: int) -> Moment | None:
    """ "june 31" is understood, and is no day."""
    return MonthDay(month, day) if 1 <= month <= 12 and 1 <= day <= 31 else None


def numeric_date(*said: str) -> Moment | None:
    """ "6/14": month first; day first where the first number is no month; year first where it has four digits."""
    if len(said[0]) == 4:
        return in_year(day_in_year(int(said[1]), int(said[2])), year(said[0])) if len(said) == 3 else None
    month, day = int(said[0]), int(said[1])
    if month > 12:
        month, day = day, month
    found = day_in_year(month, day)
    return in_year(found, year_short(said[2])) if len(said) == 3 else found


def day_month_year(day: str, month: str, in_: str) -> Moment | None:
    return in_year(day_in_year(int(month), int(day)), year_short(in_))


def in_year(day: Moment | None, in_: Moment | None) -> Moment | None:
    return In(in_, day) if day and in_ else None


def year(said: str | int | Moment) -> Moment | None:
    """A year that a grower may speak of; "june 7 300" is none."""
    if isinstance(said, Moment):
        return said
    return Year(int(said)) if 1980 <= int(said) <= 2099 else None


def near_year(said: int) -> Moment | None:
    """A year that is hardly a count of plants, as 2000 is."""
    return Year(said) if 2001 <= said <= 2049 else None


def year_short(said: str) -> Moment | None:
    return Year(2000 + int(said)) if len(said) == 2 else year(said)


def year_spoken(*said: str) -> Moment | None:
    """ "twenty twenty seven"."""
    return year(int(said[0]) * 100 + sum(map(int, said[1:])))


def month_ref(*said: str) -> Moment | None:
    return _period_of("month", said)


def week_ref(*said: str) -> Moment | None:
    return _period_of("week", said)


def year_ref(*said: str) -> Moment | None:
    return _period_of("year", said)


def _period_of(unit: str, said: tuple[str, ...]) -> Moment | None:
    return Period(unit, int(said[0]) if len(said) > 1 else 0) if said[-1] == unit else None


def period_ref(*said: str) -> Moment:
    return Period(said[-1], int(said[0]) if len(said) > 1 else 0)


def day_ref(number: str, _: str) -> Moment:
    """ "the next day"."""
    return Away(((int(number), "day"),))


def day_before(_: str) -> Moment:
    return Away(((1, "day"),), -1)


def following(unit: str) -> Moment:
    """ "the week after that": after whatever was spoken of last."""
    return Following(unit)


def preceding(unit: str) -> Moment:
    """ "the week before": before whatever was spoken of last."""
    return Following(unit, -1)


def following_weekday(day: str) -> Moment:
    return Following("day", 1, int(day))


def preceding_weekday(day: str) -> Moment:
    return Following("day", -1, int(day))


def day_in_month(*said: Any) -> Moment | None:
    found = day_of_month(said[0])
    return In(said[-1], found) if found else None


def day_of_month(*said: Any) -> Moment | None:
    day = sum(numbers_in(said))
    return DayOfMonth(day) if 1 <= day <= 31 else None


def weekday_day(number: str, day: Any) -> Moment | None:
    found = day_of_month(day)
    return On(found, int(number)) if found else None


def this_weekday_date(_: str, number: str, date: Moment) -> Moment:
    """ "this friday, june 18": the date says which."""
    return On(date, int(number))


def this_weekday_day(_: str, number: str, day: int) -> Moment | None:
    return weekday_day(number, day)


def weekday_date(number: str, date: Moment) -> Moment:
    return On(date, int(number))


# ---- so far from a day ----------------------------------------------------------------------------------------------
def lapse(*said: Any) -> Steps | None:
    """ "3 weeks", "a couple of days"."""
    many, unit = int(said[0]), said[-1]
    if many < 1:
        return None
    return ((many * 2, "week"),) if unit == "fortnight" else ((many, unit),)


def lapse_one(unit: str) -> Steps | None:
    return lapse(1, unit)


def lapses(*said: Any) -> Steps | None:
    """ "2 weeks and 2 days": the longer first."""
    first, second = said[0], said[-1]
    order = ["year", "month", "week", "day"]
    return first + second if order.index(first[-1][1]) < order.index(second[0][1]) else None


def ago(steps: Steps, _: str) -> Moment:
    return Away(steps, -1)


def ahead(*said: Any) -> Moment:
    """ "in about 3 weeks", "three weeks out"."""
    return Away(next(part for part in said if isinstance(part, tuple)))


def after(steps: Steps, base: Moment) -> Moment:
    return Away(steps) if base == TODAY else Shift(base, steps)


def before(steps: Steps, base: Moment) -> Moment:
    return Shift(base, steps, -1)


def day_after(_: str, base: Moment) -> Moment:
    return Shift(base, ((1, "day"),))


def day_before_day(_: str, base: Moment) -> Moment:
    return Shift(base, ((1, "day"),), -1)


def week_from_day(unit: str, day: str) -> Moment | None:
    """ "a week tomorrow"."""
    week = lapse_one(unit)
    return Shift(named_day(day), week) if week else None


def week_on(unit: str, day: Moment) -> Moment | None:
    """ "a week on friday"."""
    steps = lapse_one(unit)
    return Shift(day, steps) if steps else None


BUILDERS: dict[str, Builder] = {
    "named_day": named_day,
    "today_at": today_at,
    "timed_half": timed_half,
    "weekday": weekday,
    "holiday": holiday,
    "month_day": month_day,
    "day_month": day_month,
    "numeric_date": numeric_date,
    "day_month_year": day_month_year,
    "in_year": in_year,
    "year": year,
    "near_year": near_year,
    "in_the_morning": in_the_morning,
    "this_weekday_date": this_weekday_date,
    "this_weekday_day": this_weekday_day,
    "year_spoken": year_spoken,
    "month_ref": month_ref,
    "week_ref": week_ref,
    "year_ref": year_ref,
    "period_ref": period_ref,
    "day_ref": day_ref,
    "day_before": day_before,
    "following": following,
    "day_in_month": day_in_month,
    "day_of_month": day_of_month,
    "weekday_day": weekday_day,
    "weekday_date": weekday_date,
    "lapse": lapse,
    "lapse_one": lapse_one,
    "lapses": lapses,
    "ago": ago,
    "ahead": ahead,
    "after": after,
    "before": before,
    "day_after": day_after,
    "preceding": preceding,
    "following_weekday": following_weekday,
    "preceding_weekday": preceding_weekday,
    "day_before_day": day_before_day,
    "week_on": week_on,
    "week_from_day": week_from_day,
}
