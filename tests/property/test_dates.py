"""What holds for every day and every number, however it is said."""

from __future__ import annotations

import calendar
import datetime as dt
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.data import table
from grammar.measures import readings

untimed = settings(deadline=None)  # the first phrase pays for the grammar
SENSES = ("done", "asked", "wanted")
WEEKDAYS = [name.lower() for name in calendar.day_name]
MONTHS = [name.lower() for name in calendar.month_name[1:]]
COUNTED = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen"
    " eighteen nineteen"
)
ONES = COUNTED.split()
TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
NTH = {
    "one": "first",
    "two": "second",
    "three": "third",
    "five": "fifth",
    "eight": "eighth",
    "nine": "ninth",
    "twelve": "twelfth",
}

days = st.dates(dt.date(2000, 1, 1), dt.date(2060, 12, 31))
LITTLE = "the of in on from a week 3 12 31st 2027 - / , and between two twenty"
words_of_dates = st.sampled_from(
    LITTLE.split() + sorted({way for category in table("dates").values() for ways in category.values() for way in ways})
)


def spelled(number: int) -> str:
    """A whole number under a million in words."""
    if number < 20:
        return ONES[number]
    if number < 100:
        return TENS[number // 10] + (f" {ONES[number % 10]}" if number % 10 else "")
    size, name = (1000, "thousand") if number >= 1000 else (100, "hundred")
    rest = f" {spelled(number % size)}" if number % size else ""
    return f"{spelled(number // size)} {name}{rest}"


def placed(number: int) -> str:
    """A place in an order in words: "twenty first"."""
    *before, last = spelled(number).split()
    ending = NTH.get(last) or (last[:-1] + "ieth" if last.endswith("y") else last + "th")
    return " ".join([*before, ending])


def figured(number: int) -> str:
    """ "21st"."""
    return f"{number}{'th' if 10 < number % 100 < 14 else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"


def ways_to_write(day: dt.date) -> list[str]:
    month = MONTHS[day.month - 1]
    return [
        day.isoformat(),
        f"{day.month}/{day.day}/{day.year}",
        f"{day.month}-{day.day}-{day.year % 100:02}",
        f"{month} {day.day}, {day.year}",
        f"{month[:3]} {figured(day.day)} {day.year}",
        f"the {figured(day.day)} of {month} {day.year}",
        f"{day.day} {month} {day.year}",
        f"{month} {placed(day.day)} {day.year}",
        f"the {placed(day.day)} of {month}, {day.year}",
        f"{day.day}-{month[:3]}-{day.year}",
        f"{WEEKDAYS[day.weekday()]}, {month} {day.day}, {day.year}",
        f"{month} {spelled(day.day)}, {spelled(day.year)}",
    ]


@untimed
@given(days, days, st.sampled_from(SENSES), st.data())
def test_a_day_with_its_year_is_that_day_however_it_is_written(
    day: dt.date, today: dt.date, sense: str, data: st.DataObject
) -> None:
    phrase = data.draw(st.sampled_from(ways_to_write(day)))
    found = readings(phrase, "when")[0].days(today, sense)
    assert (found.start, found.end, found.single) == (day, day, True)


@untimed
@given(days, st.integers(0, 6))
def test_a_bare_weekday_is_the_nearest_on_the_side_of_its_sense(today: dt.date, weekday: int) -> None:
    moment = readings(WEEKDAYS[weekday], "when")[0]
    done, asked = moment.days(today, "done").start, moment.days(today, "asked").start
    assert done.weekday() == asked.weekday() == weekday
    assert 0 <= (today - done).days <= 6
    assert 1 <= (asked - today).days <= 7


@untimed
@given(days, st.integers(0, 6), st.sampled_from([("last", -1), ("this", 0), ("next", 1)]), st.sampled_from(SENSES))
def test_next_and_last_weekday_lie_in_next_and_last_week(
    today: dt.date, weekday: int, which: tuple[str, int], sense: str
) -> None:
    word, weeks = which
    found = readings(f"{word} {WEEKDAYS[weekday]}", "when")[0].days(today, sense).start
    assert found == today - dt.timedelta(today.weekday()) + dt.timedelta(weeks * 7 + weekday)


@untimed
@given(days, st.integers(1, 12), st.integers(1, 28))
def test_a_date_without_a_year_is_within_a_year_on_the_side_of_its_sense(today: dt.date, month: int, day: int) -> None:
    moment = readings(f"{MONTHS[month - 1]} {day}", "when")[0]
    done, asked = moment.days(today, "done").start, moment.days(today, "asked").start
    assert (done.month, done.day) == (asked.month, asked.day) == (month, day)
    assert 0 <= (today - done).days <= 365
    assert 0 <= (asked - today).days <= 365


@untimed
@given(days, st.integers(1, 60), st.sampled_from([("day", 1), ("week", 7)]))
def test_ahead_and_ago_are_mirror_images_and_counted_stretches_hold_today(
    today: dt.date, many: int, unit: tuple[str, int]
) -> None:
    name, length = unit
    counted = f"{spelled(many)} {name}{'s' if many > 1 else ''}"
    away = dt.timedelta(many * length)
    ahead, ago = readings(f"in {counted}", "when")[0], readings(f"{counted} ago", "when")[0]
    assert (ahead.days(today, "asked").start, ago.days(today, "done").start) == (today + away, today - away)
    coming, past = (readings(f"the {side} {many} {name}s", "when")[0].days(today, "asked") for side in ("next", "last"))
    assert (coming.start, past.end) == (today, today)
    assert (coming.end - coming.start).days + 1 == (past.end - past.start).days + 1 == many * length


@untimed
@given(days, days, st.sampled_from([" to ", " through ", " - ", " until "]))
def test_from_one_date_to_another_is_those_days_and_all_between(first: dt.date, last: dt.date, between: str) -> None:
    phrase = (
        f"{MONTHS[first.month - 1]} {first.day} {first.year}{between}{MONTHS[last.month - 1]} {last.day} {last.year}"
    )
    found = readings(phrase, "when")[0].days(first, "asked")
    if first <= last:
        assert (found.start, found.end) == (first, last)
    else:
        assert found is None


@untimed
@given(st.lists(words_of_dates, min_size=1, max_size=7), days, st.sampled_from(SENSES))
def test_any_string_of_words_about_days_gives_days_in_order_or_none(
    words: list[str], today: dt.date, sense: str
) -> None:
    for moment in readings(" ".join(words), "when", "until", "since", "by_day", "starting"):
        found = moment.days(today, sense)
        assert found is None or (found.start <= found.end and (not found.single or found.start == found.end))


@untimed
@given(st.integers(0, 999_999))
def test_a_whole_number_in_words_is_that_number(number: int) -> None:
    assert readings(spelled(number), "number")[0] == number


@untimed
@given(st.integers(0, 99_999), st.integers(0, 99))
def test_a_decimal_said_with_point_is_that_decimal(whole: int, hundredths: int) -> None:
    said = f"{spelled(whole)} point {ONES[hundredths // 10]} {ONES[hundredths % 10]}"
    assert readings(said, "number")[0] == Decimal(whole * 100 + hundredths) / 100


@untimed
@given(st.integers(1, 99))
def test_a_place_in_an_order_is_the_same_in_words_and_figures(number: int) -> None:
    assert readings(placed(number), "ordinal") == readings(figured(number), "ordinal") == [number]
