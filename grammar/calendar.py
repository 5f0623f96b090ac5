"""Days as they are said: "next tuesday", "the 25th", "the last 3 days of august", kept unresolved until today is known.

Each is a frozen value, so that the same thing said two ways is equal. What comes round again ("tuesday", "june 7", "the
25th") has a `cycle`, the unit in which it returns, and `at` tells which days it is in the week, month or year around an
anchor; something done then takes the latest one, something asked or wanted the coming one. What is fixed by today alone
("tomorrow", "last week") has no cycle. Weeks run Monday to Sunday, and week numbers are those of ISO 8601.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from dateutil.easter import easter
from dateutil.relativedelta import relativedelta

from grammar.said import Days

ONE = dt.timedelta(days=1)
Steps = tuple[tuple[int, str], ...]  # (how many, unit), one after the other

# How many weeks, months or years to look for one that exists: the 31st, February 29th (1896 to 1904 had none for eight years).
REACH = {"week": 2, "month": 3, "year": 9}
COARSER = {"week": 0, "month": 1, "year": 2}
# "Thursday the 15th" is looked for this far around today; beyond, the weekday or the date is more likely a slip.
WEEKDAY_REACH = dt.timedelta(days=100)


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
        """The days meant today; `sense` is "done", "asked" or "wanted". None where there is no such day."""
        if self.cycle is None:
            return self.at(today)
        return latest(self, today) if sense == "done" else coming(self, today)


def coming(what: Moment, day: dt.date) -> Days | None:
    """The first of its kind that ends on or after `day`."""
    return next((found for found in _around(what, day, 1) if found.end >= day), None)


def latest(what: Moment, day: dt.date) -> Days | None:
    """The last of its kind that began on or before `day`."""
    return next((found for found in _around(what, day, -1) if found.start <= day), None)


def _around(what: Moment, day: dt.date, sign: int) -> list[Days]:
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
    """The day, week, month or year after what was spoken of last; by itself it is no day."""

    unit: str

    def at(self, anchor: dt.date) -> Days | None:
        return None

    def after(self, spoken_of: Days) -> Days:
        """Its days where `spoken_of` is what it follows."""
        if self.unit == "day":
            return single(spoken_of.end + ONE)
        return period(self.unit, start_of(self.unit, later(spoken_of.end, ((1, self.unit),))))


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

    def days(self, today: dt.date, sense: str) -> Days | None:
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


@dataclass(frozen=True, slots=True)
class Holiday(Yearly):
    """A feast whose date moves; those that do not are a `MonthDay`."""

    name: str

    def at(self, anchor: dt.date) -> Days | None:
        year = anchor.year
        match self.name:
            case "easter":
                return single(easter(year))
            case "memorial day":  # the last Monday in May: 5 U.S.C. 6103
                return Nth(Month(5), -1, 0).at(anchor)
            case "labor day":  # the first Monday in September: 5 U.S.C. 6103
                return Nth(Month(9), 1, 0).at(anchor)
            case "thanksgiving":  # the fourth Thursday in November: 5 U.S.C. 6103
                return Nth(Month(11), 4, 3).at(anchor)
        return None


# ---- days made from other days --------------------------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Within(Moment):
    """Some days of, or around, the days of `base`; it comes round as that does."""

    base: Moment

    @property
    def cycle(self) -> str | None:
        return self.base.cycle

    def of(self, days: Days) -> Days | None:
        raise NotImplementedError

    def at(self, anchor: dt.date) -> Days | None:
        days = self.base.at(anchor)
        return None if days is None else self.of(days)

    def days(self, today: dt.date, sense: str) -> Days | None:
        if self.cycle is not None:
            return latest(self, today) if sense == "done" else coming(self, today)
        days = self.base.days(today, sense)
        return None if days is None else self.of(days)


@dataclass(frozen=True, slots=True)
class In(Within):
    """ "wednesday" in "next week", "june 7" in "2027", "the 20th" in "next month"."""

    inner: Moment

    def of(self, days: Days) -> Days | None:
        found = self.inner.at(days.start)
        return found if found and found.start <= days.end and found.end >= days.start else None


@dataclass(frozen=True, slots=True)
class Nth(Within):
    """The first, second or (negative) last day, week, weekend or weekday in a stretch.

    A month's weeks are those with their Thursday in it, as ISO 8601 counts the weeks of a year.
    """

    number: int
    what: int | str  # a weekday (0 is Monday), or "day", "week", "weekend"

    def of(self, days: Days) -> Days | None:
        if self.what == "day":
            return self._inside(days, days.start - ONE if self.number > 0 else days.end + ONE, self.number)
        marked = {"week": 3, "weekend": 5}.get(str(self.what), self.what)
        assert isinstance(marked, int)
        if self.number > 0:
            first = days.start + (marked - days.start.weekday()) % 7 * ONE
            found = self._inside(days, first - 7 * ONE, self.number * 7)
        else:
            last = days.end - (days.end.weekday() - marked) % 7 * ONE
            found = self._inside(days, last + 7 * ONE, self.number * 7)
        if found is None or isinstance(self.what, int):
            return found
        return period("week", found.start) if self.what == "week" else stretch(found.start, found.start + ONE)

    @staticmethod
    def _inside(days: Days, day: dt.date, count: int) -> Days | None:
        found = day + count * ONE
        return single(found) if days.start <= found <= days.end else None


@dataclass(frozen=True, slots=True)
class Ends(Within):
    """ "the last 3 days of august" (sign -1), "the first two weeks of june" (sign 1)."""

    steps: Steps
    sign: int

    def of(self, days: Days) -> Days | None:
        if self.sign > 0:
            found = stretch(days.start, later(days.start, self.steps) - ONE)
        else:
            found = stretch(later(days.end, self.steps, -1) + ONE, days.end)
        return found if found.start >= days.start and found.end <= days.end else None


@dataclass(frozen=True, slots=True)
class Part(Within):
    """Early, mid or late: of a week Mon-Wed, Tue-Thu, Fri-Sun; of a month 1-10, 11-20, 21 on; else a third. Or a half."""

    part: str

    def of(self, days: Days) -> Days:
        length = (days.end - days.start).days + 1
        third, half = length // 3, length // 2
        if length == 7:
            early, mid, late = (0, 2), (1, 3), (4, 6)
        elif length <= 31:
            early, mid, late = (0, 9), (10, 19), (20, length - 1)
        else:
            early, mid, late = (0, third - 1), (third, length - third - 1), (length - third, length - 1)
        first, last = {
            "early": early, "mid": mid, "late": late, "first half": (0, half - 1), "second half": (half, length - 1),
        }[self.part]  # fmt: skip
        return stretch(days.start + first * ONE, days.start + last * ONE)


@dataclass(frozen=True, slots=True)
class WeekOf(Within):
    """The week that holds the day."""

    def of(self, days: Days) -> Days:
        return period("week", days.start)


@dataclass(frozen=True, slots=True)
class Run(Within):
    """So many days from a day on, that day counted: "for 10 days from june 7"."""

    steps: Steps

    def of(self, days: Days) -> Days:
        return stretch(days.start, later(days.start, self.steps) - ONE)


@dataclass(frozen=True, slots=True)
class First(Within):
    """The day a stretch begins: "starting next week"."""

    def of(self, days: Days) -> Days:
        return single(days.start)


@dataclass(frozen=True, slots=True)
class Derived(Moment):
    """Reckoned from days that are settled first, by today and the sense."""

    base: Moment


@dataclass(frozen=True, slots=True)
class Shift(Derived):
    """ "a week from friday", "two days before yesterday"; after a stretch counts from its end."""

    steps: Steps
    sign: int = 1

    def at(self, anchor: dt.date) -> Days | None:
        return self.days(anchor, "asked")

    def days(self, today: dt.date, sense: str) -> Days | None:
        days = self.base.days(today, sense)
        if days is None:
            return None
        return single(later(days.end if self.sign > 0 else days.start, self.steps, self.sign))


@dataclass(frozen=True, slots=True)
class Coming(Derived):
    """The first that begins after today, whatever the sense: "this coming friday", "next june"."""

    def at(self, anchor: dt.date) -> Days | None:
        return next((found for found in _around(self.base, anchor, 1) if found.start > anchor), None)


@dataclass(frozen=True, slots=True)
class Past(Derived):
    """The last that was over before today: "this past friday", "last june"."""

    def at(self, anchor: dt.date) -> Days | None:
        return next((found for found in _around(self.base, anchor, -1) if found.end < anchor), None)


@dataclass(frozen=True, slots=True)
class This(Derived):
    """The one that holds today, else the one of this week or year: "this june", "this winter"."""

    def at(self, anchor: dt.date) -> Days | None:
        held = latest(self.base, anchor)
        return held if held and held.end >= anchor else self.base.at(anchor)


@dataclass(frozen=True, slots=True)
class On(Derived):
    """A date with its weekday: "tuesday the 19th", "friday june 11". Where they never agree nearby there is no such day."""

    weekday: int

    def at(self, anchor: dt.date) -> Days | None:
        return self.days(anchor, "asked")

    def days(self, today: dt.date, sense: str) -> Days | None:
        cycle = self.base.cycle
        if cycle is None:
            days = self.base.days(today, sense)
            return days if days and days.start.weekday() == self.weekday else None
        sign = -1 if sense == "done" else 1
        for many in range(-1, REACH[cycle] + 3):
            days = self.base.at(later(start_of(cycle, today), ((many, cycle),), sign))
            if days and days.start.weekday() == self.weekday and ONE * 0 <= (days.start - today) * sign <= self._reach():
                return days
        return None

    def _reach(self) -> dt.timedelta:
        return WEEKDAY_REACH if self.base.cycle == "month" else 366 * ONE


@dataclass(frozen=True, slots=True)
class Left(Derived):
    """What is left of a stretch ("rest"), what comes after today ("later"), was before it ("earlier"), or is until today ("so far")."""

    which: str

    def at(self, anchor: dt.date) -> Days | None:
        return self.days(anchor, "asked")

    def days(self, today: dt.date, sense: str) -> Days | None:
        days = self.base.days(today, sense)
        if days is None:
            return None
        start, end = days.start, days.end
        match self.which:
            case "rest":
                start = max(start, today)
            case "later":
                start = max(start, today + ONE)
            case "earlier":
                end = min(end, today - ONE)
            case "so far":
                end = min(end, today)
        return stretch(start, end) if start <= end else None


@dataclass(frozen=True, slots=True)
class Span(Moment):
    """From one day to another, both counted."""

    first: Moment
    last: Moment

    def at(self, anchor: dt.date) -> Days | None:
        return self.days(anchor, "asked")

    def days(self, today: dt.date, sense: str) -> Days | None:
        first, last = self._ends(today, sense)
        if first is None or last is None or last.end < first.start:
            return None
        return stretch(first.start, last.end)

    def _ends(self, today: dt.date, sense: str) -> tuple[Days | None, Days | None]:
        if self._last_leads(sense):
            last = self.last.days(today, sense)
            return (latest(self.first, last.end) if last else None), last
        first = self.first.days(today, sense)
        if first is None or self.last.cycle is None:
            return first, self.last.days(today, sense)
        return first, coming(self.last, first.start)

    def _last_leads(self, sense: str) -> bool:
        """Whether the last day is settled first and the first day is sought before it.

        So it is where only the last day is fixed ("june 7 to today"), where it says more ("the 7th to june 9"), and for
        dates asked about, where a stretch that has begun is still the one meant ("june 1 to june 30" on june 16).
        """
        first, last = self.first.cycle, self.last.cycle
        if first is None:
            return False
        if last is None or COARSER[last] > COARSER[first]:
            return True
        return last == first != "week" and sense != "done"


@dataclass(frozen=True, slots=True)
class Deadline(Derived):
    """The last day of it, looking ahead: "by friday", "until the end of august"; `before` leaves that day out."""

    before: bool = False

    def at(self, anchor: dt.date) -> Days | None:
        return self.days(anchor, "wanted")

    def days(self, today: dt.date, sense: str) -> Days | None:
        days = self.base.days(today, "wanted")
        if days is None:
            return None
        return single(days.start - ONE if self.before else days.end)


@dataclass(frozen=True, slots=True)
class Since(Derived):
    """From the latest such day until today."""

    def at(self, anchor: dt.date) -> Days | None:
        return self.days(anchor, "done")

    def days(self, today: dt.date, sense: str) -> Days | None:
        days = self.base.days(today, "done")
        return stretch(days.start, today) if days and days.start <= today else None
