"""Waiting times against the published rules: the figure, where it stands, and the date it gives."""

import csv
import datetime as dt
from decimal import Decimal
from pathlib import Path

import pytest
from dateutil.relativedelta import relativedelta
from dateutil.rrule import DAILY, rrule

from engine import safety
from engine.state import Bed, Planting, Season, Treatment

SHARED = Path("/work/shared/reference/rules.csv")

# Title 7 of the US Code of Federal Regulations, section 205.203(c)(1): 120 days where the edible part touches the soil
# or soil particles, 90 days where it does not; (c)(2): compost at 131 to 170 F for 15 days with five turnings in
# windrows, for 3 days in a vessel or a static aerated pile.
SOIL_DAYS, CLEAR_DAYS = 120, 90


def bed_with(material: str, spread: dt.date, crop: str | None = None, **settings: object) -> Season:
    """A season of one bed with something spread on it and perhaps a crop in it since."""
    bed = Bed("Brook 3", "Brook")
    if crop:
        bed.plantings.append(Planting(2, "Brook 3", crop, spread + dt.timedelta(days=5)))
    spread_on = Treatment(1, "Brook 3", spread, "amended", material)
    return Season(spread, beds={"Brook 3": bed}, treatments=[spread_on], settings=dict(settings))


@pytest.mark.parametrize(
    "crop", ["salad mix", "arugula", "radish", "carrot", "cilantro", "lettuce", "cucumber", "zucchini"]
)
def test_crops_that_touch_the_soil_wait_120_days_after_raw_manure(crop: str) -> None:
    """7 CFR 205.203(c)(1)(i)."""
    assert safety.manure_days(crop)[0] == SOIL_DAYS


@pytest.mark.parametrize("crop", ["sweet corn", "tomato", "pole bean", "snap pea"])
def test_crops_that_hang_clear_wait_90_days_after_raw_manure(crop: str) -> None:
    """7 CFR 205.203(c)(1)(ii)."""
    assert safety.manure_days(crop)[0] == CLEAR_DAYS


@pytest.mark.parametrize(
    ("crop", "until"),
    [("radish", dt.date(2027, 6, 29)), ("tomato", dt.date(2027, 5, 30))],  # worked out by calendar from 1 March 2027
)
def test_a_wait_ends_on_the_day_the_calendar_gives(crop: str, until: dt.date) -> None:
    season = bed_with("manure", dt.date(2027, 3, 1), crop)
    (wait,) = safety.waits(season, "Brook 3", crop)
    assert wait.until == until
    assert safety.waits_on(season, "Brook 3", crop, until - dt.timedelta(days=1)) == (wait,)
    assert safety.waits_on(season, "Brook 3", crop, until) == ()


@pytest.mark.parametrize("spread", [dt.date(2027, 11, 20), dt.date(2028, 1, 31), dt.date(2028, 2, 29)])
@pytest.mark.parametrize(("crop", "days"), [("radish", SOIL_DAYS), ("tomato", CLEAR_DAYS)])
def test_waits_cross_months_and_leap_days_as_dateutil_counts_them(spread: dt.date, crop: str, days: int) -> None:
    """Against python-dateutil, both by adding days and by stepping one day at a time."""
    (wait,) = safety.waits(bed_with("raw chicken manure", spread), "Brook 3", crop)
    assert wait.until == spread + relativedelta(days=days)
    assert wait.until == rrule(DAILY, dtstart=dt.datetime.combine(spread, dt.time()), count=days + 1)[-1].date()


@pytest.mark.parametrize(
    ("method", "days", "turnings", "low_f", "counts"),
    [
        ("windrow", 15, 5, "131", True),
        ("windrow", 14, 5, "140", False),
        ("windrow", 15, 4, "140", False),
        ("windrow", 15, 5, "130.9", False),
        ("windrow", 15, 5, "170", True),
        ("windrow", 15, 5, "190", False),
        ("vessel", 3, 0, "171", False),
        ("vessel", 3, 0, "131", True),
        ("vessel", 2, 0, "150", False),
        ("heap", 90, 10, "140", False),
    ],
)
def test_compost_counts_only_by_time_turning_and_heat(
    method: str, days: int, turnings: int, low_f: str, counts: bool
) -> None:
    """7 CFR 205.203(c)(2)(ii) and (iii)."""
    assert safety.compost_holds(method, days, turnings, Decimal(low_f)) is counts


def test_days_to_harvest_of_a_label_count_from_the_spraying() -> None:
    """Sprayed on 14 June 2027 with three days: the 17th is the first day picking is allowed (by calendar)."""
    spray = Treatment(4, "Brook 1", dt.date(2027, 6, 14), "sprayed", "soap", Decimal(3))
    season = Season(dt.date(2027, 6, 14), beds={"Brook 1": Bed("Brook 1", "Brook")}, treatments=[spray])
    assert [wait.until for wait in safety.waits(season, "Brook 1", "kale")] == [dt.date(2027, 6, 17)]


def test_a_longer_entry_wait_holds_over_a_shorter_harvest_wait() -> None:
    """Washington State University, "Entry and Preharvest Intervals": 72 h of entry over 48 h to harvest."""
    spray = Treatment(4, "Brook 1", dt.date(2027, 6, 14), "sprayed", "soap", Decimal(2), Decimal(72))
    season = Season(dt.date(2027, 6, 14), beds={"Brook 1": Bed("Brook 1", "Brook")}, treatments=[spray])
    clear = safety.clear_from(season, "Brook 1", "kale", dt.date(2027, 6, 14))
    assert clear is not None
    assert clear >= dt.date(2027, 6, 14) + dt.timedelta(hours=72)


def test_the_figures_agree_with_the_collected_rules() -> None:
    """Read where the collection of rules lies beside the project; each figure above is its copy with the citation."""
    if not SHARED.exists():
        return
    with SHARED.open(encoding="utf-8", newline="") as file:
        rows = {row["rule"]: row for row in csv.DictReader(file)}
    assert int(rows["raw manure before harvest, crop touches soil"]["figure"]) == safety.manure_days("radish")[0]
    assert int(rows["raw manure before harvest, crop off the soil"]["figure"]) == safety.manure_days("tomato")[0]
    windrow = safety.rules()["compost"]["windrow"]
    said = f"{windrow['low_f']} to {windrow['high_f']} F for {windrow['days']} days, turned {windrow['turnings']} times"
    assert rows["compost heat, windrow"]["figure"] == said
    assert "205.203(c)" in safety.manure_days("radish")[1]


def test_every_rule_names_its_source() -> None:
    def leaves(table: dict[str, object]) -> list[dict[str, object]]:
        below = [value for value in table.values() if isinstance(value, dict)]
        below += [row for value in table.values() if isinstance(value, list) for row in value if isinstance(row, dict)]
        return [leaf for inner in below for leaf in leaves(inner)] or [table]

    assert [rule for rule in leaves(safety.rules()) if not rule.get("source") or not rule.get("how")] == []
