"""Days as they are said: "next tuesday", "the 25th", "the last 3 days of august", kept unresolved until today is known.

Each is a frozen value, so that the same thing said two ways is equal. What comes round again ("tuesday", "june 7", "the
25th") has a `cycle`, the unit in which it returns, and `at` tells which days it is in the week, month or year around an
anchor; something done then takes the latest one, something asked or wanted the coming one. What is fixed by today alone
("tomorrow", "last week") has no cycle. Weeks run Monday to Sunday, and week numbers are those of ISO 8601.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from dateutil.relativedelta import relativedelta

from grammar.said import Days

ONE = dt.timedelta(days=1)
Steps = tuple[tuple[int, str], ...]  # (how many, unit), one after the other

# How many weeks, months or years to look for one that exists: the 31st; February 29th (none from 1896 to 1904).
REACH = {"week": 2, "month": 3, "year": 9}
COARSER = {"week": 0, "month": 1, "year": 2}


# ---- arithmetic -----------------------------------------------------------------------------------------------------
def later(day: dt.date, steps: Steps, sign: int = 1) -> dt.date:
    """`day` moved by the steps; a month later than the 31st is the last of a shorter month."""
    for many, unit in steps:
        many *= sign
        if unit == "quarter":
            many, unit = many * 3, "month"
        day += relativedelta(**{f"{unit}s": many})  # type: ignore[arg-type]
    return day


def start_of(unit: str, day: dt.date) -> dt.date:
    """The first day of the week, month, quarter or year that holds `day`."""
    if unit == "week":
        return day - day.weekday() * ONE
    if unit == "month":
        return day.replace(day=1)
    if unit == "quarter":
        return day.replace(month=day.month - (day.month - 1) % 3, day=1)
    return day.replace(month=1, day=1) if unit == "year" else day


def period(unit: str, day: dt.date) -> Days:
    """The whole week, month, quarter or year that holds `day`."""
    start = start_of(unit, day)
    return stretch(start, later(start, ((1, unit),)) - ONE)


def single(day: dt.date) -> Days:
    return Days(day, day)


def stretch(start: dt.date, end: dt.date) -> Days:
    return Days(start, end, single=False)


def date(year: int, month: int, day: int) -> dt.date | None:
    """That day, or None where the month is too short for it."""
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None


# ---- the kinds of day -----------------------------------------------------------------------------------------------
class Moment:
    """Something that names a day or a stretch of days."""

    __slots__ = ()

    @property
    def cycle(self) -> str | None:
        """The unit in which it comes round again, None where today alone fixes it."""
        return None

    def at(self, anchor: dt.date) -> Days | None:
        """Its days seen from `anchor`: in the period of its cycle that holds `anchor`."""
        raise NotImplementedError

    def days(self, today: dt.date, sense: str) -> Days | None:
        """The days meant today; `sense` is "done", "asked" or "wanted".

        None where there is no such day, or none in the years 1 to 9999 that a date can have ("9999 years ago").
        """
        try:
            return self.seen(today, sense)
        except (OverflowError, ValueError):
            return None

    def seen(self, today: dt.date, sense: str) -> Days | None:
        """As `days`, but raises OverflowError or ValueError beyond those years."""
        if self.cycle is None:
            return self.at(today)
        return latest(self, today) if sense == "done" else coming(self, today)


def coming(what: Moment, day: dt.date) -> Days | None:
    """The first of its kind that ends on or after `day`."""
    return next((found for found in around(what, day, 1) if found.end >= day), None)


def latest(what: Moment, day: dt.date) -> Days | None:
    """The last of its kind that began on or before `day`."""
    return next((found for found in around(what, day, -1) if found.start <= day), None)


def around(what: Moment, day: dt.date, sign: int) -> list[Days]:
    """Those near `day` that exist, in the direction of `sign`."""
    unit = what.cycle or "year"
    begin = start_of(unit, day)
    places = [later(begin, ((many, unit),), sign) for many in range(-1, REACH[unit] + 1)]
    return [found for place in places if (found := what.at(place)) is not None]


@dataclass(frozen=True, slots=True)
class Away(Moment):
    """So far from today: "tomorrow", "two weeks and 2 days ago"."""

    steps: Steps
    sign: int = 1

    def at(self, anchor: dt.date) -> Days:
        return single(later(anchor, self.steps, self.sign))


@dataclass(frozen=True, slots=True)
class Period(Moment):
    """The week, month, quarter or year that holds today (0), the next (1), the last (-1)."""

    unit: str
    number: int = 0

    def at(self, anchor: dt.date) -> Days:
        return period(self.unit, later(start_of(self.unit, anchor), ((self.number, self.unit),)))


@dataclass(frozen=True, slots=True)
class Rolling(Moment):
    """The next or the last three weeks: that many days, today among them."""

    steps: Steps
    sign: int = 1

    def at(self, anchor: dt.date) -> Days:
        if self.sign > 0:
            return stretch(anchor, later(anchor, self.steps) - ONE)
        return stretch(later(anchor, self.steps, -1) + ONE, anchor)


@dataclass(frozen=True, slots=True)
class Following(Moment):
    """The day, weekday, week, month or year after what was spoken of last, or before it (`sign` -1); by itself no day.

    A weekday is the number of `weekday`, 0 for Monday, and its unit is the day.
    """

    unit: str
    sign: int = 1
    weekday: int | None = None

    def at(self, anchor: dt.date) -> Days | None:
        return None

    def after(self, spoken_of: Days) -> Days:
        """Its days where `spoken_of` is what it follows, or goes before."""
        edge = spoken_of.end if self.sign > 0 else spoken_of.start
        if self.weekday is not None:
            apart = (self.sign * (self.weekday - edge.weekday()) - 1) % 7 + 1
            return single(edge + self.sign * apart * ONE)
        if self.unit == "day":
            return single(edge + self.sign * ONE)
        return period(self.unit, start_of(self.unit, later(edge, ((1, self.unit),), self.sign)))


@dataclass(frozen=True, slots=True)
class Year(Moment):
    year: int

    def at(self, anchor: dt.date) -> Days:
        return period("year", dt.date(self.year, 1, 1))


@dataclass(frozen=True, slots=True)
class Weekday(Moment):
    """0 is Monday. The coming one is after today: at the end of a shift nobody asks for today by its name."""

    number: int

    @property
    def cycle(self) -> str:
        return "week"

    def at(self, anchor: dt.date) -> Days:
        return single(start_of("week", anchor) + self.number * ONE)

    def seen(self, today: dt.date, sense: str) -> Days | None:
        return latest(self, today) if sense == "done" else coming(self, today + ONE)


@dataclass(frozen=True, slots=True)
class Weekend(Moment):
    """Saturday and Sunday."""

    @property
    def cycle(self) -> str:
        return "week"

    def at(self, anchor: dt.date) -> Days:
        saturday = start_of("week", anchor) + 5 * ONE
        return stretch(saturday, saturday + ONE)


@dataclass(frozen=True, slots=True)
class DayOfMonth(Moment):
    """ "the 25th"."""

    day: int

    @property
    def cycle(self) -> str:
        return "month"

    def at(self, anchor: dt.date) -> Days | None:
        found = date(anchor.year, anchor.month, self.day)
        return single(found) if found else None


@dataclass(frozen=True, slots=True)
class AnyMonth(Moment):
    """Whichever month fits: "the second sunday"."""

    @property
    def cycle(self) -> str:
        return "month"

    def at(self, anchor: dt.date) -> Days:
        return period("month", anchor)


@dataclass(frozen=True, slots=True)
class Yearly(Moment):
    """What comes round once a year."""

    @property
    def cycle(self) -> str:
        return "year"


@dataclass(frozen=True, slots=True)
class MonthDay(Yearly):
    """ "june 7"."""

    month: int
    day: int

    def at(self, anchor: dt.date) -> Days | None:
        found = date(anchor.year, self.month, self.day)
        return single(found) if found else None


@dataclass(frozen=True, slots=True)
class Month(Yearly):
    month: int

    def at(self, anchor: dt.date) -> Days:
        return period("month", dt.date(anchor.year, self.month, 1))


@dataclass(frozen=True, slots=True)
class Quarter(Yearly):
    number: int

    def at(self, anchor: dt.date) -> Days:
        return period("quarter", dt.date(anchor.year, self.number * 3, 1))


@dataclass(frozen=True, slots=True)
class IsoWeek(Yearly):
    """ "week 27" as ISO 8601 counts."""

    number: int

    def at(self, anchor: dt.date) -> Days | None:
        try:
            return period("week", dt.date.fromisocalendar(anchor.year, self.number, 1))
        except ValueError:
            return None


# Three whole months each, as weather services count them (common practice in the northern temperate zone).
SEASON_BEGINS = {"spring": 3, "summer": 6, "fall": 9, "winter": 12}


@dataclass(frozen=True, slots=True)
class Season(Yearly):
    name: str

    def at(self, anchor: dt.date) -> Days:
        begin = dt.date(anchor.year, SEASON_BEGINS[self.name], 1)
        return stretch(begin, later(begin, ((3, "month"),)) - ONE)
