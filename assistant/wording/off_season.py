"""Why a crop does not go in now, in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from assistant.wording.text import day, days, names
from engine.in_season import AUTUMN, FROST, OutOfSeason


def off_season(off: Iterable[OutOfSeason], today: dt.date) -> list[str]:
    """What does not go in now, crops of one reason together."""
    lines: dict[str, list[str]] = {}
    for one in off:
        lines.setdefault(why_off(one, today), []).append(one.crop)
    return [f"Not {names(crops)}: {why}." for why, crops in lines.items()]


def why_off(off: OutOfSeason, today: dt.date) -> str:
    """The reason of one crop, with its season where it has one."""
    if off.reason == AUTUMN and off.first and off.last:
        return f"it goes in once a year, {days(off.first, off.last, today)}, ready about {day(off.ready, today)}"
    if off.reason == FROST:
        return "frost usually comes first"
    return "winter comes first"
