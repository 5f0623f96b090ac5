"""Days as said: what the rules of dates.lark mean. The reckoning is in calendar.py."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from grammar.calendar import (
    AnyMonth,
    Away,
    Coming,
    DayOfMonth,
    Deadline,
    Ends,
    First,
    Following,
    Holiday,
    In,
    IsoWeek,
    Left,
    Moment,
    Month,
    MonthDay,
    Nth,
    On,
    Part,
    Past,
    Period,
    Quarter,
    Rolling,
    Run,
    Season,
    Shift,
    Since,
    Span,
    Steps,
    This,
    Weekday,
    Weekend,
    WeekOf,
    Year,
)
from grammar.said import Repeats

TODAY = Away(())


def the_moment(*said: Any) -> Moment | None:
    """The day among what was said, whatever little words and times of day stand around it."""
    return next((part for part in said if isinstance(part, Moment)), None)


def _numbers(said: tuple[Any, ...]) -> list[int]:
    return [int(part) for part in said if isinstance(part, (int, Decimal)) or (isinstance(part, str) and part.lstrip("-").isdigit())]


# ---- single days ----------------------------------------------------------------------------------------------------
def named_day(away: str) -> Moment:
    return Away(((int(away), "day"),)) if int(away) else TODAY


def today_at(*_: Any) -> Moment:
    """ "at 5 pm" with no day is today."""
    return TODAY


def weekday(said: str | Moment) -> Moment:
    return said if isinstance(said, Moment) else Weekday(int(said))


def holiday(name: str) -> Moment:
    month, _, day = name.partition("-")
    return MonthDay(int(month), int(day)) if day else Holiday(name)


# ---- dates ----------------------------------------------------------------------------------------------------------
def month_day(month: str, day: Any) -> Moment | None:
    return _month_day(int(month), int(day))


def day_month(*said: Any) -> Moment | None:
    """ "7 june", "the 7th day of june"."""
    return _month_day(int(said[-1]), int(said[0]))


def _month_day(month: int, day: int) -> Moment | None:
    """None for days that no year has."""
    longest = 29 if month == 2 else 30 if month in (4, 6, 9, 11) else 31
    return MonthDay(month, day) if 1 <= month <= 12 and 1 <= day <= longest else None


def numeric_date(*said: str) -> Moment | None:
    """Month first, as the farm's country writes; day first where the first number is no month; year first with four digits."""
    if len(said[0]) == 4:
        return in_year(_month_day(int(said[1]), int(said[2])), year(said[0])) if len(said) == 3 else None
    month, day = int(said[0]), int(said[1])
    if month > 12:
        month, day = day, month
    found = _month_day(month, day)
    return in_year(found, year_short(said[2])) if len(said) == 3 else found


def day_month_year(day: str, month: str, in_: str) -> Moment | None:
    return in_year(_month_day(int(month), int(day)), year_short(in_))


def in_year(day: Moment | None, in_: Moment | None) -> Moment | None:
    return In(in_, day) if day and in_ else None


def year(said: str | int) -> Moment | None:
    """A year of the farm's time; "june 7 300" is no year."""
    return Year(int(said)) if 1980 <= int(said) <= 2099 else None


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


def day_in_month(*said: Any) -> Moment | None:
    found = day_of_month(said[0])
    return In(said[-1], found) if found else None


def day_of_month(*said: Any) -> Moment | None:
    day = sum(_numbers(said))
    return DayOfMonth(day) if 1 <= day <= 31 else None


def weekday_day(number: str, day: Any) -> Moment | None:
    found = day_of_month(day)
    return On(found, int(number)) if found else None


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


def ahead(steps: Steps, *_: str) -> Moment:
    return Away(steps)


def after(steps: Steps, base: Moment) -> Moment:
    return Shift(base, steps)


def before(steps: Steps, base: Moment) -> Moment:
    return Shift(base, steps, -1)


def week_on(unit: str, day: Moment) -> Moment | None:
    """ "a week on friday"."""
    steps = lapse_one(unit)
    return Shift(day, steps) if steps else None


def weekdays_ahead(*said: Any) -> Moment | None:
    """ "two sundays from now": the second of those to come."""
    many, day = _numbers(said)[:2]
    return Shift(Coming(Weekday(day)), ((many - 1, "week"),)) if many > 0 else None


def weekdays_ago(*said: Any) -> Moment | None:
    many, day = _numbers(said)[:2]
    return Shift(Past(Weekday(day)), ((many - 1, "week"),), -1) if many > 0 else None


def weekday_ahead(day: Weekday, steps: Steps, *_: str) -> Moment:
    """ "monday two weeks from now": that of the week; "saturday 3 days from now" must be that day."""
    return _weekday_near(day, Away(steps), steps)


def ahead_weekday(steps: Steps, day: Weekday) -> Moment:
    return _weekday_near(day, Away(steps), steps)


def weekday_ago(day: Weekday, steps: Steps, _: str) -> Moment:
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


def weekday_week(day: Moment, unit: str) -> Moment | None:
    """ "friday week": a week after friday."""
    return Shift(day, ((1, "week"),)) if unit == "week" else None


def weekday_week_of(day: Moment, base: Moment) -> Moment:
    return In(WeekOf(base), day)


def after_next(unit: str, _: str) -> Moment:
    return Period(unit, 2)


def before_last(unit: str, _: str) -> Moment:
    return Period(unit, -2)


# ---- the first, second, last of something ---------------------------------------------------------------------------
def _nth(number: Any, what: int | str, base: Moment) -> Moment | None:
    return Nth(base, int(number), what) if -1 <= int(number) <= 366 and int(number) else None


def nth_weekday(number: Any, day: str, base: Moment) -> Moment | None:
    return _nth(number, int(day), base)


def nth_weekday_near(number: int, day: str) -> Moment | None:
    """ "the second sunday", of whichever month."""
    return _nth(number, int(day), AnyMonth()) if number <= 5 else None


def nth_day(number: Any, _: str, base: Moment) -> Moment | None:
    return _nth(number, "day", base)


def nth_week(number: Any, unit: str, base: Moment) -> Moment | None:
    return _nth(number, "week", base) if unit == "week" else None


def nth_weekend(number: Any, _: str, base: Moment) -> Moment | None:
    return _nth(number, "weekend", base)


def ends(which: str, steps: Steps, base: Moment) -> Moment | None:
    """ "the last 3 days of august", "the first two weeks of june"."""
    return Ends(base, steps, int(which)) if int(which) in (1, -1) else None


# ---- stretches ------------------------------------------------------------------------------------------------------
def month(number: str) -> Moment:
    return Month(int(number))


def in_year_month(number: str, in_: Moment) -> Moment:
    return In(in_, Month(int(number)))


def month_ref_named(which: str, number: str) -> Moment:
    """ "next june" is the coming one, "this june" this year's."""
    base = Month(int(number))
    return {0: This, 1: Coming, -1: Past}[int(which)](base)


def month_coming(_: str, number: str) -> Moment:
    return Coming(Month(int(number)))


def month_past(_: str, number: str) -> Moment:
    return Past(Month(int(number)))


def season(name: str) -> Moment:
    return Season(name)


def season_ref(which: str, name: str) -> Moment:
    return {0: This, 1: Coming, -1: Past}[int(which)](Season(name))


def season_coming(_: str, name: str) -> Moment:
    return Coming(Season(name))


def season_past(_: str, name: str) -> Moment:
    return Past(Season(name))


def season_year(name: str, in_: Moment) -> Moment:
    return In(in_, Season(name))


def quarter(number: Any, *_: str) -> Moment | None:
    return Quarter(int(number)) if 1 <= int(number) <= 4 else None


def quarter_year(number: str, in_: Moment) -> Moment | None:
    return in_year(quarter(number), in_)


def rolling(which: str, steps: Steps) -> Moment:
    return Rolling(steps, int(which))


def rolling_inside(many: Any, which: str, unit: str) -> Moment | None:
    """ "10 previous weeks"."""
    steps = lapse(many, unit)
    return Rolling(steps, int(which)) if steps else None


def rolling_one(which: str, unit: str) -> Moment | None:
    """ "the past week", "the next month": from or until today, unlike "last week"."""
    return rolling_inside(1, which, unit)


def within(steps: Steps) -> Moment:
    return Rolling(steps)


def within_next(_: str, steps: Steps) -> Moment:
    return Rolling(steps)


def weekend(_: str) -> Moment:
    return Weekend()


def weekend_ref(which: str, _: str) -> Moment:
    return In(Period("week", int(which)), Weekend())


def weekend_coming(*_: str) -> Moment:
    return Coming(Weekend())


def weekend_past(*_: str) -> Moment:
    return Past(Weekend())


def weekend_after_next(*_: str) -> Moment:
    return In(Period("week", 2), Weekend())


def weekend_of(_: str, base: Moment) -> Moment:
    return In(WeekOf(base), Weekend())


def part(which: str, base: Moment) -> Moment:
    return Part(base, which)


def part_month(which: str, number: str) -> Moment:
    return Part(Month(int(number)), which)


def period_end(unit: str) -> Moment:
    """ "month end"."""
    return Part(Period(unit), "late")


def half(number: Any, _: str, base: Moment) -> Moment | None:
    return None if int(number) not in (1, 2, -1) else Part(base, "first half" if int(number) == 1 else "second half")


def iso_week(unit: str, number: Any) -> Moment | None:
    return IsoWeek(int(number)) if unit == "week" and 1 <= int(number) <= 53 else None


def iso_week_in(unit: str, number: Any, in_: Moment) -> Moment | None:
    return in_year(iso_week(unit, number), in_)


def week_of(unit: str, base: Moment) -> Moment | None:
    return WeekOf(base) if unit == "week" else None


def week_from(base: Moment) -> Moment:
    return WeekOf(base)


def span(*said: Any) -> Moment:
    first, last = (part for part in said if isinstance(part, Moment))
    return Span(first, last)


def span_month_first(*said: Any) -> Moment | None:
    """ "june 7 to 13", "april 27 to the 3rd"."""
    found = _numbers(said)
    in_ = said[-1] if isinstance(said[-1], Moment) else None
    return _span_in_month(found[0], found[1], found[2], in_)


def span_month_last(*said: Any) -> Moment | None:
    """ "7 to 13 june": the month is the last day's."""
    first, last, month_ = _numbers(said)[:3]
    in_ = said[-1] if isinstance(said[-1], Moment) else None
    return _span_in_month(month_, first, last, in_) if first < last else None


def _span_in_month(month_: int, first: int, last: int, in_: Moment | None) -> Moment | None:
    after_ = month_ if first < last else month_ % 12 + 1
    begin, end = _month_day(month_, first), _month_day(after_, last)
    if in_ is not None:
        begin, end = in_year(begin, in_), in_year(end, in_)
    return Span(begin, end) if begin and end else None


def span_month_ref(*said: Any) -> Moment | None:
    """ "the 4th to the 23rd of next month"."""
    first, last = (day_of_month(number) for number in _numbers(said)[:2])
    return Span(In(said[-1], first), In(said[-1], last)) if first and last else None


def span_in_week(week: Moment, *said: Any) -> Moment:
    first, last = (part for part in said if isinstance(part, Moment))
    return Span(In(week, first), In(week, last))


def run(*said: Any) -> Moment:
    """ "3 days starting next monday"."""
    steps, base = said[0], said[-1]
    return Run(base, steps)


def run_after(base: Moment, steps: Steps) -> Moment:
    return Run(base, steps)


def rest(base: Moment) -> Moment:
    return Left(base, "rest")


def after_today(base: Moment) -> Moment:
    return Left(base, "later")


def before_today(base: Moment) -> Moment:
    return Left(base, "earlier")


def so_far(base: Moment) -> Moment:
    return Left(base, "so far")


def to_date(unit: str) -> Moment:
    return Left(Period(unit), "so far")


# ---- limits ---------------------------------------------------------------------------------------------------------
def until(_: str, base: Moment) -> Moment:
    return Deadline(base)


def by_day(base: Moment) -> Moment:
    return Deadline(base)


def before_day(base: Moment) -> Moment:
    """ "before friday"; "before the end of june" is no earlier than by its end."""
    return Deadline(base, before=not (isinstance(base, Part) and base.part == "late"))


def since(_: str, base: Moment) -> Moment:
    return Since(base)


def starting(_: str, base: Moment) -> Moment:
    return First(base)


# ---- what comes again -----------------------------------------------------------------------------------------------
COUNTED = ("", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def repeated(every: str) -> Repeats:
    return Repeats(every)


def repeated_on(every: str, *days: str) -> Repeats:
    return Repeats(every, _weekdays(days))


def every_weekday(*said: str) -> Repeats:
    return Repeats("weekly", _weekdays(said))


def every_other(*said: str) -> Repeats | None:
    """ "every other friday", "every 3rd monday"."""
    found = [part for part in said if part != "every"]
    if len(found) > 1 and said[1] not in ("0", "1", "2", "3", "4", "5", "6"):
        return None
    return Repeats("every two weeks", _weekdays(said))


def _weekdays(said: tuple[str, ...]) -> tuple[int, ...]:
    return tuple(sorted({int(part) for part in said if part.isdigit()}))


def every_so_many(_: str, many: Any, unit: str) -> Repeats | None:
    """ "every three weeks", in the words of the contract."""
    steps = lapse(many, unit)
    if steps is None or steps[0][0] >= 100:
        return None
    number, unit = steps[0]
    if number == 1:
        return Repeats({"day": "daily", "week": "weekly", "month": "monthly"}.get(unit, f"every {unit}"))
    return Repeats(f"every {COUNTED[number] if number < len(COUNTED) else number} {unit}s")


def so_often(*said: str) -> Repeats:
    """ "twice a week", "3 times a month"."""
    many = int(said[0]) if len(said) > 1 else 2
    return Repeats(f"{ {1: 'once', 2: 'twice'}.get(many, f'{many} times') } a {said[-1]}")


def every_two_days(*_: str) -> Repeats:
    return Repeats("every two days")


BUILDERS = {
    "when": the_moment,
    "day": the_moment,
    "timed": the_moment,
    "timed_before": the_moment,
    "until": until,
    "since": since,
    "by_day": by_day,
    "before_day": before_day,
    "starting": starting,
    "named_day": named_day,
    "today_at": today_at,
    "weekday": weekday,
    "holiday": holiday,
    "month_day": month_day,
    "day_month": day_month,
    "numeric_date": numeric_date,
    "day_month_year": day_month_year,
    "in_year": in_year,
    "year": year,
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
    "week_on": week_on,
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
    "weekday_week": weekday_week,
    "weekday_week_of": weekday_week_of,
    "after_next": after_next,
    "before_last": before_last,
    "nth_weekday": nth_weekday,
    "nth_weekday_near": nth_weekday_near,
    "nth_day": nth_day,
    "nth_week": nth_week,
    "nth_weekend": nth_weekend,
    "ends": ends,
    "month": month,
    "in_year_month": in_year_month,
    "month_in": in_year_month,
    "month_ref_named": month_ref_named,
    "month_coming": month_coming,
    "month_past": month_past,
    "season": season,
    "season_ref": season_ref,
    "season_coming": season_coming,
    "season_past": season_past,
    "season_year": season_year,
    "quarter": quarter,
    "quarter_year": quarter_year,
    "rolling": rolling,
    "rolling_inside": rolling_inside,
    "rolling_one": rolling_one,
    "within": within,
    "within_next": within_next,
    "weekend": weekend,
    "weekend_ref": weekend_ref,
    "weekend_coming": weekend_coming,
    "weekend_past": weekend_past,
    "weekend_after_next": weekend_after_next,
    "weekend_of": weekend_of,
    "part": part,
    "part_month": part_month,
    "period_end": period_end,
    "half": half,
    "iso_week": iso_week,
    "iso_week_in": iso_week_in,
    "week_of": week_of,
    "week_from": week_from,
    "span": span,
    "span_month_first": span_month_first,
    "span_month_last": span_month_last,
    "span_month_ref": span_month_ref,
    "span_in_week": span_in_week,
    "run": run,
    "run_after": run_after,
    "rest": rest,
    "later": after_today,
    "earlier": before_today,
    "so_far": so_far,
    "to_date": to_date,
    "repeated": repeated,
    "repeated_on": repeated_on,
    "every_weekday": every_weekday,
    "every_other": every_other,
    "every_so_many": every_so_many,
    "so_often": so_often,
    "every_two_days": every_two_days,
}
