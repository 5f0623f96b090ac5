"""Days that wait for others to be settled first, by today and the sense: "a week from friday", "june 7 to 13"."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from grammar.calendar import (
    COARSER,
    ONE,
    Moment,
    Steps,
    around,
    coming,
    later,
    latest,
    single,
    start_of,
    stretch,
)
from grammar.said import Days

# "Thursday the 15th" is looked for this far around today; beyond, the weekday or the date is more likely a slip.
WEEKDAY_REACH = dt.timedelta(days=100)


@dataclass(frozen=True, slots=True)
class Derived(Moment):
    """Reckoned from days that are settled first, by today and the sense."""

    base: Moment

    def at(self, anchor: dt.date) -> Days | None:
        return self.days(anchor, "asked")


@dataclass(frozen=True, slots=True)
class Timed(Derived):
    """A day with an hour of it, as ISO 8601 has that ("07:30")."""

    time: str

    def seen(self, today: dt.date, sense: str) -> Days | None:
        return self.base.days(today, sense)


@dataclass(frozen=True, slots=True)
class BySense(Moment):
    """One day in something done, another ahead: "in the morning"."""

    done: Moment
    ahead: Moment

    def at(self, anchor: dt.date) -> Days | None:
        return self.ahead.at(anchor)

    def seen(self, today: dt.date, sense: str) -> Days | None:
        return (self.done if sense == "done" else self.ahead).days(today, sense)


@dataclass(frozen=True, slots=True)
class Shift(Derived):
    """ "a week from friday", "two days before yesterday"; after a stretch counts from its end."""

    steps: Steps
    sign: int = 1

    def seen(self, today: dt.date, sense: str) -> Days | None:
        days = self.base.days(today, sense)
        if days is None:
            return None
        return single(later(days.end if self.sign > 0 else days.start, self.steps, self.sign))


@dataclass(frozen=True, slots=True)
class Coming(Derived):
    """The first that begins after today, whatever the sense: "this coming friday", "next june"."""

    def at(self, anchor: dt.date) -> Days | None:
        return next((found for found in around(self.base, anchor, 1) if found.start > anchor), None)


@dataclass(frozen=True, slots=True)
class Past(Derived):
    """The last that was over before today: "this past friday", "last june"."""

    def at(self, anchor: dt.date) -> Days | None:
        return next((found for found in around(self.base, anchor, -1) if found.end < anchor), None)


@dataclass(frozen=True, slots=True)
class This(Derived):
    """The one that holds today, else the one of this week or year: "this june", "this winter"."""

    def at(self, anchor: dt.date) -> Days | None:
        held = latest(self.base, anchor)
        return held if held and held.end >= anchor else self.base.at(anchor)


@dataclass(frozen=True, slots=True)
class On(Derived):
    """A date with its weekday: "tuesday the 19th", "friday june 11".

    The weekday tells which is meant where the sense does not; where they never agree nearby there is no such day.
    """

    weekday: int

    def seen(self, today: dt.date, sense: str) -> Days | None:
        cycle = self.base.cycle
        if cycle is None:
            days = self.base.days(today, sense)
            return days if days and days.start.weekday() == self.weekday else None
        sign = -1 if sense == "done" else 1
        return self._nearest(today, cycle, sign) or self._nearest(today, cycle, -sign)

    def _nearest(self, today: dt.date, cycle: str, sign: int) -> Days | None:
        reach = WEEKDAY_REACH if cycle == "month" else 366 * ONE
        for many in range(5):
            days = self.base.at(later(start_of(cycle, today), ((many, cycle),), sign))
            if days and days.start.weekday() == self.weekday and 0 * ONE <= (days.start - today) * sign <= reach:
                return days
        return None


@dataclass(frozen=True, slots=True)
class Left(Derived):
    """A stretch cut at today: the "rest" of it, "so far", or only what is "later" or "earlier" than today."""

    which: str

    def seen(self, today: dt.date, sense: str) -> Days | None:
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

    def seen(self, today: dt.date, sense: str) -> Days | None:
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

    def seen(self, today: dt.date, sense: str) -> Days | None:
        days = self.base.days(today, "wanted")
        if days is None:
            return None
        return single(days.start - ONE if self.before else days.end)


@dataclass(frozen=True, slots=True)
class Since(Derived):
    """From the latest such day until today."""

    def seen(self, today: dt.date, sense: str) -> Days | None:
        days = self.base.days(today, "done")
        return stretch(days.start, today) if days and days.start <= today else None
