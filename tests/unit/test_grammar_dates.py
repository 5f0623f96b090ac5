"""Days and stretches of days: what is said on Wednesday 16 June 2027, and which days it means."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from grammar.calendar import Following
from grammar.measures import dates, edges, readings
from grammar.said import Days, Repeats

TODAY = dt.date(2027, 6, 16)  # a Wednesday


def days(phrase: str, sense: str = "asked", name: str = "when", today: dt.date = TODAY) -> str | None:
    """The days of the cheapest reading: "06-14", or "06-14..06-20" for a stretch; the year only where it is another."""
    moment = next(iter(readings(phrase, name)), None)
    found: Days | None = moment.days(today, sense) if moment is not None else None
    if found is None:
        return None
    return _short(found.start) if found.single else f"{_short(found.start)}..{_short(found.end)}"


def _short(day: dt.date) -> str:
    return day.isoformat() if day.year != TODAY.year else f"{day:%m-%d}"


# ---- the conventions of the records ---------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("phrase", "done", "asked"),
    [
        ("monday", "06-14", "06-21"),
        ("friday", "06-11", "06-18"),
        ("on thursday", "06-10", "06-17"),
        ("wed", "06-16", "06-23"),
        ("sat", "06-12", "06-19"),
        ("the 25th", "05-25", "06-25"),
        ("on the ninth", "06-09", "07-09"),
        ("june 7", "06-07", "2028-06-07"),
        ("7/5", "2026-07-05", "07-05"),
        ("july", "2026-07-01..2026-07-31", "07-01..07-31"),
        ("june", "06-01..06-30", "06-01..06-30"),
        ("the weekend", "06-12..06-13", "06-19..06-20"),
        ("q3", "2026-07-01..2026-09-30", "07-01..09-30"),
    ],
)
def test_what_comes_round_is_the_latest_in_something_done_and_the_coming_one_in_something_asked(
    phrase: str, done: str, asked: str
) -> None:
    assert (days(phrase, "done"), days(phrase, "asked"), days(phrase, "wanted")) == (done, asked, asked)


@pytest.mark.parametrize(
    ("phrase", "meant"),
    [
        ("next tuesday", "06-22"),
        ("this tuesday", "06-15"),
        ("last tuesday", "06-08"),
        ("next saturday", "06-26"),
        ("this week", "06-14..06-20"),
        ("next week", "06-21..06-27"),
        ("last week", "06-07..06-13"),
        ("this month", "06-01..06-30"),
        ("the next three weeks", "06-16..07-06"),
        ("nxt 3 wks", "06-16..07-06"),
        ("the last two weeks", "06-03..06-16"),
        ("tuesday of next week", "06-22"),
        ("next week tuesday", "06-22"),
        ("friday after next", "07-02"),
    ],
)
def test_this_next_and_last_go_by_whole_weeks_and_counted_stretches_hold_today(phrase: str, meant: str) -> None:
    assert {days(phrase, sense) for sense in ("done", "asked", "wanted")} == {meant}


# ---- single days ----------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("phrase", "meant"),
    [
        ("today", "06-16"),
        ("tmrw", "06-17"),
        ("y'day", "06-15"),
        ("day before yesterday", "06-14"),
        ("the day after tomorrow", "06-18"),
        ("two days ago", "06-14"),
        ("a week ago", "06-09"),
        ("three weeks out", "07-07"),
        ("in 10 days", "06-26"),
        ("in two weeks' time", "06-30"),
        ("a month from now", "07-16"),
        ("a fortnight ago", "06-02"),
        ("a week from friday", "06-25"),
        ("three days before friday", "06-15"),
        ("two sundays from now", "06-27"),
        ("two fridays ago", "06-04"),
        ("monday two weeks from now", "06-28"),
        ("this coming friday", "06-18"),
        ("this past monday", "06-14"),
        ("this past wednesday", "06-09"),
        ("this morning", "06-16"),
        ("tonight", "06-16"),
        ("last night", "06-15"),
        ("yesterday evening", "06-15"),
        ("tomorrow at 5 pm", "06-17"),
        ("thursday night", "06-17"),
        ("first thing tomorrow", "06-17"),
        ("at 5 pm", "06-16"),
        ("june 20th", "06-20"),
        ("20 june", "06-20"),
        ("the 20th of june", "06-20"),
        ("june twentieth", "06-20"),
        ("june the 20th", "06-20"),
        ("6/20", "06-20"),
        ("6-20", "06-20"),
        ("20/6", "06-20"),
        ("6-14-27", "06-14"),
        ("6/14/2026", "2026-06-14"),
        ("2027-06-14", "06-14"),
        ("june 14 2026", "2026-06-14"),
        ("14-jun-2026", "2026-06-14"),
        ("the 4th of next month", "07-04"),
        ("the last day of the month", "06-30"),
        ("the first friday of july", "07-02"),
        ("the last monday in september", "09-27"),
        ("friday the 25th", "06-25"),
        ("fri june 25", "06-25"),
        ("monday june 14", "06-14"),
        ("this friday the 18th", "06-18"),
        ("next tuesday, june 22", "06-22"),
        ("in the morning", "06-17"),
        ("labor day", "09-06"),
        ("thanksgiving", "11-25"),
    ],
)
def test_a_single_day_is_found(phrase: str, meant: str) -> None:
    assert days(phrase) == meant


@pytest.mark.parametrize(
    ("phrase", "meant"),
    [
        ("june 31", None),
        ("february 30th", None),
        ("friday june 20", None),
        ("2/29/2027", None),
        ("feb 29", "2028-02-29"),
        ("in 3 days on friday", None),
        ("the week after that", None),
        ("9999 years ago", None),
        ("in 9999 years", None),
        ("9999 years ago to today", None),
    ],
)
def test_a_day_that_does_not_exist_is_understood_and_has_no_date(phrase: str, meant: str | None) -> None:
    assert readings(phrase, "when")
    assert days(phrase) == meant


@pytest.mark.parametrize(
    ("phrase", "meant"),
    [("the 31st", "07-31"), ("a month from the 31st", "08-31"), ("in 1 month", "07-16"), ("three months ago", "03-16")],
)
def test_months_of_unlike_length_are_reckoned(phrase: str, meant: str) -> None:
    assert days(phrase) == meant


def test_the_day_after_that_waits_for_what_was_spoken_of() -> None:
    spoken_of = Days(dt.date(2027, 6, 21), dt.date(2027, 6, 27), single=False)
    assert readings("the week after that", "when") == [Following("week")]
    assert Following("week").after(spoken_of) == Days(dt.date(2027, 6, 28), dt.date(2027, 7, 4), single=False)
    assert Following("day").after(spoken_of) == Days(dt.date(2027, 6, 28), dt.date(2027, 6, 28))


# ---- stretches ------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("phrase", "meant"),
    [
        ("the past week", "06-10..06-16"),
        ("the next month", "06-16..07-15"),
        ("the past 30 days", "05-18..06-16"),
        ("this past weekend", "06-12..06-13"),
        ("next weekend", "06-26..06-27"),
        ("the week after next", "06-28..07-04"),
        ("week of july 5", "07-05..07-11"),
        ("wk 27", "07-05..07-11"),
        ("the first week of july", "06-28..07-04"),
        ("the last week of june", "06-21..06-27"),
        ("the last 3 days of august", "08-29..08-31"),
        ("the first two weeks of july", "07-01..07-14"),
        ("early july", "07-01..07-10"),
        ("mid july", "07-11..07-20"),
        ("end of june", "06-21..06-30"),
        ("the end of next week", "06-25..06-27"),
        ("early next week", "06-21..06-23"),
        ("second half of july", "07-16..07-31"),
        ("rest of the week", "06-16..06-20"),
        ("later this week", "06-17..06-20"),
        ("earlier this week", "06-14..06-15"),
        ("so far this month", "06-01..06-16"),
        ("june so far", "06-01..06-16"),
        ("year to date", "01-01..06-16"),
        ("this season", "01-01..12-31"),
        ("this year", "01-01..12-31"),
        ("last year", "2026-01-01..2026-12-31"),
        ("june last year", "2026-06-01..2026-06-30"),
        ("may 2026", "2026-05-01..2026-05-31"),
        ("last fall", "2026-09-01..2026-11-30"),
        ("next june", "2028-06-01..2028-06-30"),
        ("last quarter", "01-01..03-31"),
        ("june 18 to 22", "06-18..06-22"),
        ("18-22 june", "06-18..06-22"),
        ("the 18th to the 22nd of june", "06-18..06-22"),
        ("mid june to early july", "06-11..07-10"),
        ("june 28 to july 4", "06-28..07-04"),
        ("june 28 to the 4th", "06-28..07-04"),
        ("6/18-6/22", "06-18..06-22"),
        ("dec 20 to jan 5", "12-20..2028-01-05"),
        ("june 1 to june 30", "06-01..06-30"),
        ("monday to friday", "06-21..06-25"),
        ("wed to fri next week", "06-23..06-25"),
        ("next week between wednesday and friday", "06-23..06-25"),
        ("july to september", "07-01..09-30"),
        ("today until sunday", "06-16..06-20"),
        ("between now and july 4", "06-16..07-04"),
        ("june 7 to today", "06-07..06-16"),
        ("from next monday to friday", "06-21..06-25"),
        ("for 10 days from june 20", "06-20..06-29"),
        ("a week starting tomorrow", "06-17..06-23"),
        ("within two weeks", "06-16..06-29"),
        ("the 4th to the 10th of next month", "07-04..07-10"),
    ],
)
def test_a_stretch_is_found(phrase: str, meant: str) -> None:
    assert days(phrase) == meant


def test_a_stretch_that_ends_before_it_begins_is_none() -> None:
    assert days("june 20 2027 to june 7 2027") is None


@pytest.mark.parametrize(
    ("phrase", "today", "meant"),
    [
        ("this winter", dt.date(2027, 1, 20), "2026-12-01..02-28"),
        ("next winter", TODAY, "12-01..2028-02-29"),
        ("last winter", TODAY, "2026-12-01..02-28"),
    ],
)
def test_a_winter_is_one_winter_across_new_year(phrase: str, today: dt.date, meant: str) -> None:
    assert days(phrase, today=today) == meant


# ---- limits ---------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("name", "phrase", "meant"),
    [
        ("until", "until the end of august", "08-31"),
        ("until", "through september", "09-30"),
        ("until", "till oct 3", "10-03"),
        ("until", "until friday", "06-18"),
        ("by_day", "by friday", "06-18"),
        ("by_day", "by the end of the month", "06-30"),
        ("by_day", "before monday", "06-20"),
        ("by_day", "before the end of june", "06-30"),
        ("by_day", "by next week", "06-27"),
        ("since", "since june 1", "06-01..06-16"),
        ("since", "since monday", "06-14..06-16"),
        ("since", "since the start of may", "05-01..06-16"),
        ("starting", "starting on the 25th of june", "06-25"),
        ("starting", "from july 1 on", "07-01"),
        ("starting", "starting next week", "06-21"),
        ("starting", "from now on", "06-16"),
    ],
)
def test_a_limit_is_one_day_and_since_reaches_to_today(name: str, phrase: str, meant: str) -> None:
    assert days(phrase, "wanted", name) == meant


def test_from_monday_to_friday_is_no_beginning() -> None:
    assert readings("from monday to friday", "starting") == []


# ---- what comes again -----------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("phrase", "meant"),
    [
        ("weekly", Repeats("weekly")),
        ("every week", Repeats("weekly")),
        ("each friday", Repeats("weekly", (4,))),
        ("every monday and thursday", Repeats("weekly", (0, 3))),
        ("every mon, wed and fri", Repeats("weekly", (0, 2, 4))),
        ("on fridays", Repeats("weekly", (4,))),
        ("tuesdays and fridays", Repeats("weekly", (1, 4))),
        ("weekly on friday", Repeats("weekly", (4,))),
        ("every fortnight", Repeats("every two weeks")),
        ("every 2 weeks", Repeats("every two weeks")),
        ("every other friday", Repeats("every two weeks", (4,))),
        ("every three weeks", Repeats("every three weeks")),
        ("every 10 days", Repeats("every ten days")),
        ("daily", Repeats("daily")),
        ("every other day", Repeats("every two days")),
        ("monthly", Repeats("monthly")),
        ("a week", Repeats("weekly")),
        ("twice a week", Repeats("twice a week")),
    ],
)
def test_what_comes_again_is_said_in_the_words_of_the_records(phrase: str, meant: Repeats) -> None:
    assert readings(phrase, "repeats")[0] == meant


# ---- words of the trade that are no days ----------------------------------------------------------------------------
@pytest.mark.parametrize(
    "phrase",
    [
        "second cut",
        "spring mix",
        "bed 4 to 6",
        "4 to 6",
        "brook 3 next week",
        "8 next week",
        "may be",
        "the last of it",
        "sow",
        "last day",
        "30 lb",
    ],
)
def test_words_of_the_trade_are_no_days(phrase: str) -> None:
    assert readings(phrase, "when") == []


@pytest.mark.parametrize(
    ("weak", "strong"), [("may", "june"), ("march", "april"), ("sat", "fri"), ("sun", "thu"), ("4-6", "4/6")]
)
def test_words_that_are_seldom_days_cost_more_than_those_that_always_are(weak: str, strong: str) -> None:
    assert _cost(weak) > _cost(strong)


def _cost(phrase: str) -> float:
    return min(edge.cost for edge in edges(phrase, "when"))


# ---- the measure ----------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("phrase", "answer"),
    [
        ("next tuesday", [{"date": dt.date(2027, 6, 22)}]),
        ("friday", [{"date": dt.date(2027, 6, 18)}, {"date": dt.date(2027, 6, 11)}]),
        ("last week", [{"from": dt.date(2027, 6, 7), "to": dt.date(2027, 6, 13)}]),
        ("june 31", None),
        ("flea beetles", None),
    ],
)
def test_the_measure_of_dates_gives_each_sense_once(phrase: str, answer: Any) -> None:
    assert dates(phrase, TODAY) == answer


def test_a_weekday_after_or_before_what_was_spoken_of_is_never_that_day_itself() -> None:
    friday = Days(dt.date(2027, 6, 18), dt.date(2027, 6, 18))
    assert readings("the friday after", "when") == [Following("day", 1, 4)]
    assert Following("day", 1, 4).after(friday) == Days(dt.date(2027, 6, 25), dt.date(2027, 6, 25))
    assert Following("day", -1, 5).after(friday) == Days(dt.date(2027, 6, 12), dt.date(2027, 6, 12))
    assert Following("week", -1).after(friday) == Days(dt.date(2027, 6, 7), dt.date(2027, 6, 13), single=False)
