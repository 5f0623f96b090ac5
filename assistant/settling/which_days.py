"""Which days a question is about: as said, moved on from the last question's, or those that go without saying."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from dataclasses import replace

from assistant.settling.scene import Scene
from engine.asks import Ask
from grammar.calendar import DayOfMonth, Following
from grammar.said import Clause, Days

LOOKS_BACK = frozenset(("recap", "last_time", "money", "trace"))
AHEAD_PAPERS = frozenset(("calendar", "sheet"))
STRETCHES = frozenset(("recap", "money", "ahead", "to_sow", "papers"))
ONE_DAY = frozenset(("free_beds", "can_sell", "to_harvest", "to_do"))
SAID_BY = ("when", "by_day", "how_far", "since", "starting", "until")  # the phrases that say a day
OF_SAME_DAYS = ONE_DAY | {"recap", "money", "orders"}  # what a second question of a line asks of the days of the first
WEEKS_AHEAD = 21
# Farther than any plan or book, a slip of the tongue more likely than not; sowings are reckoned day by day until then.
FARTHEST_AHEAD, FARTHEST_BACK = dt.timedelta(days=5 * 366), dt.timedelta(days=100 * 366)


def with_days(ask: Ask, clause: Clause, scene: Scene, said: str, near: dt.date | None = None) -> Ask:
    """The question on the days that the clause says; without a day on those that it must mean.

    A day of the month alone ("the 30th") is that of the month of `near`, if that is given.
    """
    days = days_said(ask.topic, clause, scene, near) or _asked_before(ask.topic, scene)
    if days is not None:
        scene.asked_days = days
    if days is None and ask.topic in ("recap", "money"):
        days = _unsaid_stretch(ask, said, scene.today)
    if ask.plan:
        days = _planned_stretch(days, said, scene)
    if days is None:
        return _without_days(ask, scene.today)
    return on_days(ask, days)


def _asked_before(topic: str, scene: Scene) -> Days | None:
    """ "What's to pick tomorrow, and who is it for": the days that its line asked of, on the same side of today."""
    days = scene.asked_days
    if days is None or topic not in OF_SAME_DAYS or (topic in LOOKS_BACK) != (days.end < scene.today):
        return None
    return days


def _planned_stretch(days: Days | None, said: str, scene: Scene) -> Days:
    """The days to plan: the season up to the first frost, if it was told; else those said, or those of the last plan,
    or three weeks."""
    today, last = scene.today, scene.memory.ask
    of_season = re.search(r"\bseason\b", said, re.I) is not None
    frost = _first_frost(scene) if of_season else None
    if frost and (days is None or days.start <= today <= days.end):
        return Days(today, frost, single=False)
    if days is not None:
        return replace(days, start=max(days.start, min(today, days.end)))
    if of_season:
        return Days(today, today.replace(month=12, day=31), single=False)
    if last is not None and last.plan and last.start and last.end:
        return Days(last.start, last.end, single=False)
    return Days(today, today + dt.timedelta(days=WEEKS_AHEAD - 1), single=False)


def _first_frost(scene: Scene) -> dt.date | None:
    """The next average first frost."""
    told = str(scene.season().settings.get("first_frost", ""))
    try:
        frost = dt.date.fromisoformat(f"{scene.today.year}-{told}")
    except ValueError:
        return None
    return frost if frost >= scene.today else frost.replace(year=frost.year + 1)


def on_days(ask: Ask, days: Days) -> Ask:
    """The question about these days, as a stretch where its topic wants one."""
    if ask.topic in STRETCHES or not days.single:
        return replace(ask, date=None, start=days.start, end=days.end)
    return replace(ask, date=days.start, start=None, end=None)


def days_said(topic: str, clause: Clause, scene: Scene, near: dt.date | None = None) -> Days | None:
    """The days that the clause says, in the month of `near`; None where it says none, or none that there is."""
    year = clause.part("paper_year")
    if year is not None:
        return Days(dt.date(year.value, 1, 1), dt.date(year.value, 12, 31), single=False)
    sense = "done" if topic in LOOKS_BACK or _is_of_the_past(topic, clause) else "asked"
    for type_ in SAID_BY:
        part = clause.part(type_)
        if part is None:
            continue
        in_month = part.value.at(near) if near and isinstance(part.value, DayOfMonth) else None
        days = in_month or scene.days_of(part.value, sense)
        if days is None:
            continue
        if type_ in ("since", "starting") and topic != "trace":
            return Days(days.start, scene.today, single=False)
        if (type_ == "until" or (type_ == "by_day" and topic == "ahead")) and days.end >= scene.today:
            return Days(scene.today, days.end, single=False)
        if type_ == "by_day" and not days.single:
            return Days(days.end, days.end)
        return days
    return None


def _is_of_the_past(topic: str, clause: Clause) -> bool:
    """Papers are of what was, but for the calendar and the field sheet."""
    paper = clause.part("paper") or clause.part("paper_named")
    return topic == "papers" and (paper is None or paper.value not in AHEAD_PAPERS)


def _unsaid_stretch(ask: Ask, said: str, today: dt.date) -> Days:
    """ "weekly recap", "monthly recap", "recap of the day"; with nothing said the week, or for money the month."""
    if re.search(r"\b(daily|today'?s|day)\b", said, re.I):
        return Days(today, today)
    if re.search(r"\b(month(ly)?)\b", said, re.I) or (ask.topic == "money" and "week" not in said.lower()):
        last = calendar.monthrange(today.year, today.month)[1]
        return Days(today.replace(day=1), today.replace(day=last), single=False)
    if re.search(r"\b(year(ly)?|season)\b", said, re.I):
        return Days(today.replace(month=1, day=1), today.replace(month=12, day=31), single=False)
    monday = today - dt.timedelta(days=today.weekday())
    return Days(monday, monday + dt.timedelta(days=6), single=False)


def _without_days(ask: Ask, today: dt.date) -> Ask:
    """A question without a day means today where it must mean some day."""
    if ask.topic in ONE_DAY:
        return replace(ask, date=today)
    if ask.topic == "ahead":
        return replace(ask, start=today, end=today + dt.timedelta(days=WEEKS_AHEAD - 1))
    if ask.topic in ("to_sow", "orders"):
        return replace(ask, start=today, end=today + dt.timedelta(days=6))
    return ask


_SHIFT = re.compile(r"\b(?:(?:the|a|one) )?(day|week|month) (later|before|after|earlier)\b(?! last| next)", re.I)

_NEXT = re.compile(r"(?:(?:and|so) )?(?:(?:what|how) about )?(?:for )?(?:the )?next(?: one)?\W*", re.I)


def shifted(last: Ask, said: str) -> Days | None:
    """ "and a week later?", "and the week before?": the days asked about last, moved on or back."""
    found = _SHIFT.search(said)
    if not (found or _NEXT.fullmatch(said)) or not (last.date or (last.start and last.end)):
        return None
    start, end = last.days(dt.date.min)
    if found is None:
        return _next_after(start, end)
    steps = 1 if found[2].lower() in ("later", "after") else -1
    if found[1].lower() == "month":
        from dateutil.relativedelta import relativedelta

        return Days(start + relativedelta(months=steps), end + relativedelta(months=steps), single=start == end)
    move = dt.timedelta(days=steps * (7 if found[1].lower() == "week" else 1))
    return Days(start + move, end + move, single=last.date is not None)


def _next_after(start: dt.date, end: dt.date) -> Days:
    """The day, week or month after such a one."""
    from dateutil.relativedelta import relativedelta

    if start.day == 1 and end + dt.timedelta(days=1) == start + relativedelta(months=1):
        return Days(end + dt.timedelta(days=1), start + relativedelta(months=2, days=-1))
    move = end - start + dt.timedelta(days=1)
    return Days(start + move, end + move, single=start == end)


def no_such_day(topic: str, clause: Clause, scene: Scene) -> bool:
    """Whether a day was said that there is not ("february 30th", "9999 years ago")."""
    said = [part.value for type_ in SAID_BY if (part := clause.part(type_)) is not None]
    return any(not isinstance(when, Following) for when in said) and days_said(topic, clause, scene) is None


def far_off(ask: Ask, today: dt.date) -> bool:
    """Whether a day is asked about that no plan reaches, or that is before anybody's book."""
    days = [day for day in (ask.date, ask.start, ask.end, ask.by) if day is not None]
    return any(day - today > FARTHEST_AHEAD or today - day > FARTHEST_BACK for day in days)
