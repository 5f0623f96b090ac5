"""How long what is picked keeps: lots by their last good day, by the crop, the cooler's temperature and the day's heat.

Keeping times are those of the storage tables, at their temperature. Warmer than that, life shortens as the tables
themselves show for romaine and soft herbs: 21 days at 0 C, 14 at 5 C (UC Davis), which is a factor of 2.25 for 10 C.
All of it is an estimate of quality, not of safety.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from engine.crops import CropFacts
from engine.events import Discarded
from engine.growth import crop_facts
from engine.learning import TEN_TO_NINETY, TENTH, Prior, Seen, next_one
from engine.normals import celsius, temperature_unit
from engine.observed import Observed
from engine.plain import day, number
from engine.state import Planting, Season
from engine.view import View
from engine.weather import WeatherBook

SHORTENS_BY = 2.25  # for 10 C warmer: UC Davis Produce Facts, romaine and herbs, 21 days at 0 C and 14 at 5 C
ORDINARY_COOLER_C = 3.0  # taken where nobody has logged a reading; our estimate of a small walk-in
READINGS_COUNT_DAYS = 14
CHILLED_SHARE = 0.5  # of its life left to a crop that is held colder than it bears; our estimate
HOT_PICKING_C, HOT_COSTS, HOT_COSTS_MOST = (
    27.0,
    0.03,
    0.3,
)  # share of life lost for each C of day high above; our estimate
DRY_HUMIDITY = 75  # per cent; crops stored drier than this are cured and do not need the cooler
WITHOUT_COOLER = {"leaf": (1.0, 1.0), "other": (1.0, 2.0), "dry": (14.0, 30.0)}  # days; common practice
SPOILED_BACK = dt.timedelta(days=400)
SPOILED_MOST = 6  # the latest ones; each asks for the season of another day
NO_COOLER = ("none", "no", "false", "without", "0")


@dataclass(frozen=True, slots=True)
class Keeping:
    """Days that a picking keeps from its own day on, surely (9 in 10 do) and likely."""

    surely: int
    likely: int
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LotLife:
    """What is left of one harvest, and the last day it is likely and surely good."""

    entry: int
    crop: str
    beds: tuple[str, ...]
    date: dt.date
    left: Decimal
    unit: str
    good_until: dt.date
    surely_until: dt.date
    lines: tuple[str, ...]


def has_cooler(season: Season) -> bool:
    """Whether the farm has a cooler: yes unless it said that it has none."""
    value = season.settings.get("cooler", True)
    return str(value).strip().lower() not in NO_COOLER


def lots_left(
    season: Season, book: WeatherBook, spoiled: Mapping[str, Observed], crop: str | None = None
) -> list[LotLife]:
    """The lots that hold anything, oldest first, each with its last good day."""
    found = []
    for lot in season.lots:
        if lot.left > 0 and crop in (None, lot.crop):
            known = crop_facts(season, book, Planting(0, lot.beds[0] if lot.beds else "", lot.crop, lot.date))
            kept = keeping(season, book, known, lot.date, spoiled.get(lot.crop, []))
            good, surely = (lot.date + dt.timedelta(days=days) for days in (kept.likely, kept.surely))
            found.append(LotLife(lot.entry, lot.crop, lot.beds, lot.date, lot.left, lot.unit, good, surely, kept.lines))
    return sorted(found, key=lambda lot: (lot.date, lot.entry))


def keeping(season: Season, book: WeatherBook, known: CropFacts, picked: dt.date, spoiled: Observed) -> Keeping:
    """How long a picking of that day keeps on this farm."""
    key = ("keeping", id(known), picked)
    if key not in book.memo:
        cooled = has_cooler(season)
        book.memo[key] = (known, _cooled(season, book, known, picked, spoiled) if cooled else _uncooled(known))
    kept: Keeping = book.memo[key][1]
    return kept


def _cooled(season: Season, book: WeatherBook, known: CropFacts, picked: dt.date, spoiled: Observed) -> Keeping:
    figure = known.figure("keeps")
    assert figure is not None
    low, high = float(figure.low), float(figure.high)
    lines = [f"{known.crop} keeps {figure.span} at {_held_at(known)} ({figure.how}: {figure.source})"]
    share = 1.0
    if not _dry(known):
        share, why = _share_kept(season, book, known, picked)
        lines += why
    middle = (low + high) / 2 * share
    learned = next_one(
        Prior(middle, max((high - low) * share / TEN_TO_NINETY, 0.1 * middle), 0.03 * middle, 0.08 * middle), spoiled,
        picked.year,
    )  # fmt: skip
    if learned.used:
        lines.append(f"your {learned.used} thrown out for age move {number(middle)} days to {number(learned.mean)}")
    surely = max(1, int(min(learned.mean - TENTH * learned.spread, learned.mean)))
    likely = max(1, int(learned.mean + 0.5))
    lines.append(f"so likely {likely} days, surely {surely} (an estimate)")
    return Keeping(surely, likely, tuple(lines))


def _uncooled(known: CropFacts) -> Keeping:
    kind = "dry" if _dry(known) else "leaf" if known.part == "leaf" else "other"
    surely, likely = WITHOUT_COOLER[kind]
    line = f"no cooler: {known.crop} taken to keep {number(likely)} days in the shade (common practice)"
    return Keeping(int(surely), int(likely), (line,))


def _dry(known: CropFacts) -> bool:
    return 0 < known.number("keeps_humidity") <= DRY_HUMIDITY


def _held_at(known: CropFacts) -> str:
    figure = known.figure("keeps_at")
    return figure.span if figure else "its best temperature"


def _share_kept(season: Season, book: WeatherBook, known: CropFacts, picked: dt.date) -> tuple[float, list[str]]:
    """The share of the printed life that the cooler and the heat of the picking day leave, and why."""
    degrees, said = cooler_temperature(season, book, picked)
    warmer = max(0.0, degrees - float(max(known.number("keeps_at"), 0.0)))
    share = SHORTENS_BY ** (-warmer / 10)
    lines = [f"cooler at {number(degrees)} C ({said}): {number(share * 100, 0)} % of that"] if warmer else []
    least = known.figures.get("chills_below")
    if least and degrees < float(least.low) - 1:
        share *= CHILLED_SHARE
        lines.append(f"colder than the {least.span} it bears: halved (our estimate; {least.source})")
    weather = book.day(picked)
    if weather and weather.high > HOT_PICKING_C:
        lost = min(HOT_COSTS_MOST, HOT_COSTS * (weather.high - HOT_PICKING_C))
        share *= 1 - lost
        lines.append(f"picked on a day of {number(weather.high)} C: {number(lost * 100, 0)} % less (our estimate)")
    return share, lines


def cooler_temperature(season: Season, book: WeatherBook, since: dt.date) -> tuple[float, str]:
    """The cooler's temperature in C since a day and where that is from: readings, the setting, an ordinary cooler."""
    start = min(since, book.today - dt.timedelta(days=READINGS_COUNT_DAYS))
    near = [degrees for date, degrees in book.cooler if date >= start]
    if near:
        return sum(near) / len(near), f"mean of {len(near)} readings" if len(near) > 1 else "one reading"
    degrees = celsius(season.settings.get("cooler_temperature"), temperature_unit(season.settings))
    if degrees is not None:
        return degrees, "as you set it"
    return ORDINARY_COOLER_C, "no reading logged, taken as an ordinary cooler"


def spoiled_ages(view: View) -> dict[str, Observed]:
    """How old what was thrown out of the cooler was, in days, by crop: the oldest lot of the crop on the eve of it."""
    start = view.today - SPOILED_BACK
    ages: dict[str, Observed] = {}
    for fact in view.facts(start, view.today, kinds=("discarded",), newest_first=True, limit=SPOILED_MOST):
        if isinstance(fact.event, Discarded):
            eve = view.season(fact.event.date - dt.timedelta(days=1))
            dates = [lot.date for lot in eve.lots if lot.crop == fact.event.crop and lot.left > 0]
            age = (fact.event.date - min(dates)).days if dates else 0
            if age > 0:
                ages.setdefault(fact.event.crop, []).append(Seen(fact.event.date.year, float(age)))
    return ages


def lot_line(lot: LotLife) -> str:
    """One lot as a plain line of workings."""
    beds = f" from {', '.join(lot.beds)}" if lot.beds else ""
    return f"{lot.crop} picked {day(lot.date)}{beds}: {lot.left} {lot.unit} left, good until {day(lot.good_until)}"
