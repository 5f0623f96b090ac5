"""What the farm's own harvests say, weighed against the published figure: partial pooling in closed form.

The model, all normal: an observation y of year j is m + a_j + e, with the farm's own mean m ~ N(published, s0), the
year's effect a ~ N(0, tau) and the single planting e ~ N(0, sigma). With these spreads given, the mean and spread of
the next planting follow exactly (Gelman & Hill 2007, ch. 12, is a textbook account; the algebra is done here again):

    v_j = tau^2 + sigma^2 / n_j                      spread of a year's mean around m
    1 / V = 1 / s0^2 + sum 1 / v_j                   precision of m
    m^  = V (published / s0^2 + sum mean_j / v_j)
    w   = tau^2 / (tau^2 + sigma^2 / n_now)          how far this year's own mean is believed
    next = m^ + w (mean_now - m^),  variance = V (1 - w)^2 + tau^2 (1 - w) + sigma^2

`sigma` starts from a stated guess and is corrected by the scatter within years. An observation that no other one
resembles, further out than 2.5 standard deviations, is left out until a second and third agree with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import median

TEN_TO_NINETY = 2.563  # standard deviations between the 10 % and the 90 % point of a normal
TENTH = 1.2816  # standard deviations from the middle to the 10 % point
FREAK = 2.5
GUESS_WEIGHT = 6.0  # how many observations the first guess of sigma is worth


@dataclass(frozen=True, slots=True)
class Prior:
    """The published figure and its spreads: of farms around it, of years on a farm, of plantings in a year."""

    mean: float
    farms: float
    years: float
    plantings: float


@dataclass(frozen=True, slots=True)
class Learned:
    """The next planting: its mean and standard deviation, and how many observations were used and left out."""

    mean: float
    spread: float
    used: int
    left_out: int


def next_one(prior: Prior, observed: Sequence[tuple[int, float]], year: int) -> Learned:
    """What to expect of the next planting in `year`, from (year, value) of the finished ones."""
    kept = _without_freaks(prior, observed)
    sigma = _scatter(prior, kept)
    years = _by_year(kept)
    precision, weighed = 1 / prior.farms**2, prior.mean / prior.farms**2
    for values in years.values():
        spread = prior.years**2 + sigma**2 / len(values)
        precision += 1 / spread
        weighed += sum(values) / len(values) / spread
    mean, variance = weighed / precision, 1 / precision
    now = years.get(year, [])
    belief = prior.years**2 / (prior.years**2 + sigma**2 / len(now)) if now else 0.0
    if now:
        mean += belief * (sum(now) / len(now) - mean)
    variance = variance * (1 - belief) ** 2 + prior.years**2 * (1 - belief) + sigma**2
    return Learned(mean, sqrt(variance), len(kept), len(observed) - len(kept))


def _without_freaks(prior: Prior, observed: Sequence[tuple[int, float]]) -> list[tuple[int, float]]:
    """The observations without those that stand alone: judged by the published figure until there are three."""
    few = len(observed) < 3
    middle = prior.mean if few else median(value for _, value in observed)
    spread = sqrt(prior.years**2 + prior.plantings**2 + (prior.farms**2 if few else 0.0))
    return [(year, value) for year, value in observed if abs(value - middle) <= FREAK * spread]


def _scatter(prior: Prior, kept: Sequence[tuple[int, float]]) -> float:
    """The planting-to-planting spread: the guess, corrected by the scatter within years."""
    years = _by_year(kept)
    squares = sum((value - sum(group) / len(group)) ** 2 for group in years.values() for value in group)
    free = len(kept) - len(years)
    return sqrt((GUESS_WEIGHT * prior.plantings**2 + squares) / (GUESS_WEIGHT + free))


def _by_year(observed: Sequence[tuple[int, float]]) -> dict[int, list[float]]:
    years: dict[int, list[float]] = {}
    for year, value in observed:
        years.setdefault(year, []).append(value)
    return years
