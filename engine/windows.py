"""The field window of each planting, cut by cut: from when, how long and how much; and when its bed comes free."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from math import exp

from engine.crops import CUT_AGAIN, PICKED
from engine.daylength import daylight
from engine.growth import Forecast, Triple, crop_facts, forecast, one_on, sighted_end
from engine.growth_clock import growth_clock
from engine.safety import clear_from
from engine.state import Planting, Season
from engine.weather import WeatherBook

MOST_CUTS_AHEAD = 12
LINGERS_DAYS = (
    21  # common practice: a root or head crop is pulled over three weeks at the most before the bed is wanted
)
# The odds of bolting on a logistic scale, all our estimates: at the first cut in heat that the crop just bears, for its
# usual life after that, for each C of day high above it, and for each hour of day beyond a long day.
RESTING_SCORE, AGE_ADDS, DEGREE_ADDS, HOUR_ADDS, LONG_DAY = -4.2, 3.2, 0.6, 0.35, 14.0
RECENT_DAYS = 10  # the heat of so many days up to a cut tells how near to bolting it is


@dataclass(frozen=True, slots=True)
class FieldWindow:
    """One cut to come. `pick_from` is the first day that it is ready and clear of waiting times (None: a wait of
    unknown length). `assumed`: an earlier cut is taken to be made on its likely day; `risk` is that
    of bolting before it is ready (0 where it is: whoever picks it sees it).
    """

    bed: str
    plot: str
    crop: str
    forecast: Forecast
    pick_from: dt.date | None
    wait: bool
    cover: str | None
    last: bool
    assumed: bool
    risk: Decimal

    @property
    def best_by(self) -> dt.date:
        return self.forecast.best_until.likely

    @property
    def gone_by(self) -> dt.date:
        return self.forecast.gone.likely


def windows(season: Season, book: WeatherBook, planting: Planting, until: dt.date) -> tuple[FieldWindow, ...]:
    """The planting's cuts that may be ready by `until`, the next one always, as far as its usual cuts go."""
    coming = forecast(season, book, planting)
    if coming.over or picked_through(planting, coming):
        return ()
    found = [_window(season, book, planting, coming, assumed=False)]
    known = crop_facts(season, book, planting)
    while known.regrows and not found[-1].last and len(found) < MOST_CUTS_AHEAD:
        coming = one_on(season, book, planting, coming)
        if coming.ready.low > until or coming.frosted or sighted_end(known, planting):
            break
        found.append(_window(season, book, planting, coming, assumed=True))
    return tuple(found)


def _window(season: Season, book: WeatherBook, planting: Planting, coming: Forecast, *, assumed: bool) -> FieldWindow:
    bed, known = season.beds.get(planting.bed), crop_facts(season, book, planting)
    clear = clear_from(season, planting.bed, planting.crop, book.today)
    pick_from = max(coming.ready.likely, clear) if clear else None
    return FieldWindow(
        bed=planting.bed,
        plot=bed.plot if bed else "",
        crop=planting.crop,
        forecast=coming,
        pick_from=pick_from,
        wait=clear is None or clear > max(book.today, coming.ready.likely),
        cover=(bed.cover or "cover") if bed and bed.covered_since else None,
        last=coming.cut >= known.cuts or sighted_end(known, planting) is not None,
        assumed=assumed,
        risk=bolt_risk(season, book, planting, coming.ready.likely) if coming.ready.likely > book.today else Decimal(0),
    )


def all_windows(season: Season, book: WeatherBook, until: dt.date, crop: str | None = None) -> list[FieldWindow]:
    """The windows of all that stands in the beds (or of one crop), soonest first."""
    plantings = [planting for planting in season.plantings() if crop in (None, planting.crop)]
    found = [window for planting in plantings for window in windows(season, book, planting, until)]
    return sorted(found, key=lambda window: (window.forecast.ready.likely, window.bed))


def frees(season: Season, book: WeatherBook, planting: Planting) -> Triple[dt.date]:
    """When the planting's bed is likely to come free: after its last usual cut, or once it is unsaleable.

    A pulled crop is out between the day it is ready and the end of its best days, three weeks on at the most; a crop
    that is cut again is out with its last cut; a crop picked week after week when its pickings are through.
    """
    known = crop_facts(season, book, planting)
    last = forecast(season, book, planting)
    while known.regrows and not last.over and last.cut < known.cuts and sighted_end(known, planting) is None:
        following = one_on(season, book, planting, last)
        if following.frosted:
            break
        last = following
    if last.over or picked_through(planting, last):
        return Triple(book.today, book.today, book.today)
    ends = last.best_until.likely
    if known.habit in (CUT_AGAIN, PICKED):
        likely = last.ready.likely
    else:
        likely = min(ends, last.ready.likely + dt.timedelta(days=LINGERS_DAYS))
    days = (last.ready.low, likely, max(likely, min(last.gone.likely, likely + dt.timedelta(days=LINGERS_DAYS))))
    return Triple(*(max(book.today, day) for day in days))


def picked_through(planting: Planting, coming: Forecast) -> bool:
    """Whether picking has likely left nothing of a crop that does not grow again, or all of it was lost."""
    nothing_left = coming.cut == 1 and coming.known and coming.yield_.likely == 0
    return planting.stand == 0 or (bool(planting.pickings) and nothing_left)


def frees_bed(season: Season, book: WeatherBook, bed: str) -> Triple[dt.date] | None:
    """When the bed is likely to come free of all that stands in it, None where nothing does."""
    standing = season.beds[bed].plantings if bed in season.beds else []
    each = [frees(season, book, planting) for planting in standing]
    if not each:
        return None
    return Triple(max(one.low for one in each), max(one.likely for one in each), max(one.high for one in each))


def bolt_risk(season: Season, book: WeatherBook, planting: Planting, day: dt.date) -> Decimal:
    """The chance, 0 to 1, that a leaf crop has bolted or turned bitter by `day`: a rough estimate of ours.

    It rises with day highs above what the crop bears, with days longer than 14 hours, and with how far the crop is from
    its first cut to the end of its usual life. Without temperatures it rests on age and day length alone. A crop in
    mild weather makes its usual cuts with little risk; arugula at 31 C has an even chance of losing its second.
    """
    known = crop_facts(season, book, planting)
    if known.fruits or "bolts_above" not in known.figures:
        return Decimal(0)
    score = RESTING_SCORE + AGE_ADDS * _age(season, book, planting, day)
    highs = [found.high for found in map(book.day, _days_before(day)) if found]
    if highs:
        score += DEGREE_ADDS * (sum(highs) / len(highs) - known.number("bolts_above"))
    if book.latitude is not None:
        score += HOUR_ADDS * max(0.0, daylight(book.latitude, day.timetuple().tm_yday) - LONG_DAY)
    return Decimal(str(round(1 / (1 + exp(-score)), 2)))


def _age(season: Season, book: WeatherBook, planting: Planting, day: dt.date) -> float:
    """0 up to the first cut, 1 at the last usual one (or where a crop pulled once is past sale), more beyond it."""
    known = crop_facts(season, book, planting)
    days = known.number("days_transplanted" if planting.transplanted else "days", 40)
    stands = known.figure("stands")
    after = (known.cuts - 1) * known.number("regrowth") if known.regrows else float(stands.high if stands else 14)
    return max(0.0, growth_clock(known, book).grown(planting.sown, day) - days) / max(1.0, after)


def _days_before(day: dt.date) -> list[dt.date]:
    return [day - dt.timedelta(days=back) for back in range(RECENT_DAYS)]
