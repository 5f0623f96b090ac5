"""Growth counted in days of the crop's printed season.

Printed days to maturity belong to a season: spring days of 15 C on average for cool crops, summer days of 22 C
for warm ones. One such day is the unit here. A real day counts as its degree days over those of a printed day, slowed
on short days; a day without any temperature counts as one. So forty printed days stay forty days where nothing is
known, and become about twenty in midsummer heat.
"""

from __future__ import annotations

import calendar
import datetime as dt
from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt

from engine.crops import CropFacts
from engine.daylength import pace
from engine.degree_days import single_sine
from engine.emergence import season_of
from engine.weather import EARLIER, LOGGED, NEARBY, NONE, NORMAL, WeatherBook

PRINTED_SEASON = {"spring": (20.5, 9.5), "summer": (28.0, 16.0)}  # high and low in C of a day that printed days count
LONGEST_WAIT = 550  # days; a crop that is not there by then is not coming

# Spread of the unknown, all our estimates: a day's mean differs from the monthly normal by 2.5 C, and warm or cold
# spells of about five days do not cancel out; days filled from the log nearby differ less; a day with nothing known
# may grow 15 % more or less, and all such days together. Where no temperature is known at all, what harvests have
# taught of the crop's days holds all that (`ready.py`).
NORMAL_SPREAD_C, NEARBY_SPREAD_C, SPELL_DAYS, UNKNOWN_SPREAD = 2.5, 1.5, 5.0, 0.15

HOT_DAY = 28.0  # C day high from which crops without their own figure age faster
HEAT_AGES = 0.12  # the extra share of ageing for each C of the day high above that; our estimate


@dataclass(frozen=True, slots=True)
class Month:
    """Running sums over one month, from 0 on the morning of the 1st: growth, its variance, days with no temperature."""

    grown: tuple[float, ...]
    variance: tuple[float, ...]
    unknown: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Clock:
    """Growth of one crop under one weather book; `ageing` counts standing crops, which heat spoils beyond growth."""

    book: WeatherBook
    base: float
    upper: float
    printed: float  # degree days of one printed day
    ageing_above: float | None = None

    def grown(self, start: dt.date, end: dt.date) -> float:
        """Printed days grown from the morning of start to the morning of end; negative where end is earlier."""
        if end < start:
            return -self.grown(end, start)
        return sum(month.grown[last] - month.grown[first] for month, first, last in self._months(start, end))

    def spread(self, start: dt.date, end: dt.date) -> float:
        """The standard deviation of that growth from temperatures that were not logged, in printed days."""
        variance, unknown = 0.0, 0
        for month, first, last in self._months(start, end):
            variance += month.variance[last] - month.variance[first]
            unknown += month.unknown[last] - month.unknown[first]
        return sqrt(variance + (UNKNOWN_SPREAD * unknown) ** 2)

    def reached(self, start: dt.date, amount: float) -> dt.date:
        """The first morning by which `amount` printed days have grown since start; at most 550 days on."""
        last = start + dt.timedelta(days=LONGEST_WAIT)
        for month, first, end in self._months(start, last):
            target = month.grown[first] + amount
            if month.grown[end] >= target - JUST:
                return start + dt.timedelta(days=bisect_left(month.grown, target - JUST, first) - first)
            amount -= month.grown[end] - month.grown[first]
            start += dt.timedelta(days=end - first)
        return last

    def degree_days(self, start: dt.date, end: dt.date) -> float:
        """The same growth as degree days in C."""
        return self.grown(start, end) * self.printed

    def _months(self, start: dt.date, end: dt.date) -> Iterator[tuple[Month, int, int]]:
        """The months from start to end, each with the first and the last morning that count in it, from 0."""
        year, number = start.year, start.month
        while (year, number) <= (end.year, end.month):
            month = self._month(year, number)
            first = start.day - 1 if (year, number) == (start.year, start.month) else 0
            last = end.day - 1 if (year, number) == (end.year, end.month) else len(month.grown) - 1
            yield month, first, last
            year, number = (year + 1, 1) if number == 12 else (year, number + 1)

    def _month(self, year: int, number: int) -> Month:
        key = (self.base, self.upper, self.printed, self.ageing_above, year, number)
        sums: Month | None = self.book.sums.get(key)
        if sums is None:
            sums = self.book.sums[key] = self._summed(year, number)
        return sums

    def _summed(self, year: int, number: int) -> Month:
        grown, variance, unknown = [0.0], [0.0], [0]
        normal, nearby = (SPELL_DAYS * (spread / self.printed) ** 2 for spread in (NORMAL_SPREAD_C, NEARBY_SPREAD_C))
        spreads = {LOGGED: 0.0, NORMAL: normal, NEARBY: nearby, EARLIER: normal, NONE: 0.0}
        for high, low, source, share in _days_of(self.book, year, number):
            grown.append(grown[-1] + self._one_day(high, low) * share)
            variance.append(variance[-1] + spreads[source])
            unknown.append(unknown[-1] + (source == NONE and self.book.knows_days))
        return Month(tuple(grown), tuple(variance), tuple(unknown))

    def _one_day(self, high: float | None, low: float | None) -> float:
        if high is None or low is None:
            return 1.0
        rate = single_sine(high, low, self.base, self.upper) / self.printed
        if self.ageing_above is None or high <= self.ageing_above:
            return rate
        return rate * (1 + HEAT_AGES * (high - self.ageing_above))


JUST = 1e-9  # printed days; what sums of floats may differ by
Measured = tuple[float | None, float | None, str, float]  # high, low, source, share of full growth by day length


def _days_of(book: WeatherBook, year: int, number: int) -> list[Measured]:
    key = ("days", year, number)
    if key not in book.sums:
        length = calendar.monthrange(year, number)[1]
        book.sums[key] = [_measured(book, dt.date(year, number, day)) for day in range(1, length + 1)]
    kept: list[Measured] = book.sums[key]
    return kept


def _measured(book: WeatherBook, date: dt.date) -> Measured:
    day, share = book.day(date), pace(book.latitude, date)
    return (day.high, day.low, day.source, share) if day else (None, None, NONE, share)


def growth_clock(facts: CropFacts, book: WeatherBook, *, ageing: bool = False, figure: str = "days") -> Clock:
    """The clock of a crop; a grower's own days belong to the warm half of the year, where the normals are known."""
    base, upper = facts.number("base_temperature"), facts.number("upper_temperature")
    high, low = PRINTED_SEASON[season_of(facts)]
    own = facts.figures.get(figure)
    if own and own.how == "yours" and book.normals:
        mean = book.normals.warm_half_mean()
        high, low = (mean + 5.5, mean - 5.5) if mean is not None and mean > base + 2 else (high, low)
    printed = single_sine(high, low, base, max(upper, base + 5))
    above = facts.number("bolts_above", HOT_DAY) if ageing else None
    return Clock(book, base, max(upper, base + 5), printed, above)
