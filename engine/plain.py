"""Days and figures in the plain lines of workings, as the engine writes them for "why"."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

# Written out so that a day is the same under every locale.
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day(date: dt.date) -> str:
    """A day as "Tue 15 Jun 2027"."""
    return f"{WEEKDAYS[date.weekday()]} {date.day} {MONTHS[date.month - 1]} {date.year}"


def number(value: Decimal | float, places: int = 1) -> str:
    """A number without idle zeros, rounded to so many places."""
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def amount(value: Decimal) -> str:
    """An exact amount without idle zeros."""
    return f"{value.normalize():f}"
