"""The rules that plans keep to, in words."""

from __future__ import annotations

from assistant.wording.text import beds, days, plural
from engine.planner.limits import KeepFor, LeaveEmpty, Limit, NoCrop


def rule(limit: Limit) -> str:
    """One rule: "no lettuce in Brook", "Brook 3 only for carrot", "2 beds of Brook empty Sun 1 to Tue 31 Aug"."""
    match limit:
        case NoCrop(crop, where):
            return f"no {crop} in {where}" if where else f"no {crop}"
        case KeepFor(bed, crop):
            return f"{bed} only for {crop}"
        case LeaveEmpty():
            return f"{_which(limit)} empty {days(limit.start, limit.end)}"


def _which(limit: LeaveEmpty) -> str:
    if limit.beds:
        return beds(limit.beds)
    return plural(limit.count, "bed") + (f" of {limit.plot}" if limit.plot else "")
