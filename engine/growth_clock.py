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
from dataclasses import dataclass
from math import sqrt

from engine.crops import CropFacts
from engine.daylength import pace
from engine.degree_days import single_sine
from engine.emergence import season_of
from engine.weather import LOGGED, NEARBY, WeatherBook

PRINTED_SEASON = {"spring": (20.5, 9.5), "summer": (28.0, 16.0)}  # high and low in C of a day that printed days count
LONGEST_WAIT = 550  # days; a crop that is not there by then is not coming

# Spread of the unknown, all our estimates: a day's mean differs from the monthly normal by 2.5 C, and warm or cold
# spells of about five days do not cancel out; days filled from the log nearby differ less; a day with nothing known
# may grow 15 % more or less, and all such days together.
NORMAL_SPREAD_C, NEARBY_SPREAD_C, SPELL_DAYS, UNKNOWN_SPREAD = 2.5, 1.5, 5.0, 0.15

HOT_DAY = 28.0  # C day high from which crops without their own figure age faster
HEAT_AGES = 0.12  # the extra share of ageing for each C of the day high above that; our estimate


@dataclass(frozen=True, slots=True)
class Year:
    """Running sums over one year: growth, its variance, and days without any temperature, from 0 on 1 January."""

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
        return self._sum("grown", start, end)

    def spread(self, start: dt.date, end: dt.date) -> float:
        """The standard deviation of that growth from temperatures that were not logged, in printed days."""
        if end <= start:
            return 0.0
        unknown = UNKNOWN_SPREAD * self._sum("unknown", start, end)
        return sqrt(self._sum("variance", start, end) + unknown * unknown)

    def reached(self, start: dt.date, amount: float) -> dt.date:
        """The first morning by which `amount` printed days have grown since start; at most 550 days on."""
        last, year = start + dt.timedelta(days=LONGEST_WAIT), start.year
        target = amount + self._year(year).grown[_place(start)]
        while year <= last.year:
            sums = self._year(year).grown
            if sums[-1] >= target:
                return min(last, max(start, _date(year, bisect_left(sums, target - 1e-9))))
            target, year = target - sums[-1], year + 1
        return last

    def degree_days(self, start: dt.date, end: dt.date) -> float:
        """The same growth as degree days in C."""
        return self.grown(start, end) * self.printed

    def _sum(self, what: str, start: dt.date, end: dt.date) -> float:
        total = -float(getattr(self._year(start.year), what)[_place(start)])
        for year in range(start.year, end.year):
            total += getattr(self._year(year), what)[-1]
        return total + float(getattr(self._year(end.year), what)[_place(end)])

    def _year(self, year: int) -> Year:
        key = ("growth", self.base, self.upper, self.printed, self.ageing_above, year)
        sums: Year | None = self.book.memo.get(key)
        if sums is None:
            sums = self.book.memo[key] = self._summed(year)
        return sums

    def _summed(self, year: int) -> Year:
        grown, variance, unknown = [0.0], [0.0], [0]
        normal, nearby = (spread / self.printed for spread in (NORMAL_SPREAD_C, NEARBY_SPREAD_C))
        spreads = {LOGGED: 0.0, NEARBY: SPELL_DAYS * nearby * nearby}
        for high, low, source, share in _days_of(self.book, year):
            grown.append(grown[-1] + self._one_day(high, low) * share)
            known = source != ""
            variance.append(variance[-1] + (spreads.get(source, SPELL_DAYS * normal * normal) if known else 0.0))
            unknown.append(unknown[-1] + (not known))
        return Year(tuple(grown), tuple(variance), tuple(unknown))

    def _one_day(self, high: float | None, low: float | None) -> float:
        if high is None or low is None:
            return 1.0
        rate = single_sine(high, low, self.base, self.upper) / self.printed
        if self.ageing_above is None:
            return rate
        return rate * (1 + HEAT_AGES * max(0.0, high - self.ageing_above))


Measured = tuple[float | None, float | None, str, float]  # high, low, source, share of full growth by day length


def _days_of(book: WeatherBook, year: int) -> list[Measured]:
    key = ("days", year)
    if key not in book.memo:
        dates = [_date(year, place) for place in range(366 if calendar.isleap(year) else 365)]
        book.memo[key] = [_measured(book, date) for date in dates]
    kept: list[Measured] = book.memo[key]
    return kept


def _measured(book: WeatherBook, date: dt.date) -> Measured:
    day, share = book.day(date), pace(book.latitude, date)
    return (day.high, day.low, day.source, share) if day else (None, None, "", share)


def _place(date: dt.date) -> int:
    return date.timetuple().tm_yday - 1


def _date(year: int, place: int) -> dt.date:
    return dt.date(year, 1, 1) + dt.timedelta(days=place)


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
