"""Degree days against published worked examples and against the integral of the sine itself."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from engine.degree_days import mean_over_base, simple_average, single_sine

BASKERVILLE = "Baskerville & Emin 1969, Ecology 50:514-517 (formula recalled; answers worked)"
MCMASTER = "McMaster & Wilhelm 1997, Agric. Forest Meteorol. 87:291-300 (rules read, answers worked)"
WISCONSIN = "Wisconsin extension agent column, Calculating Growing Degree Days, 2018 (read)"
IOWA = "Iowa State Univ. Agron 541 lesson 2b, growing degree day rules (read)"

SINE = [  # high, low, base, upper, degree days; BASKERVILLE
    (70, 50, 50, None, 10.0),
    (70, 40, 50, None, 7.5424),
    (60, 30, 50, None, 2.5424),
    (45, 30, 50, None, 0.0),
    (20, 4, 10, None, 3.6265),
    (14, 2, 10, None, 1.017),
    (25, 11, 4.4, None, 13.6),
    (95, 60, 50, 86, 25.5086),
    (95, 40, 50, 86, 17.7728),
    (34, 18, 10, 30, 15.128),
    (34, 4, 10, 30, 9.5347),
    (22, 6, 4, 27, 10.0),
]

SIMPLE = [  # high, low, base, upper, degree days, source
    (70, 50, 50, None, 10, IOWA),
    (100, 90, 50, 86, 36, IOWA),
    (90, 65, 50, 86, 25.5, WISCONSIN),
    (72, 46, 50, 86, 11, WISCONSIN),
    (63, 42, 50, 86, 6.5, WISCONSIN),
    (85, 60, 50, None, 22.5, "corn growing degree unit example, general calculator page (read)"),
    (72, 48, 50, None, 11, "corn growing degree day example, weather page (read)"),
    (90, 48, 50, 86, 18, "corn growing degree definition page (inputs read, answer worked)"),
    (20, 4, 10, None, 5.0, MCMASTER),
    (14, 2, 10, None, 2.0, MCMASTER),
    (9, 1, 10, None, 0.0, MCMASTER),
    (30, 5, 0, None, 17.5, MCMASTER),
    (22, -4, 0, None, 11.0, MCMASTER),
    (36, 8, 10, 30, 10.0, MCMASTER),
]

MEAN = [(20, 4, 10, 2.0), (14, 2, 10, 0.0), (9, 1, 10, 0.0), (30, 5, 0, 17.5), (22, -4, 0, 9.0)]  # MCMASTER, method 1


@pytest.mark.parametrize(("high", "low", "base", "upper", "expected"), SINE)
def test_the_sine_gives_the_worked_answers(
    high: float, low: float, base: float, upper: float | None, expected: float
) -> None:
    assert single_sine(high, low, base, upper) == pytest.approx(expected, abs=0.001)


@pytest.mark.parametrize(("high", "low", "base", "upper", "expected", "source"), SIMPLE)
def test_the_simple_average_gives_the_published_answers(
    high: float, low: float, base: float, upper: float | None, expected: float, source: str
) -> None:
    assert simple_average(high, low, base, upper) == pytest.approx(expected, abs=0.001), source


@pytest.mark.parametrize(("high", "low", "base", "expected"), MEAN)
def test_the_mean_over_base_gives_the_worked_answers(high: float, low: float, base: float, expected: float) -> None:
    assert mean_over_base(high, low, base) == pytest.approx(expected, abs=0.001)


def test_three_days_add_up() -> None:
    days = [(90, 65), (72, 46), (63, 42)]  # WISCONSIN
    assert sum(simple_average(high, low, 50, 86) for high, low in days) == pytest.approx(43, abs=0.001)


def test_fahrenheit_degree_days_are_nine_fifths_of_celsius_ones() -> None:
    celsius = single_sine(20, 4, 10)
    assert single_sine(68, 39.2, 50) == pytest.approx(celsius * 9 / 5, abs=1e-9)


@pytest.mark.parametrize("high", [-2.0, 9.0, 15.0, 26.0, 33.5, 41.0])
@pytest.mark.parametrize("low", [-8.0, -2.0, 6.0, 14.0, 25.0])
@pytest.mark.parametrize("upper", [None, 27.0])
def test_the_sine_equals_its_integral(high: float, low: float, upper: float | None) -> None:
    if low > high:
        low = high
    middle, swing, base = (high + low) / 2, (high - low) / 2, 4.0

    def above(turn: float) -> float:
        degrees = middle + swing * math.sin(turn)
        return max(0.0, min(degrees, math.inf if upper is None else upper) - base)

    crossings = [math.asin((line - middle) / swing) for line in (base, upper) if line and swing > abs(line - middle)]
    points = sorted({turn % (2 * math.pi) for at in crossings for turn in (at, math.pi - at)})
    integral = quad(above, 0, 2 * math.pi, points=points or None, limit=200)[0] / (2 * math.pi)
    assert single_sine(high, low, base, upper) == pytest.approx(integral, abs=1e-6)


def test_a_low_above_the_high_is_refused() -> None:
    with pytest.raises(ValueError, match="above the high"):
        single_sine(10, 12, 4)
