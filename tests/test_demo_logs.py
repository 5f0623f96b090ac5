"""The demo season reads without a question left open, and what it tells could have happened on a farm.

Published figures stand here with their source; amounts are for 100 feet of a bed 30 inches wide.
"""

from __future__ import annotations

import datetime as dt
import time
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import pytest

from assistant.conversation import Conversation
from assistant.notes import NoteLine, note_files, note_lines
from assistant.turn import Turn
from engine import Book, open_book
from engine.events import (
    Amended,
    Covered,
    Discarded,
    Given,
    Harvested,
    Lost,
    Prepared,
    Returned,
    Sold,
    Sown,
    Sprayed,
    Transplanted,
    Uncovered,
    Weather,
)
from engine.quantities import convert
from engine.season_stock import balances
from engine.state import Planting, Season

LOGS = Path(__file__).parent.parent / "demo_logs"
FIRST, LAST = dt.date(2027, 3, 29), dt.date(2027, 10, 30)
DAYS = [FIRST + dt.timedelta(days=day) for day in range((LAST - FIRST).days + 1)]

UIUC = "Univ. Illinois Extension, Illinois Vegetable Garden Guide"
UGA = "Univ. Georgia Extension, Vegetable Gardening in Georgia"
KNOTT = "Maynard & Hochmuth, Knott's Handbook for Vegetable Growers, 5th ed. 2007 (from memory)"
SEED = "US seed-trade growing page"
EXTENSION = "general extension and grower-manual figures (from memory)"
MANUALS = "market-garden manuals, 30-inch bed practice (from memory)"
NEVMG = "New England Vegetable Management Guide, Table 15, acre figure x 400/43560"
PAGE = "US market-garden service page, 30-inch bed figures"
CANTWELL = "Cantwell, UC Davis 2001 / USDA Agriculture Handbook 66, 2016, summary table"
FACTS = "UC Davis Produce Facts"


@dataclass(frozen=True, slots=True)
class Published:
    """Days from sowing (or setting out) to the first harvest, the yield, and the days it keeps at its best."""

    days: tuple[int, int]
    days_source: str
    yields: tuple[int, int]
    unit: str
    each_cut: bool
    yields_source: str
    keeps: int
    keeps_source: str


# Where sources differ: the lowest and the highest of those named.
PUBLISHED = {
    "radish": Published((21, 30), f"{UIUC}: 22 to 28; {SEED}: 21 to 28; {KNOTT}: 22 to 30",
                        (180, 450), "bunch", False, MANUALS, 14, f"{FACTS}, Radish"),
    "salad mix": Published((21, 35), f"{SEED}: 21 to 28; a grower's reply on salad mix: 28 to 35",
                           (25, 60), "lb", True, MANUALS, 14, f"{CANTWELL} (from memory)"),
    "arugula": Published((20, 28), f"{SEED}, baby leaf: 21 to 22; {MANUALS}: 20 to 28",
                         (30, 60), "lb", True, MANUALS, 10, CANTWELL),
    "mizuna": Published((20, 25), f"{SEED}, baby leaf: 21 to 25; {MANUALS}: 20 to 25",
                        (35, 70), "lb", True, MANUALS, 14, f"{CANTWELL} (from memory)"),
    "spinach": Published((38, 50), f"{UIUC}: 45; {KNOTT}: 38 to 50", (40, 80), "lb", False, MANUALS,
                         14, f"{FACTS}, Spinach"),
    "turnip": Published((35, 45), f"{EXTENSION}, hakurei; {UIUC}: salad types from 35", (170, 400), "bunch", False,
                        f"{MANUALS}, hakurei", 14, f"{CANTWELL} (from memory)"),
    "beet": Published((50, 80), f"{UGA}: 55 to 65; {UIUC}: 52 to 70; SARE planting spreadsheet: 50 to 80",
                      (150, 320), "bunch", False, MANUALS, 14, "New England Vegetable Management Guide, Table 16"),
    "carrot": Published((55, 95), f"{UGA}: 70 to 95; {UIUC}: 65 to 75; {KNOTT}: 55 to 80",
                        (150, 300), "lb", False, f"{MANUALS}: 150 to 300; {NEVMG}: 184 to 275; {PAGE}: 300",
                        210, "New England Vegetable Management Guide, Table 16"),
    "cilantro": Published((40, 55), f"Michigan State Univ. Libraries: 55; {KNOTT}: 45 to 55",
                          (100, 220), "bunch", True, MANUALS, 21, f"{FACTS}, Fresh Culinary Herbs"),
    "dill": Published((40, 55), KNOTT, (100, 220), "bunch", True, MANUALS, 21, f"{FACTS}, Fresh Culinary Herbs"),
    "chard": Published((32, 42), EXTENSION, (180, 500), "bunch", False, MANUALS, 14, "Carrier reefer commodity table"),
    "kale": Published((35, 55), EXTENSION, (180, 500), "bunch", False, MANUALS,
                      14, "Public-health table credited to UC Davis"),
    "lettuce": Published((25, 35), EXTENSION, (240, 500), "head", False, MANUALS,
                         21, "Public-health table credited to UC Davis"),
    "bok choy": Published((28, 40), EXTENSION, (300, 750), "head", False, MANUALS, 21, f"{CANTWELL} (from memory)"),
    "scallion": Published((45, 65), EXTENSION, (280, 600), "bunch", False, MANUALS, 21, CANTWELL),
    "snap pea": Published((55, 65), KNOTT, (40, 80), "lb", False, MANUALS,
                          14, "Public-health table credited to UC Davis"),
    "cherry tomato": Published((55, 70), EXTENSION, (150, 350), "lb", False, MANUALS,
                               21, "Public-health table credited to UC Davis, ripe tomatoes"),
    "zucchini": Published((30, 40), EXTENSION, (150, 350), "lb", False, MANUALS, 14, f"{CANTWELL} (from memory)"),
    "garlic": Published((230, 280), EXTENSION, (25, 70), "lb", False, MANUALS, 210, CANTWELL),
}  # fmt: skip

# Average highs and lows in F of April to October at Syracuse, New York, 43.1 N, inland: NOAA climate normals
# 1991 to 2020, from memory and rounded.
NORMALS = {4: (57, 36), 5: (70, 47), 6: (78, 56), 7: (82, 61), 8: (81, 60), 9: (73, 52), 10: (60, 41)}


@dataclass(frozen=True, slots=True)
class Reading:
    """The whole season as it was read: each line with what came of it, and the book."""

    turns: tuple[tuple[NoteLine, Turn], ...]
    book: Book


@pytest.fixture(scope="module")
def reading(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Reading]:
    """All notes read once, in the order of their files, into a fresh book."""
    with open_book(tmp_path_factory.mktemp("demo") / "book.db") as book:
        yield Reading(tuple(read(book)), book)


def read(book: Book) -> Iterator[tuple[NoteLine, Turn]]:
    """Each file is a conversation of its own, on its own day."""
    for file in note_files(LOGS):
        talk: Conversation | None = None
        for line in note_lines(file):
            assert line.day, f"{line.source}:{line.number} has no day"
            talk = talk if talk and talk.today == line.day else Conversation(book, today=line.day)
            yield line, talk.hear(line.text)


@pytest.fixture(scope="module")
def season(reading: Reading) -> Season:
    return reading.book.season(LAST)


@pytest.fixture(scope="module")
def plantings(season: Season) -> list[Planting]:
    """All that stood in the beds that year, the finished first."""
    beds = season.beds.values()
    return [one for bed in beds for one in bed.past] + [one for bed in beds for one in bed.plantings]


@pytest.fixture(scope="module")
def harmed(reading: Reading) -> set[tuple[str, str]]:
    """Beds and crops that hail, beetles, deer, voles or frost got at."""
    found = set()
    for event in (fact.event for fact in reading.book.facts(kinds=("lost",))):
        assert isinstance(event, Lost)
        found |= {(bed, event.crop or "") for bed in event.beds}
    return found


def test_a_whole_season_is_told_a_file_a_day() -> None:
    files = [file for file in note_files(LOGS) if file.stem != "00-setup"]
    lines = [line for file in note_files(LOGS) for line in note_lines(file)]

    assert [file.stem for file in files] == [day.isoformat() for day in DAYS]
    assert len(lines) >= 1400


def test_no_line_is_left_asking_or_unread(reading: Reading) -> None:
    doubtful = [
        f"{line.source}:{line.number}: {line.text}\n    {turn.reply}"
        for line, turn in reading.turns
        if not turn.understood
    ]

    assert not doubtful, f"{len(doubtful)} lines\n" + "\n".join(doubtful[:40])


def test_many_lines_say_several_things(reading: Reading) -> None:
    several = sum(len(turn.records) + len(turn.answers) > 1 for _, turn in reading.turns)

    assert several >= 450


def test_slips_are_put_right_and_forgotten_things_told_late(reading: Reading) -> None:
    records = [(line, record) for line, turn in reading.turns for record in turn.records]
    late = [1 for line, record in records if record["kind"] in ("sown", "weeded", "watered", "weather")
            and record["date"] < str(line.day)]  # fmt: skip

    assert sum(record["kind"] == "corrected" for _, record in records) >= 30
    assert sum(record["kind"] == "undone" for _, record in records) >= 4
    assert sum(late) >= 15


def test_no_sale_costs_what_a_whole_market_day_brings(reading: Reading) -> None:
    """No price by the pound, bunch or head is above 20 dollars; a market's takings are takings. Common practice."""
    sales = [fact.event for fact in reading.book.facts(kinds=("sold",))]
    priced = [sale for sale in sales if isinstance(sale, Sold) and sale.price is not None and sale.unit != "tote"]

    assert len(priced) >= 20
    assert [sale for sale in priced if sale.price > 20] == []


def test_every_day_has_its_weather_and_the_months_fit_the_place(reading: Reading) -> None:
    months: dict[int, list[tuple[Decimal, Decimal]]] = defaultdict(list)
    days = set()
    for event in (fact.event for fact in reading.book.facts(kinds=("weather",))):
        assert isinstance(event, Weather)
        assert event.high is not None, event
        assert event.low is not None, event
        assert event.low <= event.high, event
        days.add(event.date)
        months[event.date.month].append((event.high, event.low))

    assert days == set(DAYS)
    for month, usual in NORMALS.items():
        for side, expected in enumerate(usual):
            mean = sum((pair[side] for pair in months[month]), Decimal(0)) / len(months[month])
            assert abs(mean - expected) <= 7, f"month {month}: {mean} against {expected} F"


def test_no_bed_is_planted_twice_or_under_a_cover(reading: Reading) -> None:
    covered = set()
    kinds = ("covered", "uncovered", "prepared", "sown", "transplanted")
    for fact in sorted(reading.book.facts(kinds=kinds), key=lambda fact: (fact.event.date, fact.entry)):
        match fact.event:
            case Covered(beds=beds):
                covered |= set(beds)
            case Uncovered(beds=beds) | Prepared(beds=beds):
                covered -= set(beds)
            case Sown(beds=beds) | Transplanted(beds=beds):
                assert not covered & set(beds), fact.said

    for day in DAYS:
        for bed in reading.book.season(day).beds.values():
            assert len(bed.plantings) <= 1, f"{bed.name} on {day}: {[one.crop for one in bed.plantings]}"


def test_first_harvests_come_after_the_published_days(plantings: list[Planting]) -> None:
    seen: dict[str, int] = defaultdict(int)
    for one in plantings:
        if one.pickings:
            days = (min(picking.date for picking in one.pickings) - one.sown).days
            low, high = PUBLISHED[one.crop].days
            assert low <= days <= high, f"{one.crop} in {one.bed}, sown {one.sown}: {days} days"
            seen[one.crop] += 1

    assert len(seen) >= 16
    assert sum(seen.values()) >= 75


def test_yields_lie_within_the_published_ranges(
    season: Season, plantings: list[Planting], harmed: set[tuple[str, str]]
) -> None:
    seen: dict[str, int] = defaultdict(int)
    for one in plantings:
        published = PUBLISHED.get(one.crop)
        if not published or not one.pickings:
            continue
        for amount in per_100_ft(season, one, published):
            low, high = published.yields
            whole = one.ended is not None and (one.bed, one.crop) not in harmed
            assert amount <= high, f"{one.crop} in {one.bed}, sown {one.sown}: {amount} for 100 ft"
            assert amount >= low or not whole, f"{one.crop} in {one.bed}, sown {one.sown}: {amount} for 100 ft"
            seen[one.crop] += whole

    assert sum(count > 0 for count in seen.values()) >= 12


def per_100_ft(season: Season, planting: Planting, published: Published) -> list[Decimal]:
    """What a planting gave for 100 feet of bed: of each cut, or over its whole life."""
    length = season.beds[planting.bed].length_ft
    assert length
    cuts: dict[int, Decimal] = defaultdict(Decimal)
    for picking in planting.pickings:
        assert picking.quantity is not None
        assert picking.unit is not None
        amount = convert(season, planting.crop, picking.quantity, picking.unit, published.unit)
        assert amount is not None
        cuts[picking.cut if published.each_cut else 0] += amount * 100 / length
    return list(cuts.values())


def test_nothing_is_sold_that_was_not_picked_or_no_longer_keeps(reading: Reading, season: Season) -> None:
    lots: dict[str, list[tuple[dt.date, Decimal]]] = defaultdict(list)
    facts = reading.book.facts(kinds=("harvested", "sold", "given", "discarded", "returned"))
    for fact in sorted(facts, key=lambda fact: (fact.event.date, fact.event.kind != "harvested", fact.entry)):
        event = fact.event
        assert isinstance(event, Harvested | Sold | Given | Discarded | Returned)
        held, amount = lots[event.crop], in_usual_unit(season, event)
        if isinstance(event, Harvested | Returned):
            held.append((event.date, amount))
            continue
        while amount > 0:
            assert held, f"{event.date}: {fact.said}: {amount} more than was picked"
            picked, left = held.pop(0)
            if isinstance(event, Sold) and event.crop in PUBLISHED:
                assert (event.date - picked).days <= PUBLISHED[event.crop].keeps, f"{fact.said}: picked {picked}"
            if left > amount:
                held.insert(0, (picked, left - amount))
            amount -= min(left, amount)


def in_usual_unit(season: Season, event: Harvested | Sold | Given | Discarded | Returned) -> Decimal:
    """The amount in the unit that the crop is published in."""
    assert event.quantity is not None, event
    assert event.unit is not None, event
    unit = PUBLISHED[event.crop].unit if event.crop in PUBLISHED else event.unit
    amount = convert(season, event.crop, event.quantity, event.unit, unit)
    assert amount is not None, event
    return amount


def test_what_was_picked_is_sold_given_thrown_out_or_left(season: Season) -> None:
    sums = balances(season)
    short = [crop for crop, tally in season.tallies.items() for way, _ in tally.moved if way == "short"]

    assert len(sums) >= 18
    assert all(came == went for came, went in sums.values())
    assert not short


def test_a_mock_recall_of_the_season_is_said_balances_to_the_last_ounce_and_takes_seconds(reading: Reading) -> None:
    """Traceability records are due within 24 hours of a request (FDA food traceability rule)."""
    talk = Conversation(reading.book, today=LAST)
    started = time.perf_counter()
    (answer,) = talk.hear("mock recall").answers
    took = time.perf_counter() - started

    result = answer["result"]
    harvests = reading.book.facts(kinds=("harvested",))
    assert result["lots"] == len(harvests) > 250
    assert (result["open"], result["unmeasured"], result["unknown"]) == ([], 0, 0)
    assert [each for each in result["sums"] if each["unaccounted"]] == []
    sold = {fact.event.customer for fact in reading.book.facts(kinds=("sold",))}  # type: ignore[attr-defined]
    assert {one["customer"] for one in result["customers"]} == sold - {None}
    assert took < 5, f"{took:.1f} s"


def test_nothing_is_picked_within_the_wait_after_raw_manure_or_a_spray(reading: Reading) -> None:
    """120 days from raw manure for crops that touch the soil: USDA AMS, 7 CFR 205.203(c)(1). Sprays: by label."""
    waits: list[tuple[str, dt.date, int]] = []
    for event in (fact.event for fact in reading.book.facts(kinds=("amended", "sprayed"))):
        assert isinstance(event, Amended | Sprayed)
        waits += [(bed, event.date, wait(event)) for bed in event.beds]

    picked = [fact.event for fact in reading.book.facts(kinds=("harvested",))]
    for event in picked:
        assert isinstance(event, Harvested)
        for bed, start, days in waits:
            assert bed not in event.beds or not 0 <= (event.date - start).days < days, f"{event} after {start}"

    assert len([days for _, _, days in waits if days == 120]) >= 2
    assert len(picked) >= 250


def wait(event: Amended | Sprayed) -> int:
    """Days to wait with harvest: the longer of the label's two waits, or those after raw manure."""
    if isinstance(event, Amended):
        return 120 if "raw" in event.material else 0
    assert event.harvest_wait_days is not None, event
    assert event.entry_wait_hours is not None, event
    return max(int(event.harvest_wait_days), -(-int(event.entry_wait_hours) // 24))
