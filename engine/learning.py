"""What the farm's own harvests say, weighed against the published figure: partial pooling in closed form.

The model, all normal: an observation y of year j is x b + a_j + e, with the year's effect a ~ N(0, tau) and the single
planting e ~ N(0, sigma). x b is the farm's own mean m ~ N(published, s0) and, where the turn of the year is learned
too, a wave over the year on top of it: x = (1, cos t, sin t), both of its parts ~ N(0, s1). With these spreads given,
the mean and spread of the next planting follow exactly (Gelman & Hill 2007, ch. 12, is a textbook account; the algebra
is done here again). X, y of n_j rows are a year's observations, s = X'1 and c = tau^2 / (sigma^2 + n_j tau^2):

    P    = 1 / prior variances + sum (X'X - c s s') / sigma^2         precision of b
    P b^ = published / s0^2 + sum (X'y - c s 1'y) / sigma^2
    w    = tau^2 / (tau^2 + sigma^2 / n_now)                           how far this year's own mean is believed
    next = x b^ + w (mean_now - mean x_now b^),  variance = d P^-1 d + tau^2 (1 - w) + sigma^2,  d = x - w mean x_now

`sigma` starts from a stated guess and is corrected by the scatter within years. An observation that no other one
resembles, further out than 2.5 standard deviations, is left out until a second and third agree with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin, sqrt
from statistics import fmean, median
from typing import NamedTuple

TEN_TO_NINETY = 2.563  # standard deviations between the 10 % and the 90 % point of a normal
TENTH = 1.2816  # standard deviations from the middle to the 10 % point
FREAK = 2.5
GUESS_WEIGHT = 6.0  # how many observations the first guess of sigma is worth
Matrix = list[list[float]]


class Seen(NamedTuple):
    """One finished observation: its year, its value, and the turn of the year it began at (0 to 1)."""

    year: int
    value: float
    turn: float = 0.0


Years = dict[int, list[Seen]]


@dataclass(frozen=True, slots=True)
class Prior:
    """The published figure and its spreads: of farms around it, of years on a farm, of plantings in a year; and of each
    part of its wave over the year, 0 where there is none to be learned."""

    mean: float
    farms: float
    years: float
    plantings: float
    turns: float = 0.0

    def row(self, turn: float) -> tuple[float, ...]:
        """What the parts of the mean count for at a turn of the year."""
        return (1.0, cos(2 * pi * turn), sin(2 * pi * turn)) if self.turns else (1.0,)


@dataclass(frozen=True, slots=True)
class Learned:
    """The next planting: its mean and standard deviation, and how many observations were used and left out."""

    mean: float
    spread: float
    used: int
    left_out: int


def next_one(prior: Prior, observed: Sequence[tuple[int, float] | Seen], year: int, turn: float = 0.0) -> Learned:
    """What to expect of the next planting in `year`, begun at that turn of it, from the finished ones."""
    kept = _without_freaks(prior, [Seen(*one) for one in observed])
    years = _by_year(kept)
    sigma = _scatter(prior, years, _parts(prior, years, prior.plantings)[1])
    precision, parts = _parts(prior, years, sigma)
    now, row = years.get(year, []), prior.row(turn)
    belief = prior.years**2 / (prior.years**2 + sigma**2 / len(now)) if now else 0.0
    middle = [fmean(prior.row(one.turn)[at] for one in now) if now else 0.0 for at in range(len(row))]
    apart = [here - belief * there for here, there in zip(row, middle, strict=True)]
    mean = _times(apart, parts) + belief * (fmean(one.value for one in now) if now else 0.0)
    variance = _times(apart, _solved(precision, apart)) + prior.years**2 * (1 - belief) + sigma**2
    return Learned(mean, sqrt(variance), len(kept), len(observed) - len(kept))


def _parts(prior: Prior, years: Years, sigma: float) -> tuple[Matrix, list[float]]:
    """The precision of the mean's parts and their likely values."""
    many = len(prior.row(0.0))
    spreads = (prior.farms, prior.turns, prior.turns)[:many]
    precision = [[(row == column) / spreads[row] ** 2 for column in range(many)] for row in range(many)]
    weighed = [prior.mean / prior.farms**2, 0.0, 0.0][:many]
    for seen in years.values():
        rows = [prior.row(one.turn) for one in seen]
        sums, whole = [sum(column) for column in zip(*rows, strict=True)], sum(one.value for one in seen)
        shared = prior.years**2 / (sigma**2 + len(seen) * prior.years**2)
        for at in range(many):
            told = sum(row[at] * one.value for row, one in zip(rows, seen, strict=True))
            weighed[at] += (told - shared * sums[at] * whole) / sigma**2
            for other in range(many):
                together = sum(row[at] * row[other] for row in rows)
                precision[at][other] += (together - shared * sums[at] * sums[other]) / sigma**2
    return precision, _solved(precision, weighed)


def _solved(matrix: Matrix, right: Sequence[float]) -> list[float]:
    """The solution of a small system that is symmetric and positive definite, by elimination."""
    rows = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    for at, pivot in enumerate(rows):
        for below in rows[at + 1 :]:
            share = below[at] / pivot[at]
            below[:] = [one - share * other for one, other in zip(below, pivot, strict=True)]
    solution = [0.0] * len(rows)
    for at in reversed(range(len(rows))):
        solution[at] = (rows[at][-1] - _times(rows[at][at + 1 : -1], solution[at + 1 :])) / rows[at][at]
    return solution


def _times(one: Sequence[float], other: Sequence[float]) -> float:
    return sum(here * there for here, there in zip(one, other, strict=True))


def _without_freaks(prior: Prior, observed: Sequence[Seen]) -> list[Seen]:
    """The observations without those that stand alone: judged by the published figure until there are three."""
    few = len(observed) < 3
    middle = prior.mean if few else median(one.value for one in observed)
    spread = sqrt(prior.years**2 + prior.plantings**2 + prior.turns**2 + (prior.farms**2 if few else 0.0))
    return [one for one in observed if abs(one.value - middle) <= FREAK * spread]


def _scatter(prior: Prior, years: Years, parts: Sequence[float]) -> float:
    """The planting-to-planting spread: the guess, corrected by the scatter within years."""
    squares = 0.0
    for seen in years.values():
        left = [one.value - _times(prior.row(one.turn), parts) for one in seen]
        squares += sum((one - fmean(left)) ** 2 for one in left)
    free = sum(map(len, years.values())) - len(years) - len(parts) + 1
    return sqrt((GUESS_WEIGHT * prior.plantings**2 + squares) / (GUESS_WEIGHT + max(0, free)))


def _by_year(observed: Sequence[Seen]) -> Years:
    years: Years = {}
    for one in observed:
        years.setdefault(one.year, []).append(one)
    return years
