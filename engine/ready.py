"""When a planting is ready and how long it stands: growth from sowing or from the last cut, in printed days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace

from engine import observed
from engine.crops import CropFacts
from engine.emergence import REFERENCE_C, days_to_emerge, emerged_on, season_of
from engine.growth_clock import Clock, growth_clock
from engine.learning import TEN_TO_NINETY, TENTH, Learned, Prior, next_one
from engine.observed import Observed
from engine.plain import day, number
from engine.seeds import counted_from_planting
from engine.state import Planting, Season
from engine.triple import Triple
from engine.weather import EARLIER, LOGGED, NEARBY, NONE, NORMAL, WeatherBook

# Spreads between years and between plantings of one year, as shares of the figure; our estimates, which the farm's
# own records correct as they grow.
YEARS, PLANTINGS, LEAST_FARMS = 0.05, 0.08, 0.04
# The spread of each part of the wave over the year, as a share, where no temperatures tell spring from summer: common
# practice has summer take 7 to 10 of lettuce's 50 days and late autumn add 20, a wave of about 0.28 in all.
# Then weather adds to what differs between plantings: 0.08 of five weeks as cool as printed days, less of warm ones.
TURNS, PLANTINGS_IN_ANY_WEATHER = 0.2, 0.1

OVER_WINTER_DAYS = 180  # a crop that takes longer stands through the winter and is counted in plain days
TRANSPLANT_SHARE = 0.7  # of the days from sowing, where no days from planting out are printed; our estimate
TENDER_FROM = 8.0  # C; crops whose growth starts so warm are killed by the first frost, common practice
BEARS_NONE = -1  # C; so are crops whose leaves survive no colder than this
LONGEST_HOLD = 2.5  # times the printed standing days that cold may keep a ready crop; our estimate

# Words of a sighting that end a leaf or root crop; fruit and flower crops are meant to flower.
THE_END = (
    "flower", "bolt", "to seed", "seed stalk", "pithy", "woody", "split", "oversize", "too big", "rotten", "rotting",
)  # fmt: skip
DAYS_AFTER_THE_END = 3  # common practice: a bolting green can be sold for two or three days more


@dataclass(frozen=True, slots=True)
class Wait:
    """Growth that is waited for: from a morning on, so many printed days with so much spread, and why."""

    start: dt.date
    learned: Learned
    clock: Clock
    lines: tuple[str, ...]
    by_calendar: bool = False


def from_sowing(season: Season, book: WeatherBook, known: CropFacts, planting: Planting) -> Wait:
    """From sowing, or planting out, to the first cut."""
    planted = counted_from_planting(known, planting.transplanted)
    name = "days_transplanted" if planted else "days"
    printed, share, source = _printed(known, name)
    clock = growth_clock(known, book, figure=name)
    by_calendar = printed[1] * share > OVER_WINTER_DAYS
    if by_calendar:
        clock = growth_clock(known, WeatherBook(book.today))
    prior = _prior(printed[0] * share, printed[1] * share, weather_known=by_calendar or book.knows_days)
    learned = _learned(
        book, (known, name, planting.sown), prior,
        lambda: observed.first_cuts(season, book, known, clock, transplanted=planted),
    )  # fmt: skip
    lines = [f"{planting.crop} {'planted out' if planted else 'sown'} {day(planting.sown)}: {source}"]
    lines += _learned_lines(learned, prior, "days")
    if planted:
        return Wait(planting.sown, learned, clock, tuple(lines), by_calendar)
    up = emerged_on(known, book, planting.sown)
    usual = days_to_emerge(known, REFERENCE_C[season_of(known)])
    lines.append(f"up about {day(up)}, by the air's mean temperature in place of the soil's")
    rest = replace(learned, mean=max(1.0, learned.mean - usual))
    return Wait(up, rest, clock, tuple(lines), by_calendar)


def learned_days(season: Season, book: WeatherBook, known: CropFacts, name: str) -> Learned:
    """What the farm's own records make of a figure in printed days; none is `used` where it stands as printed."""
    if name == "regrowth":
        return from_last_cut(season, book, known, book.today).learned
    out = name == "days_transplanted"
    learned = from_sowing(season, book, known, Planting(0, "", known.crop, book.today, transplanted=out)).learned
    usual = 0.0 if out else days_to_emerge(known, REFERENCE_C[season_of(known)])
    return replace(learned, mean=learned.mean + usual)


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


def from_last_cut(season: Season, book: WeatherBook, known: CropFacts, last: dt.date) -> Wait:
    """From one cut to the next."""
    figure = known.figure("regrowth")
    assert figure is not None
    clock = growth_clock(known, book, figure="regrowth")
    prior = _prior(float(figure.low), float(figure.high), weather_known=book.knows_days)
    learned = _learned(book, (known, "regrowth", last), prior, lambda: observed.regrowths(season, book, known, clock))
    source = f"cut {day(last)}; {figure.span} ({figure.how}: {figure.source})"
    return Wait(last, learned, clock, (source, *_learned_lines(learned, prior, "days between cuts")))


def _learned(
    book: WeatherBook, about: tuple[CropFacts, str, dt.date], prior: Prior, seen: Callable[[], Observed]
) -> Learned:
    """What is learned of one figure of a crop for one year, or one day of it, worked out once a question."""
    known, name, begun = about
    turn = observed.turn_of(begun) if prior.turns else 0.0
    key, records = ("learned", id(known), name, begun.year, turn), ("records", id(known), name)
    if records not in book.memo:
        book.memo[records] = seen()
    if key not in book.memo:
        book.memo[key] = next_one(prior, book.memo[records], begun.year, turn)
    learned: Learned = book.memo[key]
    return learned


def _prior(low: float, high: float, *, weather_known: bool) -> Prior:
    mean = (low + high) / 2
    farms = max((high - low) / TEN_TO_NINETY, LEAST_FARMS * mean)
    plantings, turns = (PLANTINGS, 0.0) if weather_known else (PLANTINGS_IN_ANY_WEATHER, TURNS)
    return Prior(mean, farms, YEARS * mean, plantings * mean, turns * mean)


def _learned_lines(learned: Learned, prior: Prior, what: str) -> list[str]:
    lines = []
    if learned.used:
        lines.append(
            f"your {learned.used} on record move {number(prior.mean)} printed {what} to {number(learned.mean)}"
        )
    if learned.left_out:
        lines.append(f"{learned.left_out} on record left out, too unlike the rest")
    return lines


def ready_days(waits: Wait) -> Triple[dt.date]:
    """The days by which the crop is ready, with what is unknown of growth and of temperature."""
    mean = waits.learned.mean
    likely = waits.clock.reached(waits.start, mean)
    unknown = 0.0 if waits.by_calendar else waits.clock.spread(waits.start, likely)
    spread = (waits.learned.spread**2 + unknown**2) ** 0.5
    early = waits.clock.reached(waits.start, max(mean / 3, mean - TENTH * spread))
    late = waits.clock.reached(waits.start, mean + TENTH * spread)
    return Triple(early, likely, late)


def standing_days(
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
    frost = killing_frost(known, book, planting)
    if frost and frost > ready.likely:
        best, gone = _by(best, frost), _by(gone, frost)
        lines.append(f"usually killed by frost about {day(frost)}")
    ended = sighted_end(known, planting)
    if ended:
        date, what = ended
        last = date + dt.timedelta(days=DAYS_AFTER_THE_END)
        best, gone = _by(best, date), _by(gone, last)
        lines.append(f"{what} seen {day(date)}: best is over, unsaleable from {day(last)} (common practice)")
    return best, gone, tuple(lines)


def _by(days: Triple[dt.date], last: dt.date) -> Triple[dt.date]:
    """The days, none later than `last`."""
    return Triple(min(days.low, last), min(days.likely, last), min(days.high, last))


def killing_frost(known: CropFacts, book: WeatherBook, planting: Planting) -> dt.date | None:
    """The usual first frost after sowing, for a crop that bears none; None for hardy crops or where it was not said.

    One that is only thought of and would go out in winter is killed on its first day; what stands was not.
    """
    hardy = known.figure("frost")
    tender = known.number("base_temperature") >= TENDER_FROM or (hardy is not None and hardy.low >= BEARS_NONE)
    if tender and planting.sown >= book.today and book.freezes(planting.sown):
        return planting.sown
    return book.frost_after(planting.sown) if tender else None


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


def growth_lines(waits: Wait, ready: Triple[dt.date]) -> tuple[str, ...]:
    clock, book = waits.clock, waits.clock.book
    ends = f"ready {day(ready.likely)}, in 8 of 10 cases between {day(ready.low)} and {day(ready.high)}"
    if waits.by_calendar:
        return (f"{number(waits.learned.mean, 0)} days from {day(waits.start)}, through the winter", ends)
    counts = book.basis(waits.start, max(waits.start, ready.likely - dt.timedelta(days=1)))
    said = {
        LOGGED: "logged",
        NORMAL: "monthly averages",
        NEARBY: "from logged days nearby",
        EARLIER: "from logged days of earlier years",
        NONE: "no temperature",
    }
    basis = ", ".join(f"{count} days {said[name]}" for name, count in counts.items())
    heat = clock.degree_days(waits.start, ready.likely)
    return (
        f"{number(waits.learned.mean)} printed days to grow from {day(waits.start)}; a printed day is "
        f"{number(clock.printed)} degree days over {number(clock.base)} C, cut off at {number(clock.upper)} C",
        f"{number(heat, 0)} degree days by {day(ready.likely)}: {basis}",
        ends,
    )
