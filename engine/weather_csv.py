"""Daily weather from lines of CSV: a head that names its columns, then a day a line. Nothing is guessed."""

from __future__ import annotations

import csv
import datetime as dt
import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from engine.events import Weather

NAMED = {
    "date": "date", "day": "date", "high": "high", "max": "high", "maximum": "high", "tmax": "high", "low": "low",
    "min": "low", "minimum": "low", "tmin": "low", "rain": "rain", "rainfall": "rain", "precipitation": "rain",
}  # fmt: skip
UNITS = {"c": "C", "celsius": "C", "f": "F", "fahrenheit": "F", "mm": "mm", "in": "in", "inch": "in", "inches": "in"}
BESIDE = UNITS.keys() | {"temp", "temperature", "air", "deg", "degrees", "daily", "total"}  # what a name stands with
DELIMITERS = (",", ";", "\t")


@dataclass(frozen=True, slots=True)
class Head:
    """What the first line says: which column holds what, and the units, as far as they are named there."""

    delimiter: str
    columns: dict[str, int]
    unit: str | None = None
    rain_unit: str | None = None


def head_of(line: str) -> Head | None:
    """The head of daily weather (a date and a high or low, perhaps rain), or None for any other line."""
    delimiter = max(DELIMITERS, key=line.count)
    columns: dict[str, int] = {}
    units: dict[str, str] = {}
    for at, cell in enumerate(_cells(line, delimiter)):
        words = re.findall(r"[a-z]+|[0-9]", cell.lower())
        name = next((NAMED[word] for word in words if word in NAMED), None)
        if name is not None and name not in columns and all(word in BESIDE or word in NAMED for word in words):
            columns[name] = at
            units[name] = next((UNITS[word] for word in words if word in UNITS), "")
    if "date" not in columns or not {"high", "low"} & columns.keys():
        return None
    degrees = {units[name] for name in ("high", "low") if units.get(name) in ("C", "F")}
    rain = units.get("rain")
    return Head(
        delimiter, columns, degrees.pop() if len(degrees) == 1 else None, rain if rain in ("mm", "in") else None
    )


def day_of(head: Head, line: str) -> Weather | str:
    """The weather of one line, its date in ISO 8601 and perhaps with empty cells, or what is wrong with it."""
    cells = _cells(line, head.delimiter)
    said = {name: cells[at].strip() for name, at in head.columns.items() if at < len(cells)}
    try:
        date = dt.date.fromisoformat(said.get("date", ""))
        high, low, rain = (_amount(said.get(name), head.delimiter) for name in ("high", "low", "rain"))
    except (ValueError, InvalidOperation):
        return "a date such as 2027-06-14 and plain numbers are needed"
    if high is None and low is None and rain is None:
        return "no high, low or rain in it"
    degrees = None if high is None and low is None else head.unit
    rain_unit = None if rain is None else head.rain_unit
    return Weather(date=date, high=high, low=low, unit=degrees, rain=rain, rain_unit=rain_unit)


def _cells(line: str, delimiter: str) -> list[str]:
    """The cells of one line; a quote that is never closed ends with it."""
    return next(csv.reader([line], delimiter=delimiter), [])


def _amount(text: str | None, delimiter: str) -> Decimal | None:
    """A number, where cells are not parted by commas also with a decimal comma."""
    if not text:
        return None
    number = Decimal(text if delimiter == "," else text.replace(",", "."))
    if not number.is_finite():
        raise ValueError(text)
    return number
