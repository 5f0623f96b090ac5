"""Days as said: what the rules of dates.lark mean.

The builders of single days are in singles.py, of stretches in stretches.py; here is what stands around them.
"""

from __future__ import annotations

from typing import Any

from grammar import clocks, repeats, singles, stretches, weekdays
from grammar.calendar import Moment
from grammar.chart import Builder
from grammar.clocks import Clock, half_clock, half_in
from grammar.reckoning import First, Part
from grammar.settled import Deadline, Since, Span


def the_moment(*said: Any) -> Moment | None:
    """The day among what was said, with its hour where that is clear, whatever little words stand around it."""
    day = next((part for part in said if isinstance(part, Moment)), None)
    hour = next((part for part in said if isinstance(part, Clock)), None)
    if day is None or hour is None:
        return day
    return singles.timed(day, half_clock(half_in(said) or "", hour))


# ---- limits ---------------------------------------------------------------------------------------------------------
def until(_: str, base: Moment) -> Moment | None:
    return None if isinstance(base, Span) else Deadline(base)


def by_day(base: Moment) -> Moment:
    return Deadline(base)


def before_day(base: Moment) -> Moment:
    """ "before friday"; "before the end of june" is no earlier than by its end."""
    return Deadline(base, before=not (isinstance(base, Part) and base.part == "late"))


def since(_: str, base: Moment) -> Moment:
    return Since(base)


def starting(_: str, base: Moment) -> Moment | None:
    """ "from monday to friday" is a stretch, not a beginning."""
    return None if isinstance(base, Span) else First(base)


BUILDERS: dict[str, Builder] = {
    **singles.BUILDERS,
    **weekdays.BUILDERS,
    **stretches.BUILDERS,
    **repeats.BUILDERS,
    **clocks.BUILDERS,
    "when": the_moment,
    "other_frost": the_moment,
    "day": the_moment,
    "timed": the_moment,
    "timed_before": the_moment,
    "until": until,
    "since": since,
    "by_day": by_day,
    "before_day": before_day,
    "starting": starting,
    "the_day_said": the_moment,
}
