"""The reckoning of days against the calendar standard and a reference library.

- ISO 8601: weeks run Monday to Sunday and week 1 holds the year's first Thursday; by Python's `date.isocalendar`, and
  by single days noted below.
- python-dateutil: `relativedelta` for months and weekdays, `rrule` (RFC 5545 recurrence rules) for "the third tuesday".
- Title 5 of the US Code, section 6103, for holidays that fall on a weekday of a month.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from typing import Any

import pytest
from dateutil.relativedelta import FR, MO, SA, SU, TH, TU, WE, relativedelta
from dateutil.rrule import MONTHLY, YEARLY, rrule

from grammar import measures
from grammar.said import Days

REFERENCE = Path("/work/shared/reference")
WEEKDAYS = {"monday": MO, "tuesday": TU, "wednesday": WE, "thursday": TH, "friday": FR, "saturday": SA, "sunday": SU}
NTH = {"first": 1, "second": 2, "third": 3, "fourth": 4, "last": -1}
# Days of every weekday, at month and year ends, in leap years and beside them.
TODAYS = [dt.date(2027, 6, 16) + dt.timedelta(days=37 * step) for step in range(24)] + [
    dt.date(2028, 2, 29),
    dt.date(2026, 12, 31),
    dt.date(2027, 1, 1),
    dt.date(2027, 1, 31),
    dt.date(2027, 3, 31),
]


def meant(phrase: str, today: dt.date, sense: str = "asked") -> Days:
    found: Days = measures.readings(phrase, "when")[0].days(today, sense)
    return found


# ---- ISO 8601 -------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("year", "week", "monday"),
    [
        (2004, 1, dt.date(2003, 12, 29)),  # the example in Python's own documentation of date.isocalendar
        (2009, 1, dt.date(2008, 12, 29)),  # 2008-12-29 is 2009-W01-1, often printed for the standard (from memory)
        (2009, 53, dt.date(2009, 12, 28)),  # 1 January 2009 is a Thursday, so the year has 53 weeks
        (2027, 27, dt.date(2027, 7, 5)),
    ],
)
def test_a_numbered_week_begins_on_the_monday_of_the_standard(year: int, week: int, monday: dt.date) -> None:
    found = meant(f"week {week} of {year}", dt.date(2027, 6, 16))
    assert (found.start, found.end) == (monday, monday + dt.timedelta(days=6))


@pytest.mark.parametrize("week", [1, 2, 10, 27, 52, 53])
@pytest.mark.parametrize("year", range(2020, 2034))
def test_every_day_of_a_numbered_week_has_that_number_by_isocalendar(year: int, week: int) -> None:
    moment = measures.readings(f"week {week} of {year}", "when")[0]
    found = moment.days(dt.date(2027, 6, 16), "asked")
    has_it = week < 53 or dt.date(year, 12, 28).isocalendar().week == 53
    assert (found is not None) == has_it
    if found:
        inside = [found.start + dt.timedelta(days=step) for step in range(7)]
        assert [day.isocalendar()[:2] for day in inside] == [(year, week)] * 7


@pytest.mark.parametrize("today", TODAYS, ids=str)
@pytest.mark.parametrize(
    ("phrase", "weeks"), [("last week", -1), ("this week", 0), ("next week", 1), ("week after next", 2)]
)
def test_a_week_is_the_iso_week_so_many_from_todays(phrase: str, weeks: int, today: dt.date) -> None:
    found = meant(phrase, today)
    there = (today + dt.timedelta(weeks=weeks)).isocalendar()[:2]
    assert found.start.isocalendar()[:3] == (*there, 1)
    assert found.end.isocalendar()[:3] == (*there, 7)


# ---- python-dateutil ------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("today", TODAYS, ids=str)
@pytest.mark.parametrize("name", WEEKDAYS)
def test_a_weekday_is_the_one_that_relativedelta_finds(name: str, today: dt.date) -> None:
    weekday = WEEKDAYS[name]
    monday = today + relativedelta(weekday=MO(-1))
    assert meant(name, today, "done").start == today + relativedelta(weekday=weekday(-1))
    assert meant(name, today).start == today + relativedelta(days=1, weekday=weekday(1))
    assert meant(f"next {name}", today).start == monday + relativedelta(weeks=1, weekday=weekday(1))
    assert meant(f"this {name}", today).start == monday + relativedelta(weekday=weekday(1))
    assert meant(f"this past {name}", today).start == today + relativedelta(days=-1, weekday=weekday(-1))
    assert meant(f"three {name}s from now", today).start == today + relativedelta(days=1, weekday=weekday(3))
    assert meant(f"two {name}s ago", today).start == today + relativedelta(days=-1, weekday=weekday(-2))


@pytest.mark.parametrize("today", TODAYS, ids=str)
@pytest.mark.parametrize(
    ("phrase", "away"),
    [
        ("in two months", relativedelta(months=2)),
        ("three months ago", relativedelta(months=-3)),
        ("a year from now", relativedelta(years=1)),
        ("in 3 weeks", relativedelta(weeks=3)),
        ("2 weeks and 2 days ago", relativedelta(weeks=-2, days=-2)),
        ("a month from tomorrow", relativedelta(days=1) + relativedelta(months=1)),
    ],
)
def test_so_far_from_today_is_what_relativedelta_reckons(phrase: str, away: relativedelta, today: dt.date) -> None:
    expected = today + dt.timedelta(days=1) + relativedelta(months=1) if "tomorrow" in phrase else today + away
    assert meant(phrase, today).start == expected


@pytest.mark.parametrize("today", TODAYS, ids=str)
@pytest.mark.parametrize(
    ("phrase", "first", "last"),
    [
        ("last month", relativedelta(months=-1, day=1), relativedelta(months=-1, day=31)),
        ("this month", relativedelta(day=1), relativedelta(day=31)),
        ("next month", relativedelta(months=1, day=1), relativedelta(months=1, day=31)),
        ("last year", relativedelta(years=-1, month=1, day=1), relativedelta(years=-1, month=12, day=31)),
        ("this year", relativedelta(month=1, day=1), relativedelta(month=12, day=31)),
    ],
)
def test_whole_months_and_years_are_those_of_relativedelta(
    phrase: str, first: relativedelta, last: relativedelta, today: dt.date
) -> None:
    found = meant(phrase, today)
    assert (found.start, found.end) == (today + first, today + last)


@pytest.mark.parametrize("nth", NTH)
@pytest.mark.parametrize("name", WEEKDAYS)
def test_the_nth_weekday_of_a_month_is_that_of_rrule(nth: str, name: str) -> None:
    """RFC 5545, 3.3.10: BYDAY=2TU with FREQ=MONTHLY is the second Tuesday of the month."""
    begin = dt.datetime(2027, 1, 1)  # noqa: DTZ001 - rrule reckons in days of no zone
    every = rrule(MONTHLY, byweekday=WEEKDAYS[name](NTH[nth]), dtstart=begin, count=12)
    for month, expected in enumerate(every, start=1):
        phrase = f"the {nth} {name} of {dt.date(2027, month, 1):%B} 2027"
        assert meant(phrase, dt.date(2027, 6, 16)).start == expected.date()


# ---- holidays -------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("name", "month", "weekday"), [("memorial day", 5, MO(-1)), ("labor day", 9, MO(1)), ("thanksgiving", 11, TH(4))]
)
def test_a_holiday_is_the_weekday_that_the_law_names(name: str, month: int, weekday: Any) -> None:
    """5 U.S.C. 6103(a)."""
    begin = dt.datetime(2027, 1, 1)  # noqa: DTZ001 - rrule reckons in days of no zone
    for expected in rrule(YEARLY, bymonth=month, byweekday=weekday, dtstart=begin, count=10):
        assert meant(name, dt.date(expected.year, 1, 1)).start == expected.date()


@pytest.mark.parametrize(
    ("year", "month", "day"), [(2024, 3, 31), (2025, 4, 20), (2026, 4, 5), (2027, 3, 28), (2038, 4, 25)]
)
def test_easter_is_the_printed_one(year: int, month: int, day: int) -> None:
    """Dates of Western Easter as almanacs print them (from memory; 25 April 2038 is the latest that can be)."""
    assert meant("easter", dt.date(year, 1, 1)).start == dt.date(year, month, day)


# ---- what others say, and where it is ------------------------------------------------------------------------------
def rates(data: str, function: Callable[..., Any], kind: Callable[[Any], str]) -> dict[str, Counter[str]]:
    """How many of the shared cases are right, wrong and unanswered, by the shared script's own judgement."""
    spec = spec_from_file_location("measure_dates", REFERENCE / "measure_dates.py")
    assert spec
    assert spec.loader
    script = module_from_spec(spec)
    spec.loader.exec_module(script)
    judge = script.judge_date if data == "dates" else script.judge_number
    found: dict[str, Counter[str]] = {}
    for line in (REFERENCE / f"{data}.jsonl").read_text("utf-8").splitlines():
        case = script.json.loads(line)
        asked = [dt.date.fromisoformat(case["reference"])] if "reference" in case else []
        verdict, _ = judge(case, function(case["phrase"], *asked))
        found.setdefault(kind(case), Counter())[verdict] += 1
    return found


def test_dates_of_the_open_corpora_are_read() -> None:
    """Cases of two open date corpora (BSD and MIT licences), kept beside the project, where they are at hand: at least
    95 in 100 right, single days and stretches alike, and fewer than 1 in 100 of the answers wrong."""
    if not REFERENCE.exists():
        return
    for counts in rates("dates", measures.dates, lambda case: str("date" in case["expect"])).values():
        assert counts["right"] >= 0.95 * counts.total()
        assert counts["wrong"] < 0.01 * (counts["right"] + counts["wrong"])


def test_numbers_of_the_open_corpora_are_read() -> None:
    """Cases of the same corpora: at least 97 in 100 right, with a unit and without."""
    if not REFERENCE.exists():
        return
    for counts in rates("numbers", measures.numbers, lambda case: str("unit" in case)).values():
        assert counts["right"] >= 0.97 * counts.total()
        assert counts["wrong"] < 0.01 * (counts["right"] + counts["wrong"])
