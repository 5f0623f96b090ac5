"""Stretches of days as said: weeks, months, seasons, parts of them, and from one day to another."""

from __future__ import annotations

from typing import Any

from grammar.calendar import (
    AnyMonth,
    IsoWeek,
    Moment,
    Month,
    Period,
    Quarter,
    Rolling,
    Season,
    Steps,
    Weekday,
    Weekend,
)  # fmt: skip
from grammar.chart import Builder
from grammar.reckoning import Ends, In, Nth, Part, Run, WeekOf
from grammar.settled import Coming, Left, Past, Shift, Span, This
from grammar.singles import day_in_year, day_of_month, in_year, lapse, numbers_in


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


def weekend_before_last(*_: str) -> Moment:
    return In(Period("week", -2), Weekend())


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


def week_after(unit: str, base: Moment) -> Moment | None:
    """ "the week after july 4"."""
    return WeekOf(Shift(base, ((1, "week"),))) if unit == "week" else None


def week_before(unit: str, base: Moment) -> Moment | None:
    return WeekOf(Shift(base, ((1, "week"),), -1)) if unit == "week" else None


def week_from(base: Moment) -> Moment:
    return WeekOf(base)


def span(*said: Any) -> Moment:
    first, last = (part for part in said if isinstance(part, Moment))
    return Span(first, last)


def span_of_days(*said: Any) -> Moment | None:
    """ "26th-31st"."""
    first, last = (day_of_month(number) for number in numbers_in(said)[:2])
    return Span(first, last) if first and last else None


def span_of_two(first: Moment, *rest: Any) -> Moment | None:
    """ "mon n tue": two days, the one after the other."""
    last = rest[-1]
    follows = isinstance(first, Weekday) and isinstance(last, Weekday) and last.number == (first.number + 1) % 7
    return Span(first, last) if follows else None


def span_month_first(*said: Any) -> Moment | None:
    """ "june 7 to 13", "april 27 to the 3rd"."""
    found = numbers_in(said)
    in_ = said[-1] if isinstance(said[-1], Moment) else None
    return _span_in_month(found[0], found[1], found[2], in_)


def span_month_last(*said: Any) -> Moment | None:
    """ "7 to 13 june": the month is the last day's."""
    first, last, month_ = numbers_in(said)[:3]
    in_ = said[-1] if isinstance(said[-1], Moment) else None
    return _span_in_month(month_, first, last, in_) if first < last else None


def _span_in_month(month_: int, first: int, last: int, in_: Moment | None) -> Moment | None:
    after_ = month_ if first < last else month_ % 12 + 1
    begin, end = day_in_year(month_, first), day_in_year(after_, last)
    if in_ is not None:
        begin, end = in_year(begin, in_), in_year(end, in_)
    return Span(begin, end) if begin and end else None


def span_month_ref(*said: Any) -> Moment | None:
    """ "the 4th to the 23rd of next month"."""
    first, last = (day_of_month(number) for number in numbers_in(said)[:2])
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


BUILDERS: dict[str, Builder] = {
    "nth_weekday": nth_weekday,
    "nth_weekday_near": nth_weekday_near,
    "nth_day": nth_day,
    "nth_week": nth_week,
    "nth_weekend": nth_weekend,
    "ends": ends,
    "month": month,
    "in_year_month": in_year_month,
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
    "weekend_before_last": weekend_before_last,
    "weekend_of": weekend_of,
    "part": part,
    "part_month": part_month,
    "period_end": period_end,
    "half": half,
    "iso_week": iso_week,
    "iso_week_in": iso_week_in,
    "week_of": week_of,
    "week_after": week_after,
    "week_before": week_before,
    "week_from": week_from,
    "span": span,
    "span_of_days": span_of_days,
    "span_of_two": span_of_two,
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
}
