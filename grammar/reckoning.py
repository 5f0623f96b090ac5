"""Days reckoned from other days: "wednesday of next week", "the last 3 days of august", "a week from friday".

What is made from something that comes round again comes round as it does, wherever that makes sense: then it has the
same `cycle` (calendar.py), and the sense picks among the whole, not among its parts.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from dateutil.easter import easter

from grammar.calendar import (
    ONE,
    Moment,
    Month,
    Steps,
    Yearly,
    coming,
    later,
    latest,
    period,
    single,
    stretch,
)
from grammar.said import Days


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

    def seen(self, today: dt.date, sense: str) -> Days | None:
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
    """Early, mid or late: of a week Mon-Wed, Tue-Thu, Fri-Sun; of a month 1-10, 11-20, 21 on; else a third.

    Or "first half" or "second half".
    """

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
