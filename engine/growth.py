"""When a planting is ready, how long it stands, and what it yields: one forecast, with the figures behind it.

Everything is a low, likely and high: of ten plantings like this one the truth lies below `low` in about one and above
`high` in about one, and half lie below `likely`. Nothing is kept; it is worked out from the season and the weather.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from math import exp, log
from typing import Generic, TypeVar

from engine import observed
from engine.crops import CUT_AGAIN, ONE_HEAD, PICKED, PULLED_ONCE, CropFacts, facts, usual_length
from engine.emergence import REFERENCE_C, days_to_emerge, emerged_on, poor_above, season_of
from engine.growth_clock import Clock, growth_clock
from engine.learning import TEN_TO_NINETY, TENTH, Learned, Prior, next_one
from engine.plain import day, number
from engine.state import Planting, Season
from engine.weather import LOGGED, NEARBY, NORMAL, WeatherBook

T = TypeVar("T", dt.date, Decimal)

# Spreads between years and between plantings of one year, as shares of the figure; our estimates, which the farm's
# own records correct as they grow.
YEARS, PLANTINGS, LEAST_FARMS = 0.05, 0.08, 0.04
YIELD_YEARS, YIELD_PLANTINGS, LEAST_YIELD_FARMS = 0.12, 0.25, 0.15  # of the logarithm

OVER_WINTER_DAYS = 180  # a crop that takes longer stands through the winter and is counted in plain days
TRANSPLANT_SHARE = 0.7  # of the days from sowing, where no days from planting out are printed; our estimate
LONGEST_HOLD = 2.5  # times the printed standing days that cold may keep a ready crop; our estimate
FIRST_CUT = 1.15  # of the printed yield a cut: "first cuts at the high end", market-garden manuals

# Words of a sighting that end a leaf or root crop; fruit and flower crops are meant to flower.
THE_END = (
    "flower",
    "bolt",
    "to seed",
    "seed stalk",
    "pithy",
    "woody",
    "split",
    "oversize",
    "too big",
    "rotten",
    "rotting",
)
DAYS_AFTER_THE_END = 3  # common practice: a bolting green can be sold for two or three days more


@dataclass(frozen=True, slots=True)
class Triple(Generic[T]):
    """The 10 %, 50 % and 90 % points of a day or an amount."""

    low: T
    likely: T
    high: T


@dataclass(frozen=True, slots=True)
class Forecast:
    """The next cut of one planting: ready from, best until, unsaleable (`gone`) after, and its yield in `unit`.

    `cut` is which cut it is, of `cuts` usual ones; `over` is True where the usual cuts are taken already. `known` is
    False where nobody has said what the crop yields: then the yield is 0 and is not to be counted on.
    `notes` say what was missing and what was assumed.
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
    notes: tuple[str, ...]
    workings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Wait:
    """Growth that is waited for: from a morning on, so many printed days with so much spread, and why."""

    start: dt.date
    learned: Learned
    clock: Clock
    lines: tuple[str, ...]
    by_calendar: bool = False


def forecast(season: Season, weather: WeatherBook, planting: Planting) -> Forecast:
    """The next cut of a standing planting."""
    known = crop_facts(season, weather, planting)
    last = max((picking.date for picking in planting.pickings), default=None)
    return next_cut(season, weather, planting, next_cut_number(known, planting), last)


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
    return planting.cuts_taken + 1 if known.regrows else 1


def next_cut(season: Season, book: WeatherBook, planting: Planting, cut: int, last: dt.date | None) -> Forecast:
    """A given cut of a planting, the one before it taken on `last`."""
    known = crop_facts(season, book, planting)
    waits = _regrowth(season, book, known, last) if cut > 1 and last else _growth(season, book, known, planting)
    ready = _ready(waits)
    best, gone, ended = _window(known, book, planting, ready)
    if cut == 1 and planting.pickings:  # what was picked was ready
        first = min(picking.date for picking in planting.pickings)
        ready = Triple(min(ready.low, first), min(ready.likely, first), min(ready.high, first))
    amount, unit, yield_lines = _yield(season, book, known, planting, cut)
    over = known.habit == CUT_AGAIN and cut > known.cuts and planting.cuts_taken >= known.cuts
    if over:
        amount = Triple(Decimal(0), Decimal(0), Decimal(0))
    return Forecast(
        planting.crop, planting.bed, planting.sown, cut, known.cuts, replace(ready, low=min(ready.low, gone.low)),
        best, gone, amount, unit, unit is not None, over, _notes(season, book, known, planting, waits, ready),
        (*waits.lines, *_clock_lines(waits, ready), *ended, *yield_lines, *known.notes),
    )  # fmt: skip


def _growth(season: Season, book: WeatherBook, known: CropFacts, planting: Planting) -> _Wait:
    """From sowing, or planting out, to the first cut."""
    name = "days_transplanted" if planting.transplanted else "days"
    printed, share, source = _printed(known, name)
    clock = growth_clock(known, book, figure=name)
    by_calendar = printed[1] * share > OVER_WINTER_DAYS
    if by_calendar:
        clock = growth_clock(known, WeatherBook(book.today))
    prior = _prior(printed[0] * share, printed[1] * share)
    seen = observed.first_cuts(season, book, known, clock, transplanted=planting.transplanted)
    learned = next_one(prior, seen, planting.sown.year)
    lines = [f"{planting.crop} {'planted out' if planting.transplanted else 'sown'} {day(planting.sown)}: {source}"]
    lines += _learned_lines(learned, prior, "days")
    if planting.transplanted:
        return _Wait(planting.sown, learned, clock, tuple(lines), by_calendar)
    up = emerged_on(known, book, planting.sown)
    usual = days_to_emerge(known, REFERENCE_C[season_of(known)])
    lines.append(f"up about {day(up)}, by the air's mean temperature in place of the soil's")
    rest = replace(learned, mean=max(1.0, learned.mean - usual))
    return _Wait(up, rest, clock, tuple(lines), by_calendar)


def _printed(known: CropFacts, name: str) -> tuple[tuple[float, float], float, str]:
    """The range of days, the share of it that counts, and where it is from, in words."""
    figure, other = known.figures.get(name), "days" if name == "days_transplanted" else "days_transplanted"
    share, how = 1.0, ""
    if figure is None and other in known.figures:
        figure = known.figures[other]
        share = TRANSPLANT_SHARE if other == "days" else 1 / TRANSPLANT_SHARE
        how = f", times {number(share, 2)} for want of a figure of its own (our estimate)"
    figure = figure or known.figure(name)
    assert figure is not None
    return (float(figure.low), float(figure.high)), share, f"{figure.span}{how} ({figure.how}: {figure.source})"


def _regrowth(season: Season, book: WeatherBook, known: CropFacts, last: dt.date) -> _Wait:
    """From one cut to the next."""
    figure = known.figure("regrowth")
    assert figure is not None
    clock = growth_clock(known, book, figure="regrowth")
    prior = _prior(float(figure.low), float(figure.high))
    learned = next_one(prior, observed.regrowths(season, book, known, clock), last.year)
    source = f"cut {day(last)}; {figure.span} ({figure.how}: {figure.source})"
    return _Wait(last, learned, clock, (source, *_learned_lines(learned, prior, "days between cuts")))


def _prior(low: float, high: float) -> Prior:
    mean = (low + high) / 2
    return Prior(mean, max((high - low) / TEN_TO_NINETY, LEAST_FARMS * mean), YEARS * mean, PLANTINGS * mean)


def _learned_lines(learned: Learned, prior: Prior, what: str) -> list[str]:
    lines = []
    if learned.used:
        lines.append(
            f"your {learned.used} on record move {number(prior.mean)} printed {what} to {number(learned.mean)}"
        )
    if learned.left_out:
        lines.append(f"{learned.left_out} on record left out, too unlike the rest")
    return lines


def _ready(waits: _Wait) -> Triple[dt.date]:
    """The days by which the crop is ready, with what is unknown of growth and of temperature."""
    mean = waits.learned.mean
    likely = waits.clock.reached(waits.start, mean)
    unknown = 0.0 if waits.by_calendar else waits.clock.spread(waits.start, likely)
    spread = (waits.learned.spread**2 + unknown**2) ** 0.5
    early = waits.clock.reached(waits.start, max(mean / 3, mean - TENTH * spread))
    late = waits.clock.reached(waits.start, mean + TENTH * spread)
    return Triple(early, likely, late)


def _window(
    known: CropFacts, book: WeatherBook, planting: Planting, ready: Triple[dt.date]
) -> tuple[Triple[dt.date], Triple[dt.date], tuple[str, ...]]:
    """Best until and unsaleable after: the crop ages on from ready, faster in heat, and a sighting can end it."""
    figure = known.figure("stands")
    assert figure is not None
    ageing = growth_clock(known, book, ageing=True)
    best, gone = (
        Triple(
            _stands(ageing, ready.low, 0.75 * days),
            _stands(ageing, ready.likely, days),
            _stands(ageing, ready.high, 1.25 * days),
        )
        for days in (float(figure.low), float(figure.high))
    )
    lines = [f"stands {number(figure.low)} days at its best and {number(figure.high)} in all in its printed season, "
             f"less in heat ({figure.how}: {figure.source})"]  # fmt: skip
    ended = sighted_end(known, planting)
    if ended is None:
        return best, gone, tuple(lines)
    date, what = ended
    last = date + dt.timedelta(days=DAYS_AFTER_THE_END)
    lines.append(f"{what} seen {day(date)}: best is over, unsaleable from {day(last)} (common practice)")
    return (
        Triple(*(min(date, known_day) for known_day in (best.low, best.likely, best.high))),
        Triple(*(min(last, known_day) for known_day in (gone.low, gone.likely, gone.high))),
        tuple(lines),
    )


def _stands(ageing: Clock, ready: dt.date, days: float) -> dt.date:
    """The day until which a ready crop stands; cold holds it, but rot and frost come to it in the end."""
    return min(ageing.reached(ready, days), ready + dt.timedelta(days=round(days * LONGEST_HOLD)))


def sighted_end(known: CropFacts, planting: Planting) -> tuple[dt.date, str] | None:
    """The first sighting since the last cut that ends the crop, as (day, words), or None."""
    if known.fruits:
        return None
    since = max((picking.date for picking in planting.pickings), default=planting.sown)
    for date, what in sorted(planting.sightings):
        if date >= since and any(word in what.lower() for word in THE_END):
            return date, what
    return None


def _yield(
    season: Season, book: WeatherBook, known: CropFacts, planting: Planting, cut: int
) -> tuple[Triple[Decimal], str | None, tuple[str, ...]]:
    """The amount to expect of a cut, its unit, and how it was worked out."""
    unit = observed.usual_unit(season, book, known)
    prior, source, unit = _yield_prior(known, unit)
    seen = observed.first_cut_yields(season, book, known, unit) if unit else []
    if unit is None or (prior is None and not seen):
        return Triple(Decimal(0), Decimal(0), Decimal(0)), None, (f"no yield of {known.crop} is known here",)
    wide = Prior(seen[0][1], 0.5, YIELD_YEARS, YIELD_PLANTINGS) if seen else None
    learned = next_one(prior or wide or Prior(0, 1, 1, 1), seen, book.today.year)
    bed = season.beds.get(planting.bed)
    length = (bed.length_ft if bed else None) or usual_length(season)
    scale = float(length) * float(planting.stand) / 100 * observed.share_of_cut(known, cut)
    amounts = [exp(learned.mean + step * TENTH * learned.spread) * scale for step in (-1, 0, 1)]
    picked = observed.picked_already(season, planting, unit) if known.habit in (PULLED_ONCE, ONE_HEAD) else Decimal(0)
    low, likely, high = (max(Decimal(0), rounded(amount, unit) - picked) for amount in amounts)
    lines = [f"{source}; for the {number(length)} ft bed, a {number(planting.stand)} % stand and cut {cut}: "
             f"{number(amounts[1])} {unit} ({number(amounts[0])} to {number(amounts[2])})"]  # fmt: skip
    if learned.used:
        lines.append(f"your {learned.used} cuts on record make it {number(exp(learned.mean), 2)} {unit} a foot")
    if picked:
        lines.append(f"less {number(picked)} {unit} picked already")
    return Triple(low, likely, high), unit, tuple(lines)


def _yield_prior(known: CropFacts, unit: str | None) -> tuple[Prior | None, str, str | None]:
    """The published yield of a first cut of one foot as a logarithm, its source, and the unit it is in."""
    found = known.yield_in(unit)
    if found is None:
        return None, f"no printed yield in {unit}", unit
    way, figure = found
    pickings = known.cuts if way == "season" else 1
    first = 1.0 if figure.how == "yours" or not known.regrows or known.habit == PICKED else FIRST_CUT
    low, high = (log(float(side) / pickings * first) for side in (figure.low, figure.high))
    middle = log(float(figure.likely)) if figure.how == "yours" else (low + high) / 2
    prior = Prior(middle, max((high - low) / TEN_TO_NINETY, LEAST_YIELD_FARMS), YIELD_YEARS, YIELD_PLANTINGS)
    each = f" over {pickings} pickings" if pickings > 1 else ""
    return prior, f"{figure.span} a foot{each} ({figure.how}: {figure.source})", figure.unit


def rounded(amount: float, unit: str | None) -> Decimal:
    """An amount as exactly as it can be meant: whole things, or halves of a pound or kilogram."""
    step = Decimal("0.5") if unit in ("lb", "kg") else Decimal(1)
    return (Decimal(str(amount)) / step).quantize(Decimal(1), ROUND_HALF_UP) * step


def _clock_lines(waits: _Wait, ready: Triple[dt.date]) -> tuple[str, ...]:
    clock, book = waits.clock, waits.clock.book
    ends = f"ready {day(ready.likely)}, in 8 of 10 cases between {day(ready.low)} and {day(ready.high)}"
    if waits.by_calendar:
        return (f"{number(waits.learned.mean, 0)} days from {day(waits.start)}, through the winter", ends)
    counts = book.basis(waits.start, max(waits.start, ready.likely - dt.timedelta(days=1)))
    said = {LOGGED: "logged", NORMAL: "monthly averages", NEARBY: "from logged days nearby", "none": "no temperature"}
    basis = ", ".join(f"{count} days {said[name]}" for name, count in counts.items())
    heat = clock.degree_days(waits.start, ready.likely)
    return (
        f"{number(waits.learned.mean)} printed days to grow from {day(waits.start)}; a printed day is "
        f"{number(clock.printed)} degree days over {number(clock.base)} C, cut off at {number(clock.upper)} C",
        f"{number(heat, 0)} degree days by {day(ready.likely)}: {basis}",
        ends,
    )


def _notes(
    season: Season, book: WeatherBook, known: CropFacts, planting: Planting, waits: _Wait, ready: Triple[dt.date]
) -> tuple[str, ...]:
    notes = []
    counts = book.basis(waits.start, ready.likely)
    if not waits.by_calendar and counts.get("none", 0) * 2 > sum(counts.values()):
        notes.append("no temperatures, so plain days")
    if not known.known:
        notes.append(f"{known.crop} is not in our figures: plain defaults")
    bed = season.beds.get(planting.bed)
    if bed and bed.length_ft is None:
        notes.append(f"{bed.name} has no length: taken as {number(usual_length(season))} ft")
    warm = poor_above(known)
    first = book.day(planting.sown)
    if not planting.transplanted and not planting.pickings and warm and first and first.mean > warm + 2:
        notes.append(f"soil above {number(warm)} C: seed may come up poorly")
    if (ready.likely - waits.start).days >= 540:
        notes.append("too cold or dark to get there")
    return tuple(notes)
