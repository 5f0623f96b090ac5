"""The farm's monthly average temperatures, made daily so that each month keeps its mean."""

from __future__ import annotations

import calendar
import datetime as dt
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

Months = tuple[float | None, ...]
MONTHS = ("january", "february", "march", "april", "may", "june", "july", "august", "september", "october",
          "november", "december")  # fmt: skip
COLDEST, HOTTEST = -60.0, 60.0  # C; colder or hotter has not been measured where anything is grown


@dataclass(frozen=True, slots=True)
class Normals:
    """Average daily highs and lows of each month in C, January first; None for a month that nobody has said."""

    highs: Months
    lows: Months

    def day(self, date: dt.date) -> tuple[float, float] | None:
        """The usual high and low of a day in C, or None in a month without figures."""
        high, low = _daily(self.highs, date), _daily(self.lows, date)
        return None if high is None or low is None else (max(high, low), low)

    def warm_half_mean(self) -> float | None:
        """The mean temperature of the six warmest months in C, None with fewer than six known."""
        both = zip(self.highs, self.lows, strict=True)
        means = sorted((high + low) / 2 for high, low in both if high is not None and low is not None)
        return sum(means[-6:]) / 6 if len(means) >= 6 else None


def normals_of(settings: dict[str, Any]) -> Normals | None:
    """The monthly averages among the farm's settings, or None where there are none that can be true.

    Read are `monthly_highs` and `monthly_lows` (twelve numbers, January first) and single months such as
    `average_high_june`, in the farm's temperature unit.
    """
    unit = temperature_unit(settings)
    highs, lows = _months(settings, "high", unit), _months(settings, "low", unit)
    together = [
        (h, w) if h is not None and w is not None and w <= h else (None, None) for h, w in zip(highs, lows, strict=True)
    ]
    if not any(high is not None for high, _ in together):
        return None
    return Normals(tuple(high for high, _ in together), tuple(low for _, low in together))


def impossible_months(settings: dict[str, Any]) -> tuple[str, ...]:
    """The months whose averages are left out because the low lies above the high."""
    unit = temperature_unit(settings)
    pairs = zip(MONTHS, _months(settings, "high", unit), _months(settings, "low", unit), strict=True)
    return tuple(month for month, high, low in pairs if high is not None and low is not None and low > high)


def temperature_unit(settings: dict[str, Any]) -> str:
    """ "F" or "C": the farm's setting, C where it has none."""
    for name in ("temperature_unit", "temperature", "temperatures", "units"):
        said = str(settings.get(name, "")).strip().lower()
        if said in ("f", "fahrenheit", "imperial", "us"):
            return "F"
        if said in ("c", "celsius", "metric"):
            return "C"
    return "C"


def celsius(value: Any, unit: str | None) -> float | None:
    """A temperature in C, None where it is no number or cannot be."""
    try:
        degrees = float(value)
    except (TypeError, ValueError):
        return None
    if unit == "F":
        degrees = (degrees - 32) * 5 / 9
    return degrees if COLDEST <= degrees <= HOTTEST else None


def _months(settings: dict[str, Any], side: str, unit: str) -> Months:
    for name in (f"monthly_{side}s", f"average_{side}s", f"normal_{side}s", f"{side}s"):
        value = settings.get(name)
        if isinstance(value, list | tuple) and len(value) == 12:
            return tuple(celsius(number, unit) for number in value)
    single = {name: value for name, value in settings.items() if side in name.lower()}
    return tuple(_month(single, month, unit) for month in MONTHS)


def _month(single: dict[str, Any], month: str, unit: str) -> float | None:
    for name, value in single.items():
        words = name.lower().replace("_", " ").split()
        if month in words or month[:3] in words:
            return celsius(value, unit)
    return None


def _daily(months: Months, date: dt.date) -> float | None:
    """The value of a day on a curve that is continuous over the year and keeps each month's mean.

    In each month a straight line between the edges (the mean of the two months that meet there) plus an arc that
    brings the month's days to their mean.
    """
    return _month_days(months, date.year, date.month)[date.day - 1]


@lru_cache(maxsize=2048)
def _month_days(months: Months, year: int, month: int) -> tuple[float | None, ...]:
    mean, length = months[month - 1], calendar.monthrange(year, month)[1]
    if mean is None:
        return (None,) * length
    before, after = months[month - 2], months[month % 12]
    start = mean if before is None else (before + mean) / 2
    end = mean if after is None else (mean + after) / 2
    places = [(day + 0.5) / length for day in range(length)]
    arcs = [place * (1 - place) for place in places]
    arc = (mean - (start + end) / 2) / (sum(arcs) / length)
    return tuple(start + (end - start) * place + arc * bow for place, bow in zip(places, arcs, strict=True))
