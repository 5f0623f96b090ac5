"""What a recap and a last time promise."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from assistant.wording.recap import last_time as said_last
from assistant.wording.recap import recap as said
from engine.asks import Ask
from engine.recap import last_time, recap, stretch_before

WEEK = {"start": dt.date(2027, 6, 7), "end": dt.date(2027, 6, 13)}
LATER = "2027-06-30"  # long enough after the week that nothing ahead belongs to it


def on(day: str, kind: str, **fields: Any) -> dict[str, Any]:
    return {"kind": kind, "date": day, **fields}


def picked(day: str, crop: str, beds: list[str], quantity: float, unit: str = "lb") -> dict[str, Any]:
    return on(day, "harvested", crop=crop, beds=beds, quantity=quantity, unit=unit)


RECORDS = (
    on("2027-05-10", "sown", crop="radish", beds=["Brook 1", "Brook 2"]),
    on("2027-04-20", "transplanted", crop="kale", beds=["Gate 1"]),
    picked("2027-06-02", "radish", ["Brook 1"], 40),
    picked("2027-06-08", "radish", ["Brook 2"], 20),
    picked("2027-06-09", "kale", ["Gate 1"], 24, "bunch"),
    on("2027-06-03", "sold", crop="radish", quantity=30, unit="lb", customer="Vale Grocers", price=3),
    on("2027-06-10", "sold", crop="radish", quantity=20, unit="lb", customer="Harbour Oven", price=4),
    on("2027-06-12", "took", amount=120, customer="Saturday stall"),
    on("2027-06-11", "discarded", crop="radish", quantity=3, unit="lb", cause="soft"),
    on("2027-06-10", "prepared", beds=["Brook 1"]),
    on("2027-06-11", "covered", beds=["Brook 3"], material="tarp"),
    on("2027-06-12", "sown", crop="arugula", beds=["Brook 1"]),
    on("2027-06-09", "worked", hours=6, task="picking"),
    on("2027-06-10", "worked", hours=4.5, who="Bea"),
    on("2027-06-11", "ordered", crop="kale", quantity=30, unit="bunch", customer="Vale Grocers"),
    on("2027-06-11", "sold", crop="kale", quantity=24, unit="bunch", customer="Vale Grocers", price=2),
)


@pytest.mark.parametrize(
    ("start", "end", "before"),
    [
        ("2027-06-07", "2027-06-13", ("2027-05-31", "2027-06-06")),
        ("2027-06-18", "2027-06-18", ("2027-06-17", "2027-06-17")),
        ("2027-06-01", "2027-06-30", ("2027-05-01", "2027-05-31")),
        ("2027-03-01", "2027-03-31", ("2027-02-01", "2027-02-28")),
        ("2027-01-01", "2027-12-31", ("2026-01-01", "2026-12-31")),
        ("2027-01-01", "2027-01-31", ("2026-12-01", "2026-12-31")),
    ],
)
def test_the_stretch_before_is_an_equal_one(start: str, end: str, before: tuple[str, str]) -> None:
    found = stretch_before(dt.date.fromisoformat(start), dt.date.fromisoformat(end))
    assert found == tuple(map(dt.date.fromisoformat, before))


def test_a_week_is_told_by_crop_beside_the_week_before(pages: Any) -> None:
    result = recap(pages(LATER, *RECORDS), Ask(topic="recap", **WEEK))
    assert [(row.crop, row.amounts, row.before) for row in result.picked] == [
        ("kale", {"bunch": Decimal(24)}, {}),
        ("radish", {"lb": Decimal(20)}, {"lb": Decimal(40)}),
    ]


def test_takings_are_told_beside_those_before_and_by_bed_and_hour(pages: Any) -> None:
    worth = recap(pages(LATER, *RECORDS), Ask(topic="recap", **WEEK)).worth
    assert worth is not None
    assert (worth.total, worth.before) == (Decimal(248), Decimal(90))
    assert worth.beds_in_use == 3  # Brook 1, Brook 2 and Gate 1 held a crop
    assert worth.per_bed == Decimal(248) / 3
    assert (worth.hours, worth.per_hour) == (Decimal("10.5"), Decimal(248) / Decimal("10.5"))


def test_sales_of_a_day_whose_takings_were_told_add_nothing_to_them(pages: Any) -> None:
    stall = {"date": "2027-06-12", "customer": "Saturday stall"}
    told = (
        {"kind": "priced", "date": "2027-05-01", "crop": "radish", "price": 3, "unit": "lb"},
        {"kind": "sold", **stall, "crop": "radish", "quantity": 10, "unit": "lb"},
        {"kind": "took", **stall, "amount": 100},
    )
    result = recap(pages(LATER, *told), Ask(topic="recap", **WEEK))
    assert result.worth is not None
    assert (result.worth.total, result.worth.listed) == (Decimal(100), Decimal(0))
    assert [(share.name, share.worth) for share in result.sold] == [("Saturday stall", Decimal(100))]


def test_what_fell_short_is_what_was_due_and_did_not_go_out(pages: Any) -> None:
    result = recap(pages(LATER, *RECORDS), Ask(topic="recap", **WEEK))
    assert [(delivery.customer, delivery.crop, delivery.missing) for delivery in result.short] == [
        ("Vale Grocers", "kale", Decimal(6))
    ]


def test_a_week_still_running_is_held_against_the_same_days_before(pages: Any) -> None:
    result = recap(pages("2027-06-09", *RECORDS[:6]), Ask(topic="recap", of="harvested", **WEEK))
    assert result.so_far == dt.date(2027, 6, 9)
    assert (result.before_start, result.before_end) == (dt.date(2027, 5, 31), dt.date(2027, 6, 2))


def test_one_kind_is_told_record_by_record(pages: Any) -> None:
    ask = Ask(topic="recap", of="covered", **WEEK)
    result = recap(pages(LATER, *RECORDS), ask)
    assert said(result, ask, 80).splitlines() == ["Covered, Mon 7 to Sun 13 Jun:", "  Fri 11 Jun  tarp Brook 3"]


def test_beds_narrow_to_what_happened_in_them(pages: Any) -> None:
    result = recap(pages(LATER, *RECORDS), Ask(topic="recap", beds=("Brook 1",), **WEEK))
    assert [done.kind for done in result.done] == ["sown", "prepared"]
    assert [(row.crop, row.amounts, row.before) for row in result.picked] == [("radish", {}, {"lb": Decimal(40)})]
    assert (result.worth, result.ahead) == (None, None)


def test_the_reply_reads_from_what_was_picked_to_what_fell_short(pages: Any) -> None:
    ask = Ask(topic="recap", **WEEK)
    text = said(recap(pages(LATER, *RECORDS), ask), ask, 78)
    assert text.splitlines() == [
        "Mon 7 to Sun 13 Jun:",
        "Picked, beside Mon 31 May to Sun 6 Jun:",
        "  kale    24 bunches  ################  none before",
        "  radish  20 lb       ########          before 40 lb",
        "Sold to:",
        "  Harbour Oven  $80.00  ############  20 lb",
        "  Vale Grocers  $48.00  #######       24 bunches",
        "Takings $248.00 (before: $90.00, Mon 31 May to Sun 6 Jun)",
        "  $82.67 a bed (3 beds in use), $23.62 an hour",
        "Thrown away:",
        "  radish  3 lb  soft",
        "Sowed arugula: 1 bed, Brook 1",
        "Turned over: 1 bed, Brook 1",
        "Covered: 1 bed, Brook 3",
        "Hours 10.5: picking 6, no task named 4.5",
        "Fell short:",
        "  Fri 11 Jun  Vale Grocers  kale  6 bunches short of 30 bunches",
    ]


@pytest.mark.parametrize("width", [32, 44, 60])
def test_a_recap_is_never_wider_than_the_terminal(pages: Any, width: int) -> None:
    ask = Ask(topic="recap", **WEEK)
    lines = said(recap(pages(LATER, *RECORDS), ask), ask, width).splitlines()
    assert max(map(len, lines)) <= width


def test_a_while_without_a_record_says_so(pages: Any) -> None:
    ask = Ask(topic="recap", start=dt.date(2027, 3, 1), end=dt.date(2027, 3, 7))
    assert said(recap(pages(LATER), ask), ask, 80) == "Mon 1 to Sun 7 Mar: nothing on record."


def last(pages: Any, today: str = LATER, **fields: Any) -> str:
    ask = Ask(topic="last_time", **fields)
    return said_last(last_time(pages(today, *RECORDS), ask), ask, 80)


def test_the_last_time_is_told_with_the_days_since(pages: Any) -> None:
    assert last(pages, of="harvested", crop="radish") == "Last picked: Tue 8 Jun, 22 days ago, radish 20 lb."


def test_a_cover_is_told_with_how_long_it_has_lain(pages: Any) -> None:
    assert last(pages, of="covered", beds=("Brook 3",)) == (
        "Brook 3 has been covered for 19 days, since Fri 11 Jun (tarp)."
    )
    assert last(pages, of="covered") == last(pages, of="covered", beds=("Brook 3",))


def test_what_was_never_done_is_said_with_the_day_the_book_began(pages: Any) -> None:
    assert last(pages, of="watered", beds=("Brook 3",)) == (
        "Not watered Brook 3 since the book began on Fri 1 Jan 2027."
    )


def test_whether_it_was_done_on_a_day_gets_yes_or_no(pages: Any) -> None:
    assert last(pages, of="covered", date=dt.date(2027, 6, 11)) == "Yes, covered on Fri 11 Jun: tarp."
    assert last(pages, of="covered", date=dt.date(2027, 6, 12)) == "No, nothing on record as covered on Sat 12 Jun."


def test_several_beds_get_a_line_each(pages: Any) -> None:
    lines = last(pages, of="harvested", beds=("Brook 1", "Brook 2", "Brook 4")).splitlines()
    assert [line.split()[:4] for line in lines[1:]] == [
        ["Brook", "1", "Wed", "2"],
        ["Brook", "2", "Tue", "8"],
        ["Brook", "4", "not", "on"],
    ]


def test_the_figures_behind_it_are_the_harvests_and_sales_that_were_added_up(pages: Any) -> None:
    picked = {"kind": "harvested", "date": "2027-06-15", "crop": "radish", "beds": ["Brook 1"], "quantity": 22,
              "unit": "lb"}  # fmt: skip
    sold = {"kind": "sold", "date": "2027-06-16", "crop": "radish", "quantity": 10, "unit": "lb", "price": 3}
    lines = recap(pages("2027-06-16", picked, sold), Ask(topic="recap")).workings
    assert lines[0].startswith("Tue 15 Jun 2027 entry ")
    assert lines[0].endswith(": picked 22 lb radish from Brook 1")
    assert lines[1].startswith("Wed 16 Jun 2027 entry ")
    assert "10 lb radish, no customer named: 30 as said" in lines[1]
