"""When a planting is ready, how long it stands, and what it yields: one forecast, with the figures behind it.

Everything is a low, likely and high: of ten plantings like this one the truth lies below `low` in about one and above
`high` in about one, and half lie below `likely`. Nothing is kept; it is worked out from the season and the weather.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.crops import CUT_AGAIN, CropFacts, facts, usual_length
from engine.emergence import poor_above
from engine.growth_clock import LONGEST_WAIT
from engine.observed import cuts_of
from engine.plain import day, number
from engine.ready import (
    Wait,
    from_last_cut,
    from_sowing,
    growth_lines,
    killing_frost,
    ready_days,
    sighted_end,
    standing_days,
)
from engine.state import Planting, Season
from engine.triple import Triple
from engine.weather import NONE, WeatherBook
from engine.yields import cut_yield, sharing

__all__ = ["Forecast", "Triple", "crop_facts", "forecast", "if_sown", "next_cut", "next_cut_number", "sighted_end"]


@dataclass(frozen=True, slots=True)
class Forecast:
    """The next cut of one planting: ready from, best until, unsaleable (`gone`) after, and its yield in `unit`.

    `cut` is which cut it is, of `cuts` usual ones; `over` is True where the usual cuts are taken already. `known` is
    False where nobody has said what the crop yields: then the yield is 0 and is not to be counted on.
    `frost` is the usual day to come of a frost that kills it. `notes` say what was missing and what was assumed.
    """

    crop: str
    bed: str
    sown: dt.date
    cut: int
    cuts: int
    ready: Triple[dt.date]
    best_until: Triple[dt.date]
    gone: Triple[dt.date]
    yield_: Triple[Decimal]
    unit: str | None
    known: bool
    over: bool
    frost: dt.date | None
    notes: tuple[str, ...]
    workings: tuple[str, ...]

    @property
    def frosted(self) -> bool:
        """Whether frost usually kills it before it is ready."""
        return self.frost is not None and self.frost <= self.ready.likely


def forecast(season: Season, weather: WeatherBook, planting: Planting) -> Forecast:
    """The next cut of a standing planting."""
    known = crop_facts(season, weather, planting)
    last = max((picking.date for picking in planting.pickings), default=None)
    return _kept_cut(season, weather, planting, next_cut_number(known, planting), last)


def one_on(season: Season, weather: WeatherBook, planting: Planting, coming: Forecast) -> Forecast:
    """The cut after the coming one, if that is taken on its likely day."""
    return _kept_cut(season, weather, planting, coming.cut + 1, max(weather.today, coming.ready.likely))


def _kept_cut(season: Season, book: WeatherBook, planting: Planting, cut: int, last: dt.date | None) -> Forecast:
    """What `next_cut` gives, worked out once an answer, where what is ready and when its bed is free rest on it."""
    key = ("cut", id(season), id(planting), cut, last)
    if key not in book.memo:
        book.memo[key] = (season, planting, next_cut(season, book, planting, cut, last))
    kept: Forecast = book.memo[key][-1]
    return kept


def if_sown(
    season: Season, weather: WeatherBook, crop: str, bed: str | None, day: dt.date, *, transplanted: bool = False
) -> Forecast:
    """The first cut of the crop if it were sown (or planted out) on that day in that bed, or in a usual bed."""
    return next_cut(season, weather, Planting(0, bed or "", crop, day, transplanted=transplanted), 1, None)


def crop_facts(season: Season, book: WeatherBook, planting: Planting) -> CropFacts:
    """The facts that hold for this planting: of its crop, its variety and its plot."""
    bed = season.beds.get(planting.bed)
    key = ("facts", id(season), planting.crop, planting.variety, bed.plot if bed else None)
    if key not in book.memo:
        found = facts(season, planting.crop, variety=planting.variety, plot=bed.plot if bed else None)
        book.memo[key] = (season, found)
    kept: CropFacts = book.memo[key][1]
    return kept


def next_cut_number(known: CropFacts, planting: Planting) -> int:
    """Which cut comes next: a crop pulled once stays at its first, however often it is thinned out by picking."""
    return max(cuts_of(planting, known), default=0) + 1 if known.regrows else 1


def next_cut(season: Season, book: WeatherBook, planting: Planting, cut: int, last: dt.date | None) -> Forecast:
    """A given cut of a planting, the one before it taken on `last`."""
    known = crop_facts(season, book, planting)
    waits = from_last_cut(season, book, known, last) if cut > 1 and last else from_sowing(season, book, known, planting)
    ready = ready_days(waits)
    best, gone, ended = standing_days(known, book, planting, ready)
    if cut == 1 and planting.pickings:  # what was picked was ready
        first = min(picking.date for picking in planting.pickings)
        ready = Triple(min(ready.low, first), min(ready.likely, first), min(ready.high, first))
    amount, unit, yield_lines = cut_yield(season, book, known, planting, cut)
    frost = killing_frost(known, book, planting)
    over = known.habit == CUT_AGAIN and known.cuts < cut == next_cut_number(known, planting)
    if over:
        amount = Triple(Decimal(0), Decimal(0), Decimal(0))
    return Forecast(
        planting.crop, planting.bed, planting.sown, cut, known.cuts, replace(ready, low=min(ready.low, gone.low)),
        best, gone, amount, unit, unit is not None, over,
        frost if frost and frost >= book.today else None, _notes(season, book, known, planting, waits, ready),
        (*waits.lines, *growth_lines(waits, ready), *ended, *yield_lines, *known.notes),
    )  # fmt: skip


def _notes(
    season: Season, book: WeatherBook, known: CropFacts, planting: Planting, waits: Wait, ready: Triple[dt.date]
) -> tuple[str, ...]:
    notes = []
    counts = book.basis(waits.start, ready.likely)
    if not waits.by_calendar and counts.get(NONE, 0) * 2 > sum(counts.values()):
        notes.append("no temperatures, so plain days")
    if not known.known:
        notes.append(f"{known.crop} is not in our figures: plain defaults")
    bed = season.beds.get(planting.bed)
    if bed and bed.length_ft is None:
        notes.append(f"{bed.name} has no length: taken as {number(usual_length(season))} ft")
    if sharing(bed, planting) > 1:
        notes.append(f"{sharing(bed, planting)} plantings share {planting.bed}: an equal part each assumed")
    warm = poor_above(known)
    first = book.day(planting.sown)
    if not planting.transplanted and not planting.pickings and warm and first and first.mean > warm + 2:
        notes.append(f"soil above {number(warm)} C: seed may come up poorly")
    frost = killing_frost(known, book, planting)
    if frost and frost <= ready.likely:
        notes.append(f"usually killed by frost about {day(frost)}, before it is ready")
    if (ready.likely - waits.start).days >= LONGEST_WAIT - 10:
        notes.append("too cold or dark to get there")
    return tuple(notes)
