"""Simulated farms whose truth is known: how often forecasts hold it, and how far they miss it.

The truth is made by another model than the engine's, so that it cannot flatter itself: growth hour by hour on a smooth
temperature response (Yin et al. 1995, Agric. Forest Meteorol. 77:1-16, the beta function) with cardinal temperatures
drawn anew for each farm, weather by a first-order autoregression around the farm's monthly normals, and for each farm,
year and planting its own pace. The farm picks up to two days after the crop is ready and weighs what it picks.

Run: python tests/benchmarks/bench_growth.py [farms]
"""

from __future__ import annotations

import datetime as dt
import math
import random
import statistics
import sys
from dataclasses import dataclass, field
from decimal import Decimal

from engine.crops import facts
from engine.growth import Forecast, forecast
from engine.normals import Normals
from engine.state import Bed, Picking, Planting, Season
from engine.weather import WeatherBook

CROPS = ("radish", "arugula", "salad mix", "lettuce", "spinach", "bok choy")
YEARS = (2025, 2026, 2027)
PLANTINGS_A_YEAR = 7
FIRST_SOWING, SOWING_GAP = (4, 10), 18
BED_FT = 50


@dataclass(slots=True)
class Score:
    """What came of the forecasts: how many held the truth, and how far they and the printed days were off, in days."""

    held: int = 0
    total: int = 0
    yield_held: int = 0
    errors: list[float] = field(default_factory=list)
    printed_errors: list[float] = field(default_factory=list)
    late_errors: list[float] = field(default_factory=list)  # after ten plantings
    late_printed: list[float] = field(default_factory=list)
    widths: list[int] = field(default_factory=list)

    @property
    def coverage(self) -> float:
        return self.held / self.total

    @property
    def yield_coverage(self) -> float:
        return self.yield_held / self.total


@dataclass(frozen=True, slots=True)
class Farm:
    """One invented farm: its climate and the true pace and yield of one crop on it."""

    normals: Normals
    crop: str
    days: float
    base: float
    best: float
    ceiling: float
    yield_per_ft: float


def a_farm(chance: random.Random, crop: str) -> Farm:
    """A farm in a temperate climate, its true figures drawn from about the published ranges."""
    known = facts(Season(day=dt.date(2025, 1, 1)), crop)
    days, amount = known.figures["days"], known.yields[0][1]
    cuts = known.cuts if known.yields[0][0] == "season" else 1
    mean, swing = chance.uniform(8, 12), chance.uniform(8, 11.5)
    months = [mean - swing * math.cos(2 * math.pi * (month - 0.5) / 12) for month in range(1, 13)]
    half = chance.uniform(4, 6)
    low, high = math.log(float(amount.low) / cuts), math.log(float(amount.high) / cuts)
    return Farm(
        normals=Normals(tuple(m + half for m in months), tuple(m - half for m in months)),
        crop=crop,
        days=chance.gauss(float(days.likely), float(days.high - days.low) / 2.563),
        base=chance.uniform(2.5, 5),
        best=chance.uniform(26, 30),
        ceiling=chance.uniform(38, 42),
        yield_per_ft=math.exp(chance.gauss((low + high) / 2, (high - low) / 2.563)),
    )


def weather(chance: random.Random, farm: Farm, year: int) -> dict[dt.date, tuple[float, float]]:
    """A year of days: 2.5 C around the normals, with spells that last."""
    days, away = {}, 0.0
    for n in range(366):
        date = dt.date(year, 1, 1) + dt.timedelta(days=n)
        away = 0.65 * away + chance.gauss(0, 2.5 * math.sqrt(1 - 0.65**2))
        usual = farm.normals.day(date)
        assert usual is not None
        days[date] = (round(usual[0] + away + chance.gauss(0, 1), 1), round(usual[1] + away - 0.5, 1))
        days[date] = (max(days[date]), min(days[date]))
    return days


def response(farm: Farm, degrees: float) -> float:
    """The beta function, 1 at the best temperature."""
    if not farm.base < degrees < farm.ceiling:
        return 0.0
    shape = (farm.ceiling - farm.best) / (farm.best - farm.base)
    rise = (degrees - farm.base) / (farm.best - farm.base)
    return float(rise * ((farm.ceiling - degrees) / (farm.ceiling - farm.best)) ** shape)


def day_growth(farm: Farm, high: float, low: float) -> float:
    middle, swing = (high + low) / 2, (high - low) / 2
    return sum(response(farm, middle + swing * math.sin(hour / 12 * math.pi)) for hour in range(0, 24, 2)) / 12


def true_ready(farm: Farm, days: dict[dt.date, tuple[float, float]], sown: dt.date, pace: float) -> dt.date:
    """The first morning by which the true growth is done: the farm's printed days at 15 C, times the pace."""
    need = farm.days * pace * day_growth(farm, 20.5, 9.5)
    grown, date = 0.0, sown
    while grown < need and (date - sown).days < 200:
        grown += day_growth(farm, *days[date])
        date += dt.timedelta(days=1)
    return date


def simulate(farms: int, seed: int = 1, *, logged: float = 1.0, normals: bool = True) -> Score:
    """Forecasts made on each sowing day of three years on so many farms.

    `logged` is the share of days that the farm writes down; without `normals` it knows no monthly averages either.
    """
    chance, score = random.Random(seed), Score()
    for number in range(farms):
        one_farm(chance, a_farm(chance, CROPS[number % len(CROPS)]), score, logged, normals)
    return score


def one_farm(chance: random.Random, farm: Farm, score: Score, logged: float, normals: bool) -> None:
    bed = Bed("Brook 1", "Brook", Decimal(BED_FT), Decimal(30))
    written: dict[dt.date, tuple[float, float]] = {}
    printed = float(facts(Season(day=dt.date(2025, 1, 1)), farm.crop).figures["days"].likely)
    count = 0
    for year in YEARS:
        days, good_year, fat_year = weather(chance, farm, year), chance.gauss(1, 0.05), chance.gauss(0, 0.12)
        wrote_down = {date for date in days if chance.random() < logged}
        for planting in range(PLANTINGS_A_YEAR):
            sown = dt.date(year, *FIRST_SOWING) + dt.timedelta(days=SOWING_GAP * planting)
            ready = true_ready(farm, days, sown, good_year * chance.gauss(1, 0.07))
            picked = ready + dt.timedelta(days=chance.choice((0, 0, 1, 2)))
            foot = farm.yield_per_ft * math.exp(fat_year + chance.gauss(0, 0.25))
            written.update({date: pair for date, pair in days.items() if date < sown and date in wrote_down})
            season = Season(day=sown, beds={"Brook 1": bed})
            book = WeatherBook(sown, logged=dict(written), normals=farm.normals if normals else None)
            coming = forecast(season, book, Planting(count + 1, "Brook 1", farm.crop, sown))
            judge(score, coming, sown, picked, Decimal(str(foot * BED_FT)), printed, count)
            bed.past.append(
                Planting(count + 1, "Brook 1", farm.crop, sown, ended=picked,
                         pickings=[Picking(count, picked, 1, Decimal(str(round(foot * BED_FT, 1))), coming.unit)])
            )  # fmt: skip
            count += 1


def judge(
    score: Score, coming: Forecast, sown: dt.date, picked: dt.date, amount: Decimal, printed: float, count: int
) -> None:
    score.total += 1
    score.held += coming.ready.low <= picked <= coming.ready.high
    score.yield_held += coming.yield_.low <= amount <= coming.yield_.high
    score.widths.append((coming.ready.high - coming.ready.low).days)
    error, plain = abs((coming.ready.likely - picked).days), abs((picked - sown).days - printed)
    score.errors.append(error)
    score.printed_errors.append(plain)
    if count >= 10:
        score.late_errors.append(error)
        score.late_printed.append(plain)


def report(farms: int) -> None:
    for logged, normals in ((1.0, True), (0.5, True), (0.0, True), (1.0, False), (0.5, False), (0.0, False)):
        score = simulate(farms, logged=logged, normals=normals)
        known = "monthly averages" if normals else "no averages"
        print(f"{farms} farms, {score.total} forecasts on the day of sowing, {logged:.0%} of days logged, {known}")
        wide, error, plain = map(statistics.fmean, (score.widths, score.errors, score.printed_errors))
        print(f"  ready: 80 % interval held the truth in {score.coverage:.1%}, {wide:.1f} days wide")
        print(f"  yield: 80 % interval held the truth in {score.yield_coverage:.1%}")
        print(f"  mean error {error:.2f} days, printed days {plain:.2f}")
        late, plain = statistics.fmean(score.late_errors), statistics.fmean(score.late_printed)
        print(f"  after ten plantings {late:.2f} days, printed days {plain:.2f}: {1 - late / plain:.0%} less")


if __name__ == "__main__":
    report(int(sys.argv[1]) if len(sys.argv) > 1 else 60)
