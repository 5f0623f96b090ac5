"""The rules that plans keep to, in words."""

from __future__ import annotations

import datetime as dt

from assistant.wording.text import beds, day, days, plural
from engine.planner.limits import KeepFor, LeaveEmpty, Limit, NoCrop


def rule(limit: Limit) -> str:
    """One rule: "no lettuce goes into Brook from Sun 1 Aug on", "Brook 3 only for carrot", "2 beds of Brook empty Sun 1
    to Tue 31 Aug"."""
    match limit:
        case NoCrop(crop, where, None, None):
            return f"{_what(crop)} in {where}" if where else _what(crop)
        case NoCrop(crop, where, start, end):
            return f"{_what(crop)} {f'goes into {where}' if where else 'is sown or planted'} {_on(start, end)}"
        case KeepFor(bed, crop, None, None):
            return f"{bed} only for {crop}"
        case KeepFor(bed, crop, start, end):
            return f"{bed} only for {crop} {_on(start, end)}"
        case LeaveEmpty():
            return f"{_which(limit)} empty {days(limit.start, limit.end)}"


def _what(crop: str | None) -> str:
    return f"no {crop}" if crop else "nothing"


def _on(start: dt.date | None, end: dt.date | None) -> str:
    """The days: "before Sun 1 Aug", "from Wed 21 Jul on", "Sun 1 to Tue 31 Aug"."""
    if start is not None and end is not None:
        return days(start, end)
    if end is not None:
        return f"before {day(end + dt.timedelta(days=1))}"
    return f"from {day(start)} on" if start is not None else ""


def _which(limit: LeaveEmpty) -> str:
    if limit.beds:
        return beds(limit.beds)
    return plural(limit.count, "bed") + (f" of {limit.plot}" if limit.plot else "")
