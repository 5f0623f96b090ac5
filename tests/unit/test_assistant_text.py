"""What the small helpers of every answer promise."""

import datetime as dt
from decimal import Decimal

import pytest

from assistant.wording import text

TUESDAY = dt.date(2027, 6, 15)


def test_a_day_is_written_with_weekday_and_month() -> None:
    assert text.day(TUESDAY) == "Tue 15 Jun"
    assert text.day(TUESDAY, dt.date(2027, 1, 1)) == "Tue 15 Jun"
    assert text.day(TUESDAY, dt.date(2028, 1, 1)) == "Tue 15 Jun 2027"


@pytest.mark.parametrize(
    ("start", "end", "said"),
    [
        (TUESDAY, TUESDAY, "Tue 15 Jun"),
        (dt.date(2027, 6, 14), dt.date(2027, 6, 20), "Mon 14 to Sun 20 Jun"),
        (dt.date(2027, 6, 28), dt.date(2027, 7, 4), "Mon 28 Jun to Sun 4 Jul"),
        (dt.date(2026, 12, 28), dt.date(2027, 1, 3), "Mon 28 Dec 2026 to Sun 3 Jan 2027"),
    ],
)
def test_a_stretch_says_its_month_once(start: dt.date, end: dt.date, said: str) -> None:
    assert text.days(start, end) == said


@pytest.mark.parametrize(
    ("away", "said"), [(0, "today"), (1, "tomorrow"), (-1, "yesterday"), (4, "in 4 days"), (-9, "9 days ago")]
)
def test_distance_from_today(away: int, said: str) -> None:
    assert text.from_today(TUESDAY + dt.timedelta(days=away), TUESDAY) == said


@pytest.mark.parametrize(
    ("quantity", "unit", "said"),
    [
        ("30", "lb", "30 lb"),
        ("9.50", "lb", "9.5 lb"),
        ("1", "bunch", "1 bunch"),
        ("24", "bunch", "24 bunches"),
        ("12", "each", "12 each"),
        ("1200", "lb", "1,200 lb"),
        ("0.125", "lb", "0.125 lb"),
        ("3.3333333", "lb", "3.33 lb"),
        ("100", "tray", "100 trays"),
        ("0", "bunch", "0 bunches"),
    ],
)
def test_amounts_are_said_plainly(quantity: str, unit: str, said: str) -> None:
    assert text.amount(Decimal(quantity), unit) == said


def test_an_amount_that_was_not_said_says_so() -> None:
    assert text.amount(None, "lb") == "an amount not said"
    assert text.amounts({}) == "nothing"
    assert text.amounts({"lb": Decimal(3), "bunch": Decimal(2)}) == "3 lb and 2 bunches"


@pytest.mark.parametrize(
    ("sum_", "currency", "said"),
    [
        ("1234.5", "USD", "$1,234.50"),
        ("1234.5", "$", "$1,234.50"),
        ("9", "EUR", "9.00 EUR"),
        ("9", "€", "€9.00"),
        ("9", None, "9.00"),
        ("-4", "USD", "-$4.00"),
        ("0.005", None, "0.01"),
    ],
)
def test_money_is_said_to_the_cent(sum_: str, currency: str | None, said: str) -> None:
    assert text.money(Decimal(sum_), currency) == said


def test_lists_end_in_and() -> None:
    assert text.names([]) == ""
    assert text.names(["a"]) == "a"
    assert text.names(["a", "b"]) == "a and b"
    assert text.names(["a", "b", "c"]) == "a, b and c"


def test_beds_of_one_plot_are_said_together() -> None:
    assert text.beds(["Brook 1", "Brook 2", "Brook 3", "Brook 7", "Gate 2"]) == "Brook 1 to 3 and 7, Gate 2"
    assert text.beds(["Brook 2", "Brook 1"]) == "Brook 1 and 2"
    assert text.beds(["Brook North"]) == "Brook North"
    assert text.beds(["7"]) == "7"


def test_a_bar_is_in_proportion_and_never_hides_a_little() -> None:
    assert text.bar(5, 10, 10) == "#####"
    assert text.bar(1, 1000, 10) == "#"
    assert text.bar(0, 10, 10) == ""
    assert text.bar(5, 0, 10) == ""
    assert text.bar(20, 10, 10) == "#" * 10


@pytest.mark.parametrize(("n", "word", "said"), [(1, "bed", "1 bed"), (2, "berry", "2 berries"), (3, "day", "3 days")])
def test_nouns_follow_their_count(n: int, word: str, said: str) -> None:
    assert text.plural(n, word) == said


def test_columns_align_figures_to_the_right() -> None:
    rows = [("radish", "30 lb", "Harbour Oven"), ("salad mix", "9.5 lb", "")]
    assert text.columns(rows, 60) == "  radish      30 lb  Harbour Oven\n  salad mix  9.5 lb"


@pytest.mark.parametrize("width", [24, 30, 40, 80])
def test_columns_are_never_wider_than_asked(width: int) -> None:
    rows = [
        ("radish", "30 lb", "a long tail of words about the second bed and what came of it in the end"),
        ("salad mix", "1,200 lb", "short"),
    ]
    lines = text.columns(rows, width, head=("crop", "picked", "note")).splitlines()
    assert max(map(len, lines)) <= width
    assert "1,200 lb" in "".join(lines)


def test_a_day_is_not_torn_at_the_end_of_a_line() -> None:
    assert text.wrapped("picked Fri 9 Jul, good until Fri 16 Jul", 35) == "picked Fri 9 Jul, good until\nFri 16 Jul"
    assert text.wrapped("from Mon 14 to Sun 20 Jun 2027", 22) == "from Mon 14 to\nSun 20 Jun 2027"


def test_a_wide_column_in_the_middle_gives_way_before_the_rows_are_run_together() -> None:
    rows = [("kale", "Brook 1, 2, 5 and 7, Gate 2, Terrace 4", "a word or two of it")]

    assert text.columns(rows, 50) == (
        "  kale  Brook 1, 2, 5 and 7,      a word or two of\n        Gate 2, Terrace 4         it"
    )


def test_a_bar_is_left_out_of_rows_run_together() -> None:
    rows = [("radish from the brook", "30 bunches and more", "########", "none before")]

    assert "#" not in text.columns(rows, 40)
    assert "#" in text.columns(rows, 80)


def test_text_that_could_steer_a_terminal_is_made_harmless() -> None:
    assert "\x1b" not in text.printable("beds\x1b[31m red\x07")
    assert text.printable("rocket é 青") == "rocket é 青"
    assert text.breadth("青菜") == 4


def test_a_number_of_thirty_digits_is_said_as_it_was() -> None:
    assert text.figure(Decimal("9" * 30)) == ",".join(["999"] * 10)
    assert text.money(Decimal("9" * 30), "EUR").startswith("999,999")
