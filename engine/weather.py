"""The weather that growth is worked out from: what was logged, else the farm's monthly normals, else nothing.

`weather_book(view)` gathers it once for a question. A day with no temperature at all counts as a plain day of the
crop's printed season, so every forecast stands without weather too, only wider.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from functools import lru_cache
from typing import Any

from engine.events import CoolerReading, Event, Weather
from engine.normals import (
    Normals,
    celsius,
    impossible_months,
    normals_of,
    temperature_unit,
)
from engine.state import Season
from engine.view import View

LOOK_BACK = dt.timedelta(days=2 * 366)  # as long as a past planting keeps its pickings
NEARBY_DAYS = 10  # a gap in the log is filled from logged days this near, where there are no normals
INCH_MM = Decimal("25.4")
TENDER_OUT = dt.timedelta(days=21)  # before the usual last frost; earlier even covers do not save it, common practice
USUAL_SWING = 11.0  # C between high and low where only one of them was logged; our estimate

LOGGED, NORMAL, NEARBY, EARLIER, NONE = (
    "logged", "monthly averages", "logged days nearby", "logged days of earlier years", "none",
)  # fmt: skip
YEARS_BACK = (1, 2)  # whose days of the same time of the year stand in where nothing nearer was logged


@dataclass(frozen=True, slots=True)
class Day:
    """One day's high and low in C and where they come from."""

    high: float
    low: float
    source: str

    @property
    def mean(self) -> float:
        return (self.high + self.low) / 2


@dataclass(slots=True)
class WeatherBook:
    """Temperatures of any day as known on `today`, the farm's latitude, the usual month and day of its first frost and
    its last one, and the cooler's readings (day, C).

    `sums` keeps what growth has summed up from these temperatures, `memo` what one question has learned of the season.
    """

    today: dt.date
    logged: dict[dt.date, tuple[float, float]] = field(default_factory=dict)
    normals: Normals | None = None
    latitude: float | None = None
    first_frost: tuple[int, int] | None = None
    cooler: tuple[tuple[dt.date, float], ...] = ()
    notes: tuple[str, ...] = ()
    last_frost: tuple[int, int] | None = None
    memo: dict[Any, Any] = field(default_factory=dict)
    sums: dict[Any, Any] = field(default_factory=dict)

    def day(self, date: dt.date) -> Day | None:
        """High and low of a day: logged, else usual for the month, else of logged days nearby, in this year or in one
        before, else None."""
        if date in self.logged:
            return Day(*self.logged[date], LOGGED)
        usual = self.normals.day(date) if self.normals else None
        if usual:
            return Day(round(usual[0], 1), round(usual[1], 1), NORMAL)
        if not self.logged:
            return None
        return self._nearby(date, (0,), NEARBY) or self._nearby(date, YEARS_BACK, EARLIER)

    def _nearby(self, date: dt.date, years_back: tuple[int, ...], source: str) -> Day | None:
        """The mean of the days logged within ten days of that day of those years."""
        middles = [date - dt.timedelta(days=round(365.25 * years)) for years in years_back]
        around = [
            middle + dt.timedelta(days=away) for middle in middles for away in range(-NEARBY_DAYS, NEARBY_DAYS + 1)
        ]
        known = [self.logged[near] for near in around if near in self.logged]
        if not known:
            return None
        return Day(_mean(high for high, _ in known), _mean(low for _, low in known), source)

    def frost_after(self, date: dt.date) -> dt.date | None:
        """The next usual first frost after a day, None where the farm has not said when it comes."""
        return _next(self.first_frost, date)

    def freezes(self, date: dt.date) -> bool:
        """Whether what bears no frost is usually killed if put out on the day: between the first frost and three weeks
        before the last one. False where the farm has not said both."""
        last, first = _next(self.last_frost, date + TENDER_OUT), _next(self.first_frost, date)
        return last is not None and first is not None and last < first

    @property
    def knows_days(self) -> bool:
        """Whether any temperature is known, of a day or of a usual month."""
        return bool(self.logged) or self.normals is not None

    def basis(self, start: dt.date, end: dt.date) -> dict[str, int]:
        """How many of the days from start to end (both included) have which kind of temperature ("none" too)."""
        counts: dict[str, int] = {}
        for away in range((end - start).days + 1):
            source = self._source(start + dt.timedelta(days=away))
            counts[source] = counts.get(source, 0) + 1
        return counts

    def _source(self, date: dt.date) -> str:
        if date in self.logged:
            return LOGGED
        if date not in self.sums:
            day = self.day(date)
            self.sums[date] = day.source if day else NONE
        source: str = self.sums[date]
        return source


def _next(usual: tuple[int, int] | None, after: dt.date) -> dt.date | None:
    """The next such day of the year after a day, None where there is none."""
    if usual is None:
        return None
    month, day = usual
    days = (dt.date(year, month, min(day, 28) if month == 2 else day) for year in (after.year, after.year + 1))
    return next(one for one in days if one > after)


def _mean(values: Iterable[float]) -> float:
    numbers = list(values)
    return round(sum(numbers) / len(numbers), 1)


def weather_book(view: View) -> WeatherBook:
    """The weather as the book has it on the view's day: two years of logged days, normals, latitude, cooler."""
    season = view.season()
    facts = view.facts(view.today - LOOK_BACK, view.today, kinds=("weather", "cooler_reading"))
    return book_of((fact.event for fact in facts), season, view.today)


def book_of(events: Iterable[Event], season: Season, today: dt.date) -> WeatherBook:
    """The same from events at hand; days that cannot be true are left out with a note."""
    unit = temperature_unit(season.settings)
    normals = normals_of(season.settings)
    logged: dict[dt.date, tuple[float, float]] = {}
    readings: list[tuple[dt.date, float]] = []
    notes = [
        f"left out the averages of {month.title()}: the low is above the high"
        for month in impossible_months(season.settings)
    ]
    for event in events:
        match event:
            case Weather():
                pair = _pair(event, unit, normals)
                if pair:
                    logged[event.date] = pair
                elif event.high is not None or event.low is not None:
                    notes.append(f"left out the weather of {event.date}: it cannot have been that")
            case CoolerReading():
                degrees = celsius(event.temperature, event.unit)
                if degrees is not None:
                    readings.append((event.date, degrees))
    latitude = latitude_of(season.settings)
    return WeatherBook(
        today, logged, normals, latitude, frost_of(season.settings), tuple(readings), tuple(notes),
        frost_of(season.settings, "last_frost"), sums=_sums_of(tuple(logged.items()), normals, latitude),
    )  # fmt: skip


@lru_cache(maxsize=2)
def _sums_of(logged: tuple[Any, ...], normals: Normals | None, latitude: float | None) -> dict[Any, Any]:
    """One place for the sums of the same temperatures, so that the next question need not add them up again."""
    return {}


def _pair(event: Weather, unit: str, normals: Normals | None) -> tuple[float, float] | None:
    """High and low in C of a logged day; a missing one is taken from the usual swing of the month."""
    said = event.unit or unit
    high, low = celsius(event.high, said), celsius(event.low, said)
    if (high is None and event.high is not None) or (low is None and event.low is not None):
        return None
    usual = normals.day(event.date) if normals else None
    swing = usual[0] - usual[1] if usual else USUAL_SWING
    if high is None and low is not None:
        high = low + swing
    if low is None and high is not None:
        low = high - swing
    return (high, low) if high is not None and low is not None and low <= high else None


def latitude_of(settings: dict[str, Any]) -> float | None:
    """The farm's latitude in degrees, south negative, or None where it is not set or cannot be one."""
    said = str(settings.get("latitude", "")).strip()
    south = said[-1:].upper() == "S"
    try:
        degrees = float(said.rstrip("NSns° "))
    except ValueError:
        return None
    return (-degrees if south else degrees) if -90 <= degrees <= 90 else None


def frost_of(settings: dict[str, Any], which: str = "first_frost") -> tuple[int, int] | None:
    """Month and day of the usual first frost of autumn (or `last_frost` of spring), None where that is not set."""
    parts = str(settings.get(which, "")).split("-")[-2:]
    try:
        day = dt.date(2028, *map(int, parts))  # a leap year, so that 29 February can be said
    except (TypeError, ValueError):
        return None
    return day.month, day.day


def rain_mm(event: Weather) -> Decimal:
    """The rain of a day in mm, 0 where none was said."""
    if event.rain is None:
        return Decimal(0)
    return event.rain * INCH_MM if event.rain_unit == "in" else event.rain
